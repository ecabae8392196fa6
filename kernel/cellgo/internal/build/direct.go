//go:build unix

package build

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// usable returns the packages of the cell's program, if the recipe holds for
// them.
func (r *recipe) usable(c cell) (map[string]pkg, bool) {
	for _, path := range c.imports {
		if !slices.Contains(r.Imports, path) {
			return nil, false
		}
	}
	all, ok := r.closure(append(slices.Clone(r.Always), c.imports...))
	if !ok || !unchanged(r.Watch) {
		return nil, false
	}
	for _, p := range all {
		if !unchanged(p.Watch) {
			return nil, false
		}
	}
	return all, true
}

// follow builds the cell's program by the recipe, as n.work/b001/exe/a.out, the
// place where the go command has it made.
func (r *recipe) follow(ctx context.Context, n names, c cell, packages map[string]pkg, env []string) (program string, err error) {
	base := filepath.Join(n.work, "b001")
	if err := os.MkdirAll(filepath.Join(base, "exe"), 0o700); err != nil {
		return "", err
	}
	compile, err := r.configs(n, c, packages)
	if err != nil {
		return "", err
	}
	for name, text := range compile {
		if err := os.WriteFile(filepath.Join(base, name), []byte(text), 0o600); err != nil {
			return "", err
		}
	}
	id := r.buildID(c)
	for _, s := range []step{r.Compile, r.Link} {
		args := withBuildID(each(s.Args, n.show), id)
		cmd := command(ctx, args[0], args[1:]...)
		cmd.Dir = n.show(s.Dir)
		cmd.Env = append(append(slices.Clone(env), "PWD="+cmd.Dir), each(s.Env, n.show)...)
		var out bytes.Buffer
		cmd.Stdout, cmd.Stderr = &out, &out
		if err := cmd.Run(); err != nil {
			return "", fmt.Errorf("%s: %w\n%s", filepath.Base(args[0]), err, out.Bytes())
		}
		if out.Len() > 0 { // what the go command would have shown
			return "", fmt.Errorf("%s: %s", filepath.Base(args[0]), out.Bytes())
		}
	}
	return filepath.Join(base, "exe", "a.out"), nil
}

// configs returns the import configurations of the two tools, by file name.
func (r *recipe) configs(n names, c cell, packages map[string]pkg) (map[string]string, error) {
	var compile, link strings.Builder
	for _, path := range c.imports {
		if p, ok := packages[path]; ok { // all but "unsafe"
			fmt.Fprintf(&compile, "packagefile %s=%s\n", path, p.File)
		}
	}
	fmt.Fprintf(&link, "packagefile %s=%s\n", filepath.Base(n.dir), n.compiled())
	for path, p := range packages {
		fmt.Fprintf(&link, "packagefile %s=%s\n", path, p.File)
	}
	info, err := selectInfo(r.Info, packages)
	if err != nil {
		return nil, err
	}
	fmt.Fprintf(&link, "modinfo %s\n", encodeInfo(n.show(info)))
	return map[string]string{"importcfg": compile.String(), "importcfg.link": link.String()}, nil
}

// buildID returns an identifier of the cell and what it is made from.
func (r *recipe) buildID(c cell) string {
	hash := sha256.New()
	fmt.Fprintf(hash, "%x %q %q\n", c.sum, r.Compile.Args, r.Link.Args)
	for _, path := range c.imports {
		fmt.Fprintf(hash, "%s %s\n", path, r.Packages[path].File)
	}
	return base64.RawURLEncoding.EncodeToString(hash.Sum(nil)[:15])
}

// withBuildID puts the identifier in the place of every part of the one that the
// go command had chosen.
func withBuildID(args []string, id string) []string {
	replace := func(old string) string {
		return strings.Repeat(id+"/", strings.Count(old, "/")) + id
	}
	for i, arg := range args {
		if old, ok := strings.CutPrefix(arg, "-buildid="); ok && strings.Contains(old, "/") {
			args[i] = "-buildid=" + replace(old)
		}
		if i > 0 && args[i-1] == "-buildid" {
			args[i] = replace(arg)
		}
	}
	return args
}
