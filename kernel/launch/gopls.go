package launch

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"golang.org/x/mod/modfile"
)

// goplsModule is the module of gopls, the language server. It is pinned in a
// module of its own, since it needs other versions of the modules it shares with
// Railbook.
const goplsModule = "golang.org/x/tools/gopls"

// BuildGopls returns the path of gopls, at the version pinned in the folder gopls
// of this package, building it if this user has not had it built before. It is
// kept in Railbook's cache. Before a build, which takes about a minute of
// processor time, progress is called with a line that says so.
//
// A first build fetches modules. Without the network the error says so.
func (m Module) BuildGopls(ctx context.Context, progress func(string)) (string, error) {
	dir := filepath.Join(m.Root, "kernel", "launch", "gopls")
	path := filepath.Join(dir, "go.mod")
	text, err := os.ReadFile(path)
	if err != nil {
		return "", fmt.Errorf("gopls is not pinned: %w", err)
	}
	file, err := modfile.Parse(path, text, nil)
	if err != nil {
		return "", err
	}
	version := ""
	for _, r := range file.Require {
		if r.Mod.Path == goplsModule {
			version = r.Mod.Version
		}
	}
	if version == "" {
		return "", fmt.Errorf("%s does not require %s", path, goplsModule)
	}
	target, err := m.target(ctx)
	if err != nil {
		return "", err
	}
	tools, err := built{
		name:    strings.Join([]string{"gopls", version, requireSum(file), target}, "-"),
		whole:   holds("gopls"),
		message: fmt.Sprintf("building the language server, gopls %s (once, takes a minute or two)", version),
		make: func(ctx context.Context, out string) error {
			err := m.goBuild(ctx, dir, filepath.Join(out, "gopls"), goplsModule)
			if err != nil && ctx.Err() == nil {
				return errors.Join(errors.New("gopls cannot be built; if this machine has not fetched its source yet, that needs the network once"), err)
			}
			return err
		},
	}.find(ctx, progress)
	if err != nil {
		return "", err
	}
	return filepath.Join(tools, "gopls"), nil
}
