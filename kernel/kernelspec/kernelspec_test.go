package kernelspec

import (
	"bytes"
	"encoding/json"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

func program(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "program")
	if err := os.WriteFile(path, []byte(text), 0o755); err != nil {
		t.Fatal(err)
	}
	return path
}

func spec(t *testing.T, text string) Spec {
	return Spec{Program: program(t, text), Args: []string{"kernel", "--connection", "{connection_file}"}}
}

// TestWrite wants a folder as Jupyter's documentation of kernels describes it.
func TestWrite(t *testing.T) {
	data := filepath.Join(t.TempDir(), "share", "jupyter")
	folder, err := Write(data, spec(t, "first"))
	if err != nil {
		t.Fatal(err)
	}
	if folder != filepath.Join(data, "kernels", "railbook") {
		t.Errorf("written to %s", folder)
	}
	text, err := os.ReadFile(filepath.Join(folder, "kernel.json"))
	if err != nil {
		t.Fatal(err)
	}
	var got file
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	if want := filepath.Join(folder, "railbook") + " kernel --connection {connection_file}"; strings.Join(got.Argv, " ") != want {
		t.Errorf("argv %q, want %q", got.Argv, want)
	}
	if got.DisplayName != "Railbook" || got.Language != "go" || got.InterruptMode != "message" {
		t.Errorf("got %+v", got)
	}
	for name, side := range map[string]int{"logo-32x32.png": 32, "logo-64x64.png": 64} {
		data, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			t.Fatal(err)
		}
		if c, err := png.DecodeConfig(bytes.NewReader(data)); err != nil || c.Width != side || c.Height != side {
			t.Errorf("%s: %d × %d, %v", name, c.Width, c.Height, err)
		}
	}
	if info, err := os.Stat(filepath.Join(folder, "railbook")); err != nil || info.Mode()&0o111 == 0 {
		t.Errorf("the program cannot be started: %v", err)
	}
}

// TestWriteAgain wants the new kernel in the place of the old, and nothing beside it.
func TestWriteAgain(t *testing.T) {
	data := t.TempDir()
	for _, text := range []string{"first", "second"} {
		folder, err := Write(data, spec(t, text))
		if err != nil {
			t.Fatal(err)
		}
		if got, _ := os.ReadFile(filepath.Join(folder, "railbook")); string(got) != text {
			t.Errorf("program %q, want %q", got, text)
		}
	}
	alone(t, data)
	if was, err := Remove(data); err != nil || !was {
		t.Errorf("removed %v, %v", was, err)
	}
	if was, err := Remove(data); err != nil || was {
		t.Errorf("removed once more: %v, %v", was, err)
	}
}

// alone wants nothing but the folder of kernels and one kernel in it.
func alone(t *testing.T, data string) {
	t.Helper()
	for _, dir := range []string{data, filepath.Join(data, "kernels")} {
		entries, err := os.ReadDir(dir)
		if err != nil || len(entries) != 1 {
			t.Errorf("%s holds %v, %v; want one entry", dir, entries, err)
		}
	}
}

func TestWriteErrors(t *testing.T) {
	data := t.TempDir()
	if _, err := Write(data, spec(t, "good")); err != nil {
		t.Fatal(err)
	}
	for name, s := range map[string]Spec{"missing": {Program: filepath.Join(data, "none")}, "a folder": {Program: data}} {
		if _, err := Write(data, s); err == nil || !strings.Contains(err.Error(), s.Program) {
			t.Errorf("%s: %v", name, err)
		}
		alone(t, data)
		if got, _ := os.ReadFile(filepath.Join(Folder(data), "railbook")); string(got) != "good" {
			t.Errorf("%s: the kernel that was there now holds %q", name, got)
		}
	}
	taken := program(t, "a file")
	if _, err := Write(taken, spec(t, "x")); err == nil || !strings.Contains(err.Error(), taken) {
		t.Errorf("below a file: %v", err)
	}
}

// TestUserDir wants the folders that Jupyter's documentation of its paths names.
func TestUserDir(t *testing.T) {
	t.Setenv("JUPYTER_DATA_DIR", "/somewhere")
	if got, err := UserDir(); err != nil || got != "/somewhere" {
		t.Errorf("got %s, %v", got, err)
	}
	if got := PrefixDir("/usr"); got != filepath.Join("/usr", "share", "jupyter") {
		t.Errorf("got %s", got)
	}
}

// TestJupyterFindsIt asks Jupyter itself which kernels there are.
func TestJupyterFindsIt(t *testing.T) {
	jupyter, err := exec.LookPath("jupyter-kernelspec")
	if err != nil {
		t.Skip("Jupyter is not installed")
	}
	data := t.TempDir()
	folder, err := Write(data, spec(t, "x"))
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(jupyter, "list", "--json")
	cmd.Env = append(os.Environ(), "JUPYTER_DATA_DIR="+data)
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var list struct {
		Kernels map[string]struct {
			Dir  string `json:"resource_dir"`
			Spec struct {
				DisplayName string `json:"display_name"`
			} `json:"spec"`
		} `json:"kernelspecs"`
	}
	if err := json.Unmarshal(out, &list); err != nil {
		t.Fatal(err)
	}
	if k := list.Kernels["railbook"]; k.Spec.DisplayName != "Railbook" || k.Dir != folder {
		t.Errorf("Jupyter lists %+v", list.Kernels)
	}
}
