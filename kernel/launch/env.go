package launch

import (
	"os"
	"path/filepath"
	"slices"
	"strings"

	"example.com/railbook/kernel/cellgo/setting"
)

// ours are the variables of the go command that the kernel sets for itself or
// that would keep its cells from building.
var ours = []string{
	"GO111MODULE", "GOARCH", "GOFLAGS", "GOOS", "GOPROXY", "GOTMPDIR", "GOWORK", "TMPDIR", setting.Env,
}

// environ returns the environment of a kernel that builds in the folder temp,
// beside which the programs of tools act as set: base without what would disturb
// it, then extra, which wins.
//
// GOPROXY=off keeps the network out, so that a run gives the same today and
// tomorrow. The linker flags leave out the symbol tables, a quarter of a warm
// cell's time; line numbers in panics stay.
func environ(base []string, tools Tools, temp string, s setting.Setting, extra []string) []string {
	env := slices.DeleteFunc(slices.Clone(base), func(entry string) bool {
		name, _, _ := strings.Cut(entry, "=")
		return slices.Contains(ours, name)
	})
	path := []string{tools.Kernel, os.Getenv("PATH")}
	if s.Direct || s.Events {
		path = append([]string{s.Shims}, path...)
		env = append(env, s.Entry())
	}
	env = append(env,
		"TMPDIR="+temp,
		"GOTMPDIR="+temp,
		"GOPROXY=off",
		"GOFLAGS=-buildvcs=false '-ldflags=-s -w'",
		"PATH="+strings.Join(path, string(filepath.ListSeparator)),
	)
	return append(env, extra...)
}
