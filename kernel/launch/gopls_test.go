package launch

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/kernel/cache"
)

func TestGopls(t *testing.T) {
	if testing.Short() {
		t.Skip("builds gopls")
	}
	m, err := FindModule(".")
	if err != nil {
		t.Fatal(err)
	}
	path, err := m.BuildGopls(t.Context(), func(line string) { t.Log(line) })
	if err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(path, "version").Output()
	if err != nil || !strings.Contains(string(out), goplsModule+" v0.21.0") {
		t.Errorf("gopls says %q, %v", out, err)
	}
	again, err := m.BuildGopls(t.Context(), func(line string) { t.Errorf("built again: %s", line) })
	if err != nil || again != path {
		t.Errorf("asked again: got %s, %v", again, err)
	}
}

// TestGoplsWithoutNetwork has nothing in the module cache, and no way to fill it.
func TestGoplsWithoutNetwork(t *testing.T) {
	m, err := FindModule(".")
	if err != nil {
		t.Fatal(err)
	}
	t.Setenv(cache.Env, t.TempDir())
	t.Setenv("GOMODCACHE", t.TempDir())
	t.Setenv("GOPROXY", "off")
	_, err = m.BuildGopls(t.Context(), func(string) {})
	if err == nil || !strings.Contains(err.Error(), "needs the network once") || !strings.Contains(err.Error(), "building gopls") {
		t.Errorf("got %v, want an error that says what is missing, and the go command's words", err)
	}
}

func TestGoplsNotPinned(t *testing.T) {
	m := Module{Root: t.TempDir()}
	if _, err := m.BuildGopls(t.Context(), func(string) {}); err == nil || !strings.Contains(err.Error(), "gopls is not pinned") {
		t.Errorf("without a module: got %v", err)
	}
	dir := filepath.Join(m.Root, "kernel", "launch", "gopls")
	if err := os.MkdirAll(dir, 0o777); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, "go.mod"), "module x\n")
	if _, err := m.BuildGopls(t.Context(), func(string) {}); err == nil || !strings.Contains(err.Error(), "does not require "+goplsModule) {
		t.Errorf("without a requirement: got %v", err)
	}
}
