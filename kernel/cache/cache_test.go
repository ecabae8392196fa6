package cache_test

import (
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/kernel/cache"
)

func TestEnvMovesTheCache(t *testing.T) {
	root := t.TempDir()
	t.Setenv(cache.Env, root)
	got, err := cache.Dir("scripts", "a-1.0")
	if err != nil {
		t.Fatal(err)
	}
	if want := filepath.Join(root, "scripts", "a-1.0"); got != want {
		t.Errorf("Dir = %q, want %q", got, want)
	}
}

func TestEnvMayBeRelative(t *testing.T) {
	t.Chdir(t.TempDir())
	t.Setenv(cache.Env, "here")
	got, err := cache.Dir()
	if err != nil {
		t.Fatal(err)
	}
	if !filepath.IsAbs(got) || filepath.Base(got) != "here" {
		t.Errorf("Dir = %q, want an absolute path ending in here", got)
	}
}

func TestDefaultIsTheUsersCache(t *testing.T) {
	t.Setenv(cache.Env, "")
	t.Setenv("HOME", t.TempDir())
	t.Setenv("XDG_CACHE_HOME", "")
	got, err := cache.Dir("scripts")
	if err != nil {
		t.Skipf("this system names no user cache folder: %v", err)
	}
	if want := filepath.Join("railbook", "scripts"); !strings.HasSuffix(got, want) {
		t.Errorf("Dir = %q, want it to end in %q", got, want)
	}
}

func TestNoCacheFolderSaysWhatToSet(t *testing.T) {
	for _, name := range []string{cache.Env, "HOME", "XDG_CACHE_HOME", "LocalAppData", "home"} {
		t.Setenv(name, "")
	}
	dir, err := cache.Dir()
	if err == nil {
		t.Skipf("this system finds a cache folder without its environment: %s", dir)
	}
	if !strings.Contains(err.Error(), cache.Env) {
		t.Errorf("error %q does not name %s", err, cache.Env)
	}
}
