//go:build unix

package tool

import (
	"fmt"
	"os"
	"path/filepath"
	"syscall"

	"example.com/railbook/kernel/cellgo/setting"
)

// Find returns the path of the program called name, as PATH has it without the
// shims.
func Find(s setting.Setting, name string) (string, error) {
	for _, dir := range filepath.SplitList(s.Path(os.Getenv("PATH"))) {
		if dir == "" {
			continue // the current folder, which a program is not looked for in
		}
		path := filepath.Join(dir, name)
		if info, err := os.Stat(path); err == nil && info.Mode().IsRegular() && info.Mode()&0o111 != 0 {
			return path, nil
		}
	}
	return "", fmt.Errorf("%s is not on PATH", name)
}

// Become replaces this process by the real program called name, with the
// arguments args. It returns only if that fails.
func Become(s setting.Setting, name string, args []string) error {
	path, err := Find(s, name)
	if err != nil {
		return err
	}
	return Exec(path, append([]string{name}, args...), s.Without(os.Environ()))
}

// Exec replaces this process. It returns only if that fails.
func Exec(path string, argv, env []string) error {
	if err := syscall.Exec(path, argv, env); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return nil
}
