package launch

import (
	"slices"
	"strings"
	"testing"

	"example.com/railbook/kernel/cellgo/setting"
)

func TestEnviron(t *testing.T) {
	t.Setenv("PATH", "/bin")
	base := []string{
		"HOME=/home/x", "GOFLAGS=-mod=vendor", "GOWORK=off", "GOPROXY=https://proxy.example", "GO111MODULE=off",
		"GOOS=plan9", "TMPDIR=/tmp", "GOTRACEBACK=all", "NAME=old",
	}
	tools := Tools{Kernel: "/tools", Cells: "/cells"}
	got := environ(base, tools, "/temp", setting.Setting{}, []string{"NAME=new"})
	for _, want := range []string{
		"HOME=/home/x", "GOTRACEBACK=all", "TMPDIR=/temp", "GOTMPDIR=/temp", "GOPROXY=off", "PATH=/tools:/bin",
		"GOFLAGS=-buildvcs=false '-ldflags=-s -w'",
	} {
		if !slices.Contains(got, want) {
			t.Errorf("%s is missing in %q", want, got)
		}
	}
	for _, entry := range got {
		for _, bad := range []string{"GOWORK=", "GO111MODULE=", "GOOS=", "GOFLAGS=-mod", "GOPROXY=http", "TMPDIR=/tmp"} {
			if strings.HasPrefix(entry, bad) {
				t.Errorf("%s is still there", entry)
			}
		}
	}
	if last := got[len(got)-1]; last != "NAME=new" { // the last of a name counts
		t.Errorf("the last entry is %s, want what was added", last)
	}
	if slices.ContainsFunc(got, func(entry string) bool { return strings.HasPrefix(entry, setting.Env) }) {
		t.Error("programs beside the kernel are set though there are none")
	}
	if base[1] != "GOFLAGS=-mod=vendor" {
		t.Error("the base was changed")
	}
}

func TestEnvironWithShims(t *testing.T) {
	t.Setenv("PATH", "/bin")
	old := setting.Setting{Shims: "/old", Events: true}
	s := setting.Setting{Shims: "/cells/shims", Direct: true}
	got := environ([]string{old.Entry()}, Tools{Kernel: "/tools", Cells: "/cells"}, "/temp", s, nil)
	if !slices.Contains(got, "PATH=/cells/shims:/tools:/bin") {
		t.Errorf("PATH in %q", got)
	}
	if !slices.Contains(got, s.Entry()) || slices.Contains(got, old.Entry()) {
		t.Errorf("the setting in %q", got)
	}
}
