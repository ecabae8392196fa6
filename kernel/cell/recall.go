package cell

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"

	"example.com/railbook/kernel/cache"
)

// record is what is kept for later sessions.
type record struct {
	Tool     string
	Sums     string // the state of go.mod and go.sum
	Packages []*listed
}

// state returns by what the go command and the module's requirements are known.
func (l *library) state() (tool, sums string) {
	if path, err := exec.LookPath("go"); err == nil {
		if resolved, err := filepath.EvalSymlinks(path); err == nil {
			path = resolved
		}
		if info, err := os.Stat(path); err == nil {
			tool = fmt.Sprintf("%s %d %d", path, info.Size(), info.ModTime().UnixNano())
		}
	}
	for _, name := range []string{"go.mod", "go.sum"} {
		if info, err := os.Stat(filepath.Join(l.root, name)); err == nil {
			sums += fmt.Sprintf("%s %d %d ", name, info.Size(), info.ModTime().UnixNano())
		}
	}
	return tool, sums
}

// file is where the record is kept, "" if nowhere.
func (l *library) file() string {
	dir, err := cache.Dir("packages")
	if err != nil {
		return ""
	}
	name := strings.Map(func(r rune) rune {
		if r == '/' || r == '\\' || r == ':' {
			return '-'
		}
		return r
	}, l.root)
	return filepath.Join(dir, strings.Trim(name, "-")+".json")
}

// recall reads what earlier sessions asked, as far as it still holds.
func (l *library) recall() {
	data, err := os.ReadFile(l.file())
	if err != nil {
		return
	}
	var r record
	tool, sums := l.state()
	if json.Unmarshal(data, &r) != nil || r.Tool != tool || r.Sums != sums {
		return
	}
	all := map[string]*listed{}
	for _, p := range r.Packages {
		all[p.Path] = p
	}
	holds := map[string]bool{}
	var check func(*listed) bool
	check = func(p *listed) bool {
		if known, ok := holds[p.Path]; ok {
			return known
		}
		_, err := os.Stat(p.Export)
		ok := err == nil && (p.Stamp == "" || p.Stamp == l.stamp(p.Dir))
		holds[p.Path] = ok // no ring among packages
		for _, i := range p.Imports {
			if q := all[i]; i != "unsafe" && (q == nil || !check(q)) {
				ok = false
			}
		}
		holds[p.Path] = ok
		return ok
	}
	for _, p := range r.Packages {
		if check(p) {
			l.packages[p.Path] = p
		}
	}
}

// keep writes what is known for later sessions. That it cannot costs them time
// only.
func (l *library) keep() {
	path := l.file()
	if path == "" {
		return
	}
	r := record{}
	r.Tool, r.Sums = l.state()
	for _, path := range slices.Sorted(maps.Keys(l.packages)) {
		r.Packages = append(r.Packages, l.packages[path])
	}
	data, err := json.Marshal(r)
	if err != nil || os.MkdirAll(filepath.Dir(path), 0o755) != nil {
		return
	}
	temp, err := os.CreateTemp(filepath.Dir(path), "packages-")
	if err != nil {
		return
	}
	_, err = temp.Write(data)
	if cerr := temp.Close(); err != nil || cerr != nil || os.Rename(temp.Name(), path) != nil {
		os.Remove(temp.Name())
	}
}
