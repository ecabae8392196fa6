package program

import (
	"context"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"example.com/railbook/kernel/launch"
)

// notices collects the licences of the Go release and of the modules that the program is
// compiled from.
func notices(ctx context.Context, m launch.Module, target []string, goroot string) ([]Notice, error) {
	text, err := os.ReadFile(filepath.Join(goroot, "LICENSE"))
	if err != nil {
		return nil, fmt.Errorf("licence of Go: %w", err)
	}
	list := []Notice{{"Go", string(text)}}
	out, err := goCommand(ctx, m, target, "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}} {{.Version}}\t{{.Dir}}{{end}}{{end}}", pkg)
	if err != nil {
		return nil, err
	}
	dirs := map[string]string{}
	for line := range strings.Lines(out) {
		if name, dir, ok := strings.Cut(strings.TrimSpace(line), "\t"); ok {
			dirs[name] = dir
		}
	}
	for _, name := range slices.Sorted(maps.Keys(dirs)) {
		dir := os.DirFS(dirs[name])
		files, err := fs.Glob(dir, "LICEN[CS]E*")
		if err != nil {
			return nil, err
		}
		if len(files) == 0 {
			return nil, fmt.Errorf("module %s in the page's program has no licence file", name)
		}
		for _, file := range files {
			text, err := fs.ReadFile(dir, file)
			if err != nil {
				return nil, err
			}
			list = append(list, Notice{name, string(text)})
		}
	}
	return list, nil
}
