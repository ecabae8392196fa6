//go:build unix

package build

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"example.com/railbook/kernel/cache"
)

// recipe is what the go command did to build cells, for one state of module
// files and environment; see [keyOf]. In its texts the names that change from
// kernel to kernel are replaced; see [names].
type recipe struct {
	Made time.Time `json:"made"`
	// Watch is what every cell depends on.
	Watch   []watch `json:"watch"`
	Compile step    `json:"compile"`
	Link    step    `json:"link"`
	// Info is what the program tells of its modules and settings, in the form of
	// debug.BuildInfo, with all modules of Packages.
	Info string `json:"info"`
	// Imports are what cells have imported. The go command does not let them import
	// every package that it links.
	Imports []string `json:"imports"`
	// Always are the packages that are linked though nothing imports them.
	Always []string `json:"always"`
	// Packages are the packages known, by import path.
	Packages map[string]pkg `json:"packages"`
}

// step is the call of a tool.
type step struct {
	Args []string `json:"args"` // the tool first
	Dir  string   `json:"dir"`
	Env  []string `json:"env"` // beside the go command's
}

// pkg is a compiled package.
type pkg struct {
	Name    string   `json:"name"`
	File    string   `json:"file"` // the compiled package
	Dir     string   `json:"dir"`  // its source folder
	Imports []string `json:"imports"`
	Module  string   `json:"module"` // the path of its module, empty for the standard library
	// Watch is what the package depends on beside its imports; nothing if its
	// source never changes.
	Watch []watch `json:"watch"`
}

// maxAge is how long a recipe is used. The go command removes compiled packages
// that it has not used for some days; by going through it once a day they are
// kept, and so nothing can stay wrong for longer.
const maxAge = 24 * time.Hour

// closure returns the packages that a program of these imports consists of, by
// import path. It reports false if one is not known.
func (r *recipe) closure(imports []string) (map[string]pkg, bool) {
	all := map[string]pkg{}
	var add func(paths []string) bool
	add = func(paths []string) bool {
		for _, path := range paths {
			if _, done := all[path]; done || path == "unsafe" {
				continue
			}
			p, ok := r.Packages[path]
			if !ok {
				return false
			}
			all[path] = p
			if !add(p.Imports) {
				return false
			}
		}
		return true
	}
	return all, add(imports)
}

// merge takes over from an older recipe the packages that this one does not
// know. It takes nothing if the two do not belong together.
func (r *recipe) merge(old *recipe) {
	for path, p := range old.Packages {
		// A package compiled anew may make all wrong that import it.
		if q, both := r.Packages[path]; both && q.File != p.File {
			return
		}
	}
	info, err := mergeInfo(r.Info, old.Info)
	if err != nil {
		return
	}
	r.Info = info
	for path, p := range old.Packages {
		if _, both := r.Packages[path]; !both {
			r.Packages[path] = p
		}
	}
	for _, path := range old.Always {
		r.Always = appendNew(r.Always, path)
	}
	for _, path := range old.Imports {
		r.Imports = appendNew(r.Imports, path)
	}
}

// recipes is the folder of all recipes. Its name changes with what a recipe
// means.
func recipes() (string, error) { return cache.Dir("recipes", "1") }

// errNone says that there is no usable recipe.
var errNone = errors.New("no recipe")

// load returns the recipe for the key, if it is whole and not too old.
func load(key string) (*recipe, error) {
	dir, err := recipes()
	if err != nil {
		return nil, err
	}
	data, err := os.ReadFile(filepath.Join(dir, key))
	if err != nil {
		return nil, err
	}
	sum, body, _ := bytes.Cut(data, []byte("\n"))
	if string(sum) != sumOf(body) {
		return nil, fmt.Errorf("%w: damaged file", errNone)
	}
	var r recipe
	if err := json.Unmarshal(body, &r); err != nil {
		return nil, err
	}
	if age := time.Since(r.Made); age < 0 || age > maxAge {
		return nil, fmt.Errorf("%w: made %v ago", errNone, age)
	}
	return &r, nil
}

// store keeps the recipe for the key and removes those that are too old.
func (r *recipe) store(key string) error {
	dir, err := recipes()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	body, err := json.Marshal(r)
	if err != nil {
		return err
	}
	// Nobody reads a file that is not complete.
	temp, err := os.CreateTemp(dir, ".new-")
	if err != nil {
		return err
	}
	defer os.Remove(temp.Name()) // fails once it is renamed
	_, err = fmt.Fprintf(temp, "%s\n%s", sumOf(body), body)
	if err := errors.Join(err, temp.Close()); err != nil {
		return err
	}
	if err := os.Rename(temp.Name(), filepath.Join(dir, key)); err != nil {
		return err
	}
	return prune(dir)
}

func sumOf(body []byte) string {
	sum := sha256.Sum256(body)
	return hex.EncodeToString(sum[:])
}

// prune removes files of the folder that no build will use any more.
func prune(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if info, err := e.Info(); err == nil && time.Since(info.ModTime()) > maxAge {
			os.Remove(filepath.Join(dir, e.Name())) // another process may have been faster
		}
	}
	return nil
}
