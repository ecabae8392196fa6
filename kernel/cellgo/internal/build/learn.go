//go:build unix

package build

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// lesson is a build by the go command from which to learn.
type lesson struct {
	names
	cell     cell
	env      []string // of the go command
	root     string   // of the Go distribution, if known
	packages []listed // of which the program is made
	start    time.Time
	before   *recipe // the one for the same key, whether it holds or not; or nil
	// exported returns where the go command keeps compiled packages.
	exported func(paths []string) (map[string]string, error)
}

// learn makes a recipe of the build, whose calls are noted in the folder notes.
func (n lesson) learn(notes string) (*recipe, error) {
	link, err := readCall(notes, "link")
	if err != nil {
		return nil, err
	}
	// The output of the linker is $WORK/b001/exe/a.out.
	n.work = filepath.Dir(filepath.Dir(filepath.Dir(flagValue(link.Args, "-o"))))
	compile, err := n.compileStep(notes)
	if err != nil {
		return nil, err
	}
	config, err := parseConfig(link.Config)
	if err != nil {
		return nil, err
	}
	if err := n.linkCell(&link, config.files[filepath.Base(n.dir)]); err != nil {
		return nil, err
	}
	if err := n.settle(config.files); err != nil {
		return nil, err
	}
	info, err := decodeInfo(config.info)
	if err != nil {
		return nil, err
	}
	r := &recipe{
		Made:     time.Now(),
		Compile:  compile,
		Link:     link.step(n.names, n.env),
		Info:     n.hide(info),
		Imports:  n.cell.imports,
		Packages: map[string]pkg{},
	}
	for _, l := range n.packages {
		if l.foreign() {
			return nil, fmt.Errorf("package %s holds other languages", l.ImportPath)
		}
		file, linked := config.files[l.ImportPath]
		if !linked || l.Dir == n.dir { // "unsafe", the cell itself
			continue
		}
		p := pkg{Name: l.Name, File: file, Dir: l.Dir, Imports: l.resolve(), Watch: l.watches()}
		if l.Module != nil {
			p.Module = l.Module.Path
		}
		if !take(p.Watch, n.start) {
			return nil, fmt.Errorf("package %s was changed during the build", l.ImportPath)
		}
		r.Packages[l.ImportPath] = p
	}
	if r.Watch, err = moduleWatches(n.dir, n.packages); err != nil {
		return nil, err
	}
	files := []string{n.show(compile.Args[0]), link.Args[0]}
	if n.root != "" {
		files = append(files, filepath.Join(n.root, "go.env"))
	}
	for _, path := range files {
		r.Watch = append(r.Watch, watch{Kind: watchFile, Path: path})
	}
	if !take(r.Watch, n.start) {
		return nil, errors.New("a module file was changed during the build")
	}
	return r, r.complete(n.cell, config)
}

// compileStep returns how the cell was compiled, or how an earlier one was if the
// go command still had this one.
func (n lesson) compileStep(notes string) (step, error) {
	c, err := readCall(notes, "compile")
	switch {
	case err == nil:
		if flagValue(c.Args, "-o") != n.compiled() {
			return step{}, fmt.Errorf("the cell was compiled to %s, want %s", flagValue(c.Args, "-o"), n.compiled())
		}
		return c.step(n.names, n.env), nil
	case os.IsNotExist(err) && n.before != nil:
		return n.before.Compile, nil
	}
	return step{}, err
}

// compiled is the file of the compiled cell.
func (n names) compiled() string { return filepath.Join(n.work, "b001", "_pkg_.a") }

// linkCell sees to it that the linker is given the compiled cell. If the go command
// still had that, it was another file, of this very cell.
func (n lesson) linkCell(link *call, file string) error {
	last := len(link.Args) - 1
	if file == "" || link.Args[last] != file || slices.Contains(link.Args[:last], file) {
		return errors.New("the linker is not given the compiled cell as its last argument")
	}
	link.Args[last] = n.compiled()
	return nil
}

// settle replaces the files of packages that were compiled in this build, which
// are gone by now, by those that the go command has kept.
func (n lesson) settle(files map[string]string) error {
	var gone []string
	for path, file := range files {
		if strings.HasPrefix(file, n.work) && path != filepath.Base(n.dir) {
			gone = append(gone, path)
		}
	}
	if len(gone) == 0 {
		return nil
	}
	kept, err := n.exported(gone)
	if err != nil {
		return err
	}
	for _, path := range gone {
		if kept[path] == "" {
			return fmt.Errorf("the compiled package %s was not kept", path)
		}
		files[path] = kept[path]
	}
	return nil
}

// complete adds the packages that the go command links though the cell does not
// import them, not even indirectly; they belong to the standard library.
func (r *recipe) complete(c cell, config importConfig) error {
	all, ok := r.closure(c.imports)
	if !ok {
		return errors.New("the go command lists fewer packages than the cell imports")
	}
	for path, file := range config.files {
		if _, imported := all[path]; imported || path == filepath.Base(c.dir) {
			continue
		}
		if first, _, _ := strings.Cut(path, "/"); strings.Contains(first, ".") {
			return fmt.Errorf("the go command links %s, which nothing imports", path)
		}
		if _, known := r.Packages[path]; !known {
			r.Packages[path] = pkg{File: file}
		}
		r.Always = append(r.Always, path)
	}
	slices.Sort(r.Always)
	return nil
}

func appendNew(list []string, s string) []string {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}
