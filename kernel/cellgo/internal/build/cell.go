//go:build unix

package build

import (
	"bytes"
	"crypto/sha256"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// mainFile is the file to which the kernel writes a cell.
const mainFile = "main.go"

// cell is the source of a cell's program, as far as its build depends on it.
type cell struct {
	dir     string   // the folder of the cell's package
	imports []string // what it imports, sorted, without repetitions
	sum     [sha256.Size]byte
}

// special are the extensions of files that take part in a build.
var special = []string{
	".go", ".s", ".S", ".sx", ".c", ".cc", ".cpp", ".cxx", ".m", ".f", ".F", ".for", ".f90",
	".h", ".hh", ".hpp", ".hxx", ".swig", ".swigcxx", ".syso", ".pgo",
}

// readCell reads the cell in dir. It is plain if its program depends on nothing
// but main.go and the packages that imports; otherwise ok is false.
func readCell(dir string) (c cell, ok bool) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return cell{}, false
	}
	for _, e := range entries {
		name := e.Name()
		if name == "vendor" || name != mainFile && slices.Contains(special, filepath.Ext(name)) {
			return cell{}, false
		}
	}
	src, err := os.ReadFile(filepath.Join(dir, mainFile))
	if err != nil || directed(src) {
		return cell{}, false
	}
	file, err := parser.ParseFile(token.NewFileSet(), mainFile, src, parser.ImportsOnly)
	if err != nil || file.Name.Name != "main" {
		return cell{}, false
	}
	c = cell{dir: dir, sum: sha256.Sum256(src)}
	for _, spec := range file.Imports {
		path, err := strconv.Unquote(spec.Path.Value)
		if err != nil || !importable(path) {
			return cell{}, false
		}
		c.imports = append(c.imports, path)
	}
	slices.Sort(c.imports)
	c.imports = slices.Compact(c.imports)
	return c, true
}

// importable reports whether the path is that of a package to be compiled on its
// own: not cgo's, and none that depends on the folder it is imported from.
func importable(path string) bool {
	return path != "" && path != "C" && !strings.HasPrefix(path, ".") && !strings.HasPrefix(path, "/")
}

// directed reports whether the source may hold a comment that directs the
// build. Such a comment begins its line, but text that looks like one does no
// harm here.
func directed(src []byte) bool {
	for line := range bytes.Lines(src) {
		line = bytes.TrimSpace(line)
		for _, prefix := range []string{"//go:", "//line ", "/*line ", "// +build", "//+build", "//export "} {
			if bytes.HasPrefix(line, []byte(prefix)) {
				return true
			}
		}
	}
	return false
}
