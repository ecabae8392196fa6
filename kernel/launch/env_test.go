package launch

import (
	"slices"
	"strings"
	"testing"
)

func TestEnviron(t *testing.T) {
	t.Setenv("PATH", "/bin")
	base := []string{
		"HOME=/home/x", "GOFLAGS=-mod=vendor", "GOWORK=off", "GOPROXY=https://proxy.example", "GO111MODULE=off",
		"GOOS=plan9", "TMPDIR=/tmp", "GOTRACEBACK=all", "NAME=old",
	}
	got := environ(base, "/tools", "/temp", []string{"NAME=new"})
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
	if base[1] != "GOFLAGS=-mod=vendor" {
		t.Error("the base was changed")
	}
}
