package launch

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"golang.org/x/mod/modfile"
)

// modulePath is the module whose packages the cells use.
const modulePath = "example.com/railbook"

// The modules of the two programs the kernel needs.
const (
	gonbModule  = "github.com/janpfeifer/gonb"
	toolsModule = "golang.org/x/tools"
)

// Module is the source tree of Railbook on this machine.
type Module struct {
	// Root is the absolute path of the folder that holds go.mod.
	Root string
	// Gonb is the pinned version of the cell kernel.
	Gonb string
	// sum tells apart sets of required modules.
	sum string
}

// FindModule looks for the Railbook module in each of dirs and, one dir after
// the other, in the folders above it.
func FindModule(dirs ...string) (Module, error) {
	for _, dir := range dirs {
		dir, err := filepath.Abs(dir)
		if err != nil {
			return Module{}, err
		}
		for {
			m, err := readModule(dir)
			if err == nil || !errors.Is(err, errOtherModule) {
				return m, err
			}
			up := filepath.Dir(dir)
			if up == dir {
				break
			}
			dir = up
		}
	}
	return Module{}, fmt.Errorf("found no go.mod of %s in %q or above: run railbook inside its source tree", modulePath, dirs)
}

var errOtherModule = errors.New("not the module")

// readModule reads dir's go.mod. The error is errOtherModule if there is none
// or it is another module's.
func readModule(dir string) (Module, error) {
	path := filepath.Join(dir, "go.mod")
	data, err := os.ReadFile(path)
	if err != nil || modfile.ModulePath(data) != modulePath {
		return Module{}, errOtherModule
	}
	file, err := modfile.Parse(path, data, nil)
	if err != nil {
		return Module{}, err
	}
	m := Module{Root: dir}
	tools := ""
	for _, r := range file.Require {
		switch r.Mod.Path {
		case gonbModule:
			m.Gonb = r.Mod.Version
		case toolsModule:
			tools = r.Mod.Version
		}
	}
	m.sum = requireSum(file)
	if m.Gonb == "" || tools == "" {
		return Module{}, fmt.Errorf("%s does not require both %s and %s", path, gonbModule, toolsModule)
	}
	return m, nil
}

// requireSum tells apart sets of required modules.
func requireSum(file *modfile.File) string {
	hash := sha256.New()
	for _, r := range file.Require {
		fmt.Fprintln(hash, r.Mod.Path, r.Mod.Version)
	}
	return fmt.Sprintf("%x", hash.Sum(nil)[:6])
}
