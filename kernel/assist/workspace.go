package assist

import (
	"fmt"
	"os"
	"path/filepath"

	"golang.org/x/mod/modfile"
)

// Prepare makes a folder ready for [Options]: with a go.mod that has the module at root,
// and all that it requires at its versions.
func Prepare(folder, root string) error {
	data, err := os.ReadFile(filepath.Join(root, "go.mod"))
	if err != nil {
		return err
	}
	given, err := modfile.Parse("go.mod", data, nil)
	if err != nil {
		return err
	}
	m := new(modfile.File)
	if err := m.AddModuleStmt("cells"); err != nil {
		return err
	}
	if given.Go != nil {
		if err := m.AddGoStmt(given.Go.Version); err != nil {
			return err
		}
	}
	const version = "v0.0.0"
	m.AddNewRequire(given.Module.Mod.Path, version, false)
	for _, r := range given.Require {
		m.AddNewRequire(r.Mod.Path, r.Mod.Version, r.Indirect)
	}
	if err := m.AddReplace(given.Module.Mod.Path, "", root, ""); err != nil {
		return fmt.Errorf("%s: %w", root, err)
	}
	text, err := m.Format()
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(folder, "go.mod"), text, 0o644); err != nil {
		return err
	}
	sums, err := os.ReadFile(filepath.Join(root, "go.sum"))
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(folder, "go.sum"), sums, 0o644)
}
