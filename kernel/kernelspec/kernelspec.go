// Package kernelspec puts Railbook among the kernels that Jupyter offers: a folder with
// kernel.json and a logo, and the program that it starts, in the place where Jupyter looks
// for kernels. The layout is described at
// https://jupyter-client.readthedocs.io/en/stable/kernels.html.
package kernelspec

import (
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
)

// Name is the name by which Jupyter and notebooks know the kernel, and DisplayName the one
// that people see.
const (
	Name        = "railbook"
	DisplayName = "Railbook"
)

var (
	//go:embed logo.svg
	logo []byte
	//go:embed logo-32x32.png
	logo32 []byte
	//go:embed logo-64x64.png
	logo64 []byte
)

// Spec says what Jupyter is to start.
type Spec struct {
	Program string   // the kernel's program, which is copied into the folder
	Args    []string // its arguments; "{connection_file}" stands for the path that Jupyter fills in
	Env     map[string]string
}

// file is kernel.json.
type file struct {
	Argv          []string          `json:"argv"`
	DisplayName   string            `json:"display_name"`
	Language      string            `json:"language"`
	InterruptMode string            `json:"interrupt_mode"`
	Env           map[string]string `json:"env,omitempty"`
	Metadata      map[string]any    `json:"metadata"`
}

// UserDir returns the folder in which Jupyter keeps what belongs to the user, as its
// documentation has it: JUPYTER_DATA_DIR, or else the place usual on the system. The error
// says that the machine names no home folder.
func UserDir() (string, error) {
	if dir := os.Getenv("JUPYTER_DATA_DIR"); dir != "" {
		return dir, nil
	}
	switch runtime.GOOS {
	case "windows":
		if dir := os.Getenv("APPDATA"); dir != "" {
			return filepath.Join(dir, "jupyter"), nil
		}
	case "darwin":
		if home, err := os.UserHomeDir(); err == nil {
			return filepath.Join(home, "Library", "Jupyter"), nil
		}
	default:
		if dir := os.Getenv("XDG_DATA_HOME"); dir != "" {
			return filepath.Join(dir, "jupyter"), nil
		}
		if home, err := os.UserHomeDir(); err == nil {
			return filepath.Join(home, ".local", "share", "jupyter"), nil
		}
	}
	return "", errors.New("no home folder is known; set JUPYTER_DATA_DIR to Jupyter's data folder, or give --prefix")
}

// PrefixDir returns the folder in which a Jupyter installed under a prefix, such as
// /usr/local or a virtual environment, looks.
func PrefixDir(prefix string) string { return filepath.Join(prefix, "share", "jupyter") }

// Folder returns the kernel's folder below one of the above.
func Folder(data string) string { return filepath.Join(data, "kernels", Name) }

// Write puts the kernel below Jupyter's data folder, in the place of one that is there,
// and returns its folder. What is there stays whole until the new one is complete. The
// error names the path.
func Write(data string, s Spec) (string, error) {
	folder := Folder(data)
	if err := os.MkdirAll(filepath.Dir(folder), 0o755); err != nil {
		return "", err
	}
	// Beside the folder of kernels, for Jupyter to see no half of it, and on the same disk.
	work, err := os.MkdirTemp(data, ".railbook-")
	if err != nil {
		return "", err
	}
	defer os.RemoveAll(work)
	if err := os.Chmod(work, 0o755); err != nil {
		return "", err
	}
	program := "railbook" + filepath.Ext(s.Program)
	if err := copyProgram(filepath.Join(work, program), s.Program); err != nil {
		return "", err
	}
	text, err := json.MarshalIndent(file{
		Argv:        append([]string{filepath.Join(folder, program)}, s.Args...),
		DisplayName: DisplayName, Language: "go", InterruptMode: "message", Env: s.Env, Metadata: map[string]any{"debugger": false},
	}, "", "  ")
	if err != nil {
		return "", err
	}
	for name, data := range map[string][]byte{
		"kernel.json": append(text, '\n'), "logo-svg.svg": logo, "logo-32x32.png": logo32, "logo-64x64.png": logo64,
	} {
		if err := os.WriteFile(filepath.Join(work, name), data, 0o644); err != nil {
			return "", err
		}
	}
	old := work + "-old"
	err = os.Rename(folder, old)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return "", err
	}
	defer os.RemoveAll(old)
	if err := os.Rename(work, folder); err != nil {
		return "", errors.Join(err, os.Rename(old, folder))
	}
	return folder, nil
}

// Remove takes the kernel away and reports whether it was there.
func Remove(data string) (bool, error) {
	folder := Folder(data)
	if _, err := os.Stat(filepath.Join(folder, "kernel.json")); errors.Is(err, os.ErrNotExist) {
		return false, nil
	} else if err != nil {
		return false, err
	}
	return true, os.RemoveAll(folder)
}

// copyProgram copies a program. A link would break as soon as the one it points to is
// built anew or, started by go run, removed.
func copyProgram(to, from string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	if info, err := in.Stat(); err != nil {
		return err
	} else if !info.Mode().IsRegular() {
		return fmt.Errorf("%s is no program", from)
	}
	out, err := os.OpenFile(to, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o755)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Close())
}
