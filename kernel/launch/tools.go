package launch

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"example.com/railbook/kernel/cache"
	"github.com/rogpeppe/go-internal/lockedfile"
)

// Tools are the programs a kernel needs, built for one state of the module.
type Tools struct {
	// Kernel is the folder of gonb, the cell kernel, and goimports, which it calls.
	Kernel string
	// Cells is the folder of cellgo, which stands beside the kernel; in its folder
	// "shims" it has the names of the programs whose part it plays.
	Cells string
}

// kernelPrograms are the packages to build for the kernel, by the name of the
// program.
var kernelPrograms = map[string]string{
	"gonb":      gonbModule,
	"goimports": toolsModule + "/cmd/goimports",
}

// cellgo is the name of the program beside the kernel.
const cellgo = "cellgo"

// shimNames are the names under which the kernel finds it.
var shimNames = []string{"go", "goimports"}

// shims returns the folder of the names of others.
func (t Tools) shims() string { return filepath.Join(t.Cells, "shims") }

// cellgo returns the path of cellgo.
func (t Tools) cellgo() string { return filepath.Join(t.Cells, cellgo) }

// Build returns the module's tools, building them if this user has not had them
// built from the same versions, and cellgo from the same source, before. They
// are kept in Railbook's cache. Before a build, which for the kernel takes about
// a minute of processor time on a fresh machine, progress is called with a line
// that says so.
//
// Of several processes that want the same tools at the same time one builds
// and the others wait.
func (m Module) Build(ctx context.Context, progress func(string)) (Tools, error) {
	if !supported {
		return Tools{}, fmt.Errorf("the cell kernel, gonb, does not run on %s; it does on Linux and macOS", runtime.GOOS)
	}
	target, err := m.target(ctx)
	if err != nil {
		return Tools{}, err
	}
	var t Tools
	t.Kernel, err = built{
		name:    strings.Join([]string{"gonb", m.Gonb, m.sum, target}, "-"),
		whole:   holds("gonb", "goimports"),
		message: fmt.Sprintf("building the cell kernel, gonb %s (once, takes a minute or two)", m.Gonb),
		make: func(ctx context.Context, dir string) error {
			for name, pkg := range kernelPrograms {
				if err := m.goBuild(ctx, m.Root, filepath.Join(dir, name), pkg); err != nil {
					return err
				}
			}
			return nil
		},
	}.find(ctx, progress)
	if err != nil {
		return Tools{}, err
	}
	source, err := m.cellgoSum()
	if err != nil {
		return Tools{}, err
	}
	files := []string{cellgo}
	for _, name := range shimNames {
		files = append(files, filepath.Join("shims", name))
	}
	t.Cells, err = built{
		name:    strings.Join([]string{cellgo, source, m.sum, target}, "-"),
		whole:   holds(files...),
		message: "building the programs beside the cell kernel (once, takes some seconds)",
		make:    m.buildCellgo,
	}.find(ctx, progress)
	return t, err
}

// target returns what tells apart the builds by different Go versions and for
// different systems.
func (m Module) target(ctx context.Context) (string, error) {
	out, err := m.goCommand(ctx, m.Root, "env", "GOVERSION", "GOOS", "GOARCH")
	return strings.Join(strings.Fields(out), "-"), err
}

// buildCellgo makes cellgo and its other names in dir.
func (m Module) buildCellgo(ctx context.Context, dir string) error {
	if err := m.goBuild(ctx, m.Root, filepath.Join(dir, cellgo), modulePath+"/kernel/"+cellgo); err != nil {
		return err
	}
	shims := filepath.Join(dir, "shims")
	if err := os.Mkdir(shims, 0o755); err != nil {
		return err
	}
	for _, name := range shimNames {
		if err := os.Symlink(filepath.Join("..", cellgo), filepath.Join(shims, name)); err != nil {
			return err
		}
	}
	return nil
}

// goBuild builds a program in the module in dir.
func (m Module) goBuild(ctx context.Context, dir, out, pkg string) error {
	if _, err := m.goCommand(ctx, dir, "build", "-ldflags=-s -w", "-o", out, pkg); err != nil {
		return fmt.Errorf("building %s: %w", filepath.Base(out), err)
	}
	return nil
}

// built is a folder of programs in Railbook's cache.
type built struct {
	name    string
	whole   func(dir string) bool                       // reports whether dir has all it should
	message string                                      // said before make
	make    func(ctx context.Context, dir string) error // fills the empty folder dir
}

// holds returns a function that reports whether a folder has all the files.
func holds(files ...string) func(dir string) bool {
	return func(dir string) bool {
		for _, file := range files {
			if _, err := os.Stat(filepath.Join(dir, file)); err != nil {
				return false
			}
		}
		return true
	}
}

// find returns the path of the folder, which it makes if it is not there or has
// lost something.
func (b built) find(ctx context.Context, progress func(string)) (string, error) {
	parent, err := cache.Dir("tools")
	if err != nil {
		return "", err
	}
	dir := filepath.Join(parent, b.name)
	if b.whole(dir) {
		return dir, nil
	}
	if err := os.MkdirAll(parent, 0o755); err != nil {
		return "", err
	}
	unlock, err := lock(ctx, dir+".lock")
	if err != nil {
		return "", err
	}
	defer unlock()
	if b.whole(dir) { // made while we waited for the lock
		return dir, nil
	}
	progress(b.message)
	temp, err := os.MkdirTemp(parent, "building-")
	if err != nil {
		return "", err
	}
	defer os.RemoveAll(temp)
	if err := b.make(ctx, temp); err != nil {
		return "", err
	}
	if err := os.RemoveAll(dir); err != nil {
		return "", err
	}
	return dir, os.Rename(temp, dir)
}

// goCommand runs the go command in dir and returns its output.
func (m Module) goCommand(ctx context.Context, dir string, args ...string) (string, error) {
	cmd := exec.CommandContext(ctx, "go", args...)
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "GOWORK=off", "GOFLAGS=-buildvcs=false", "PWD="+dir)
	// An interrupted go command removes its temporary files, a killed one does not.
	cmd.Cancel = func() error { return cmd.Process.Signal(os.Interrupt) }
	cmd.WaitDelay = 10 * time.Second
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	switch err := cmd.Run(); {
	case err == nil:
		return stdout.String(), nil
	case ctx.Err() != nil:
		return "", context.Cause(ctx)
	case errors.Is(err, exec.ErrNotFound):
		return "", errors.New("the go command is not on PATH: install Go and try again")
	default:
		return "", fmt.Errorf("go %s: %w\n%s", args[0], err, bytes.TrimSpace(stderr.Bytes()))
	}
}

// lock takes the lock file at path, which stays behind, and returns what
// releases it.
func lock(ctx context.Context, path string) (unlock func(), err error) {
	type result struct {
		unlock func()
		err    error
	}
	locked := make(chan result, 1)
	go func() {
		unlock, err := lockedfile.MutexAt(path).Lock()
		locked <- result{unlock, err}
	}()
	select {
	case r := <-locked:
		return r.unlock, r.err
	case <-ctx.Done():
		go func() {
			if r := <-locked; r.err == nil {
				r.unlock()
			}
		}()
		return nil, context.Cause(ctx)
	}
}
