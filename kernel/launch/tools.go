package launch

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"example.com/railbook/kernel/cache"
	"github.com/rogpeppe/go-internal/lockedfile"
)

// Tools is the folder that holds the programs built for one set of module
// versions: gonb, the cell kernel, and goimports, which gonb calls.
type Tools string

// programs are the packages to build, by the name of the program.
var programs = map[string]string{
	"gonb":      gonbModule,
	"goimports": toolsModule + "/cmd/goimports",
}

// Build returns the module's tools, building them if this user has not had them
// built from the same versions before. They are kept in Railbook's
// cache. Before a build, which takes about a minute of processor time on a
// fresh machine, progress is called with a line that says so.
//
// Of several processes that want the same tools at the same time one builds
// and the others wait.
func (m Module) Build(ctx context.Context, progress func(string)) (Tools, error) {
	if !supported {
		return "", fmt.Errorf("the cell kernel, gonb, does not run on %s; it does on Linux and macOS", runtime.GOOS)
	}
	parent, err := cache.Dir("tools")
	if err != nil {
		return "", err
	}
	target, err := m.goCommand(ctx, "env", "GOVERSION", "GOOS", "GOARCH")
	if err != nil {
		return "", err
	}
	name := strings.Join(append([]string{"gonb", m.Gonb, m.sum}, strings.Fields(target)...), "-")
	tools := Tools(filepath.Join(parent, name))
	if tools.complete() {
		return tools, nil
	}
	if err := os.MkdirAll(parent, 0o755); err != nil {
		return "", err
	}
	unlock, err := lock(ctx, string(tools)+".lock")
	if err != nil {
		return "", err
	}
	defer unlock()
	if tools.complete() { // built while we waited for the lock
		return tools, nil
	}
	progress(fmt.Sprintf("building the cell kernel, gonb %s (once, takes a minute or two)", m.Gonb))
	return tools, m.build(ctx, tools)
}

// build makes the tools in a new folder and gives it its final name when it is
// complete.
func (m Module) build(ctx context.Context, tools Tools) error {
	temp, err := os.MkdirTemp(filepath.Dir(string(tools)), "building-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(temp)
	for name, pkg := range programs {
		if _, err := m.goCommand(ctx, "build", "-o", filepath.Join(temp, name), pkg); err != nil {
			return fmt.Errorf("building %s: %w", name, err)
		}
	}
	if err := os.RemoveAll(string(tools)); err != nil { // a folder that lost a program
		return err
	}
	return os.Rename(temp, string(tools))
}

// complete reports whether every program is there.
func (t Tools) complete() bool {
	for name := range programs {
		if _, err := os.Stat(filepath.Join(string(t), name)); err != nil {
			return false
		}
	}
	return true
}

// goCommand runs the go command at the module's root and returns its output.
func (m Module) goCommand(ctx context.Context, args ...string) (string, error) {
	cmd := exec.CommandContext(ctx, "go", args...)
	cmd.Dir = m.Root
	cmd.Env = append(os.Environ(), "GOWORK=off", "GOFLAGS=-buildvcs=false", "PWD="+m.Root)
	// An interrupted go command removes its temporary files, a killed one does not.
	cmd.Cancel = func() error { return cmd.Process.Signal(os.Interrupt) }
	cmd.WaitDelay = 10 * time.Second
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	switch err := cmd.Run(); {
	case err == nil:
		return stdout.String(), nil
	case ctx.Err() != nil:
		return "", context.Cause(ctx)
	case errors.Is(err, exec.ErrNotFound):
		return "", errors.New("the go command is not on PATH: install Go and try again")
	default:
		return "", fmt.Errorf("go %s: %w\n%s", args[0], err, bytes.TrimSpace(stderr.Bytes()))
	}
}

// lock takes the lock file at path, which stays behind, and returns what
// releases it.
func lock(ctx context.Context, path string) (unlock func(), err error) {
	type result struct {
		unlock func()
		err    error
	}
	locked := make(chan result, 1)
	go func() {
		unlock, err := lockedfile.MutexAt(path).Lock()
		locked <- result{unlock, err}
	}()
	select {
	case r := <-locked:
		return r.unlock, r.err
	case <-ctx.Done():
		go func() {
			if r := <-locked; r.err == nil {
				r.unlock()
			}
		}()
		return nil, context.Cause(ctx)
	}
}
