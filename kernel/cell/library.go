package cell

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"go/importer"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"slices"
	"strings"
	"sync"
)

// library knows the packages that cells can import: what their types are, from
// what the compiler has written of them, and what they import in turn.
//
// The go command is asked where the compiler's files are. That takes it longer
// than all the rest of a cell's preparation, so its answers are kept, also for
// later sessions, with what they depend on.
type library struct {
	root   string        // of the Railbook module
	module string        // its path
	work   func() string // the folder in which the cell kernel builds, or nil

	mu       sync.Mutex
	kept     bool // what earlier sessions asked has been read
	packages map[string]*listed
	missing  map[string]error
	types    types.Importer
	stamps   map[string]string // by folder, of this moment
}

// listed is what the go command says of a package.
type listed struct {
	Path    string
	Name    string
	Export  string // the compiler's file
	Imports []string
	Dir     string
	Stamp   string // the state of its sources, if they may change
}

func newLibrary(root, module string, work func() string) *library {
	l := &library{root: root, module: module, work: work}
	l.forget()
	return l
}

// forget drops all that is known, as sources have changed. What has not changed
// is then recalled.
func (l *library) forget() {
	l.kept = false
	l.packages, l.missing = map[string]*listed{}, map[string]error{}
	l.stamps = map[string]string{}
	l.types = importer.ForCompiler(token.NewFileSet(), "gc", l.open)
}

// own reports whether a package is of the Railbook module, whose sources may
// change.
func (l *library) own(path string) bool {
	return path == l.module || strings.HasPrefix(path, l.module+"/")
}

// need makes the packages known. The error is of the first that cannot be had.
func (l *library) need(paths ...string) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.needLocked(paths)
}

func (l *library) needLocked(paths []string) error {
	if !l.kept {
		l.kept = true
		l.recall()
	}
	ask := slices.DeleteFunc(slices.Clone(paths), func(p string) bool {
		return p == "unsafe" || l.packages[p] != nil || l.missing[p] != nil
	})
	if len(ask) > 0 {
		if err := l.ask(ask); err != nil {
			return err
		}
		l.keep()
	}
	for _, p := range paths {
		if err := l.missing[p]; err != nil {
			return err
		}
	}
	return nil
}

// listFormat has the go command print a line for each package.
const listFormat = `{{.ImportPath}}	{{.Name}}	{{.Export}}	{{.Dir}}	{{join .Imports " "}}	{{with .Error}}{{.Err}}{{end}}`

// ask asks the go command for packages and all that they import.
func (l *library) ask(paths []string) error {
	args := append([]string{"list", "-e", "-export", "-deps", "-f", strings.ReplaceAll(listFormat, "\t", "{{\"\\t\"}}")}, paths...)
	out, words, err := l.run(l.root, args...)
	if err != nil {
		return err
	}
	l.read(out)
	for _, p := range paths {
		if l.packages[p] != nil {
			continue
		}
		if err := l.askWork(p); err != nil {
			if l.missing[p] == nil || strings.Contains(words, p) {
				l.missing[p] = &missingError{path: p, words: firstLine(words)}
			}
		}
	}
	return nil
}

// askWork asks for a package where the cell kernel builds, in case a cell has
// fetched it there.
func (l *library) askWork(path string) error {
	dir := ""
	if l.work != nil {
		dir = l.work()
	}
	if dir == "" {
		return errors.New("there is no other place to ask")
	}
	out, _, err := l.run(dir, "list", "-e", "-export", "-deps", "-f", strings.ReplaceAll(listFormat, "\t", "{{\"\\t\"}}"), path)
	if err != nil {
		return err
	}
	l.read(out)
	if l.packages[path] == nil {
		return errors.New("it is not known there")
	}
	return nil
}

// missingError says that a package cannot be had.
type missingError struct{ path, words string }

func (e *missingError) Error() string {
	if e.words == "" {
		return fmt.Sprintf("package %s is not to be found", e.path)
	}
	words, _, _ := strings.Cut(e.words, "; to add it")
	return fmt.Sprintf("package %s cannot be used: %s", e.path, words)
}

func firstLine(text string) string {
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		if line != "" && !strings.HasPrefix(line, "#") {
			return line
		}
	}
	return ""
}

// run runs the go command.
func (l *library) run(dir string, args ...string) (out []byte, words string, err error) {
	cmd := exec.CommandContext(context.Background(), "go", args...)
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "GOPROXY=off", "GOFLAGS=-buildvcs=false", "PWD="+dir)
	if dir == l.root {
		cmd.Env = append(cmd.Env, "GOWORK=off")
	}
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	if err := cmd.Run(); err != nil {
		if errors.Is(err, exec.ErrNotFound) {
			return nil, "", errors.New("the go command is not on PATH: install Go and try again")
		}
		if stdout.Len() == 0 {
			return nil, "", fmt.Errorf("go %s: %w: %s", args[0], err, firstLine(stderr.String()))
		}
	}
	return stdout.Bytes(), stderr.String(), nil
}

func (l *library) read(out []byte) {
	for s := bufio.NewScanner(bytes.NewReader(out)); s.Scan(); {
		f := strings.Split(s.Text(), "\t")
		if len(f) < 6 {
			continue
		}
		path := f[0]
		if f[2] == "" {
			if path != "unsafe" {
				l.missing[path] = &missingError{path: path, words: f[5]}
			}
			continue
		}
		delete(l.missing, path)
		p := &listed{Path: path, Name: f[1], Export: f[2], Dir: f[3], Imports: strings.Fields(f[4])}
		if l.own(path) {
			p.Stamp = l.stamp(p.Dir)
		}
		l.packages[path] = p
	}
}

// stamp returns the state of the Go files in a folder, tests aside.
func (l *library) stamp(dir string) string {
	if s, ok := l.stamps[dir]; ok {
		return s
	}
	var b strings.Builder
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err.Error()
	}
	for _, e := range entries {
		if name := e.Name(); !e.IsDir() && !strings.HasSuffix(name, "_test.go") {
			if info, err := e.Info(); err == nil {
				fmt.Fprintf(&b, "%s %d %d ", name, info.Size(), info.ModTime().UnixNano())
			}
		}
	}
	l.stamps[dir] = b.String()
	return b.String()
}

// changed reports whether sources of the Railbook module have changed since its
// packages became known, and forgets them then.
func (l *library) changed() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.stamps = map[string]string{}
	for _, p := range l.packages {
		if p.Stamp != "" && p.Stamp != l.stamp(p.Dir) {
			l.forget()
			return true
		}
	}
	return false
}

// Import implements types.Importer.
func (l *library) Import(path string) (*types.Package, error) {
	if path == "unsafe" {
		return types.Unsafe, nil
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if err := l.needLocked([]string{path}); err != nil {
		return nil, err
	}
	return l.types.Import(path)
}

// open opens the compiler's file of a package.
func (l *library) open(path string) (io.ReadCloser, error) {
	p := l.packages[path]
	if p == nil {
		return nil, &missingError{path: path}
	}
	return os.Open(p.Export)
}

// closure returns all packages that some packages lead to, themselves included.
func (l *library) closure(paths []string) map[string]bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	all := map[string]bool{}
	var visit func(string)
	visit = func(path string) {
		if all[path] {
			return
		}
		all[path] = true
		if p := l.packages[path]; p != nil {
			for _, i := range p.Imports {
				visit(i)
			}
		}
	}
	for _, p := range paths {
		visit(p)
	}
	return all
}
