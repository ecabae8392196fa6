package cell

import (
	"errors"
	"fmt"
	"go/types"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"golang.org/x/mod/modfile"
)

// Options says where a session has its files and what its cells find without
// asking for it.
type Options struct {
	// Folder is for the files of the session: its program and the values of its
	// variables. It has to be there and is the caller's to remove.
	Folder string
	// Root is the folder of the Railbook module, whose packages cells use.
	Root string
	// Work returns the folder in which the cell kernel builds, "" if it is not
	// known. It may be nil. It is asked for packages that Root does not know, which
	// a cell may have fetched there.
	Work func() string
}

// Session is what the cells run so far leave to those that come. Its methods may
// be called from several goroutines, but cells are prepared and committed one
// after the other.
type Session struct {
	o         Options
	library   *library
	directory *directory

	mu      sync.Mutex
	units   map[string]*unit            // functions, types and constants by name
	methods map[string]map[string]*unit // by type and name
	inits   []*unit
	tests   map[string]*unit // functions of %test cells
	vars    map[string]*variable
	imports map[string]string // by the name that cells use
	effects []string          // packages imported for what they do alone
	dots    []string          // packages whose names are used bare, the last first
	cells   int
	test    string              // what stands in TestFile
	larges  map[string][]string // by file of values, the files that belong to it
	knownOf map[*types.Package]known
}

// source is the text of a cell.
type source struct {
	id     int
	number int    // by which people know the cell; 0 while it has none
	code   string // as written
	text   string // without its special lines
}

// variable is a variable of the session.
type variable struct {
	name string
	// typ is its type as Go source, in which the import path of a package stands in
	// angle quotes before a name.
	typ   string
	order int // of making, among all
	// maker is the statement that made it, to be run again where its value cannot
	// be carried; nil if that would not do.
	maker *statement
	file  string   // of its value; "" if there is none to load
	lost  string   // what it holds that cannot be carried
	moved bool     // it may have been changed since it was made
	when  int      // of the last statement that may have changed it, among all
	vars  []string // that it needs beside
	types []string // that it needs beside
	local bool     // its type has no name, so that only statements can use it
}

// display is the package whose names cells use bare, and the packages below are
// those that most cells need. What the compiler has made of them is looked up
// before the first cell asks.
const (
	displayPath = "kernel/display"
	keepPath    = "kernel/cell/keep"
	showPath    = "kernel/cell/show"
	sharedPath  = "kernel/cell/show/shared"
	figurePath  = "report/figure"
)

var early = []string{
	displayPath, keepPath, showPath, sharedPath, figurePath, "sizing", "sizing/fuel", "sizing/quantity", "sizing/sweep",
	"sizing/injector", "sizing/pump", "sizing/demand", "sizing/catalogue",
}

var earlyStandard = []string{
	"fmt", "math", "os", "strings", "strconv", "errors", "time", "sort", "slices", "maps", "bytes", "io", "flag", "sync", "context",
	"math/rand/v2", "math/rand", "crypto/rand", "encoding/json", "reflect",
}

// New starts a session. The error says what is wrong with the options.
func New(o Options) (*Session, error) {
	data, err := os.ReadFile(filepath.Join(o.Root, "go.mod"))
	if err != nil {
		return nil, fmt.Errorf("the Railbook module: %w", err)
	}
	module := modfile.ModulePath(data)
	if module == "" {
		return nil, fmt.Errorf("%s names no module", filepath.Join(o.Root, "go.mod"))
	}
	if !filepath.IsAbs(o.Folder) {
		return nil, fmt.Errorf("folder %q of the session: want an absolute path", o.Folder)
	}
	if strings.ContainsAny(o.Folder, "'\n") {
		return nil, fmt.Errorf("folder %q of the session: want a path without quotes and ends of lines", o.Folder)
	}
	s := &Session{o: o, library: newLibrary(o.Root, module, o.Work), knownOf: map[*types.Package]known{}}
	s.directory = newDirectory(s.library)
	if _, err := s.Reset(); err != nil {
		return nil, err
	}
	return s, nil
}

// Prepare looks up what most cells need. A caller that has nothing to wait for
// runs it beside; without it the first cell takes longer.
func (s *Session) Prepare() error {
	paths := append([]string(nil), earlyStandard...)
	for _, p := range early {
		paths = append(paths, s.path(p))
	}
	if err := s.library.need(paths...); err != nil {
		return err
	}
	var errs []error
	for _, p := range append(paths[:1:1], paths[len(earlyStandard):]...) {
		_, err := s.library.Import(p)
		errs = append(errs, err)
	}
	return errors.Join(errs...)
}

// path returns the import path of a package of the module.
func (s *Session) path(p string) string { return s.library.module + "/" + p }

// The files of the program, in the session's folder. The setup that Reset returns
// puts them where the cell kernel builds.
const (
	ProgramFile = "railbook_cell.go"
	TestFile    = "railbook_cell_test.go"
)

// emptyProgram is what stands in a file that is not used.
const emptyProgram = "package main\n"

// Reset forgets all cells. The code it returns has to be run by the cell kernel,
// before any cell and again whenever another kernel has been started.
func (s *Session) Reset() (setup string, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	entries, err := os.ReadDir(s.o.Folder)
	if err != nil {
		return "", fmt.Errorf("the folder of the session: %w", err)
	}
	for _, e := range entries {
		if valueFile(e.Name()) {
			os.Remove(filepath.Join(s.o.Folder, e.Name()))
		}
	}
	s.test = ""
	for _, name := range []string{ProgramFile, TestFile} {
		if err := s.write(name, emptyProgram); err != nil {
			return "", err
		}
	}
	s.forget()
	s.cells = 0
	return s.setup(), nil
}

// forget drops all that cells have left.
func (s *Session) forget() {
	s.units, s.methods = map[string]*unit{}, map[string]map[string]*unit{}
	s.tests, s.inits = map[string]*unit{}, nil
	s.vars = map[string]*variable{}
	s.imports, s.effects = map[string]string{}, nil
	s.dots = []string{s.path(displayPath)}
	s.larges = map[string][]string{}
}

// setup links the program's files into the folder in which the kernel builds, and
// keeps the kernel from looking for modules at each cell.
func (s *Session) setup() string {
	at := func(name string) string { return "'" + filepath.Join(s.o.Folder, name) + "'" }
	return "%noautoget\n!*ln -sf " + at(ProgramFile) + " " + at(TestFile) + " ."
}

// write writes a file of the session so that it is there as a whole or as before.
func (s *Session) write(name, text string) error {
	if s.test == text && name == TestFile { // it hardly ever changes
		return nil
	}
	path := filepath.Join(s.o.Folder, name)
	if err := os.WriteFile(path+".part", []byte(text), 0o600); err != nil {
		return err
	}
	if err := os.Rename(path+".part", path); err != nil {
		return err
	}
	if name == TestFile {
		s.test = text
	}
	return nil
}

// valueFile reports whether a file of the folder holds values or a report.
func valueFile(name string) bool {
	mark, rest, ok := strings.Cut(name, "-")
	if !ok || strings.Trim(mark, "0123456789") != "" || mark == "" {
		return false
	}
	for _, kind := range []string{"heap", "large", "report", "step"} {
		if rest == kind || strings.HasPrefix(rest, kind+"-") || strings.HasPrefix(rest, kind+".") {
			return true
		}
	}
	return false
}
