package program

import (
	"crypto/sha256"
	"fmt"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"
)

// sources returns a digest of the files that the program is compiled from: those of
// sizing, of package whatif and of the program, and the versions of the modules. A test
// holds this to what it imports.
func sources(root string) (string, error) {
	var names []string
	tree := os.DirFS(root)
	err := fs.WalkDir(tree, "sizing", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && d.Name() == "testdata":
			return fs.SkipDir
		case d.Type().IsRegular():
			names = append(names, name)
		}
		return nil
	})
	if err != nil {
		return "", err
	}
	for _, pattern := range []string{"go.mod", "go.sum", "kernel/whatif/*.go", "kernel/whatif/wasm/*"} {
		found, err := fs.Glob(tree, pattern)
		if err != nil {
			return "", err
		}
		names = append(names, found...)
	}
	slices.Sort(names)
	hash := sha256.New()
	for _, name := range names {
		if ext := path.Ext(name); strings.HasSuffix(name, "_test.go") || ext == ".test" || ext == ".md" {
			continue
		}
		data, err := fs.ReadFile(tree, name)
		if err != nil {
			return "", err
		}
		fmt.Fprintf(hash, "%s %d\n", name, len(data))
		hash.Write(data)
	}
	return fmt.Sprintf("%x", hash.Sum(nil)[:8]), nil
}
