package launch

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// ours are the variables of the go command that the kernel sets for itself or
// that would keep its cells from building.
var ours = []string{
	"GO111MODULE", "GOARCH", "GOFLAGS", "GOOS", "GOPROXY", "GOTMPDIR", "GOWORK", "TMPDIR",
}

// environ returns the environment of a kernel that builds in the folder temp:
// base without what would disturb it, then extra, which wins.
//
// GOPROXY=off keeps the network out, so that a run gives the same today and
// tomorrow. The linker flags leave out the symbol tables, a quarter of a warm
// cell's time; line numbers in panics stay.
func environ(base []string, tools Tools, temp string, extra []string) []string {
	env := slices.DeleteFunc(slices.Clone(base), func(entry string) bool {
		name, _, _ := strings.Cut(entry, "=")
		return slices.Contains(ours, name)
	})
	env = append(env,
		"TMPDIR="+temp,
		"GOTMPDIR="+temp,
		"GOPROXY=off",
		"GOFLAGS=-buildvcs=false '-ldflags=-s -w'",
		"PATH="+string(tools)+string(filepath.ListSeparator)+os.Getenv("PATH"),
	)
	return append(env, extra...)
}
