package setting

import (
	"slices"
	"strings"
	"testing"
)

func TestThroughTheEnvironment(t *testing.T) {
	for _, s := range []Setting{
		{},
		{Shims: "/cache/a b/shims", Program: "/cache/cellgo", Direct: true, Events: true, Stage: `/tmp/"x"/stage`},
	} {
		name, value, ok := strings.Cut(s.Entry(), "=")
		if !ok || name != Env {
			t.Fatalf("the entry is %q", s.Entry())
		}
		t.Setenv(Env, value)
		if got, err := Read(); err != nil || got != s {
			t.Errorf("got %+v, %v, want %+v", got, err, s)
		}
	}
}

func TestRead(t *testing.T) {
	t.Setenv(Env, "")
	if s, err := Read(); err != nil || s != (Setting{}) {
		t.Errorf("without a setting: got %+v, %v", s, err)
	}
	t.Setenv(Env, "direct")
	if _, err := Read(); err == nil || !strings.Contains(err.Error(), `RAILBOOK_CELLGO="direct"`) {
		t.Errorf("got %v, want an error that names variable and value", err)
	}
}

func TestWithout(t *testing.T) {
	s := Setting{Shims: "/shims", Direct: true}
	env := []string{"HOME=/h", s.Entry(), "PATH=/shims:/usr/bin:/shims:/shims/x", "MYPATH=/shims"}
	got := s.Without(env)
	if want := []string{"HOME=/h", "PATH=/usr/bin:/shims/x", "MYPATH=/shims"}; !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	if env[2] != "PATH=/shims:/usr/bin:/shims:/shims/x" {
		t.Error("the environment given was changed")
	}
	if got := (Setting{}).Path("/a::/b"); got != "/a::/b" {
		t.Errorf("without shims the list became %q", got)
	}
}
