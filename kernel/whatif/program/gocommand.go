package program

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"time"

	"example.com/railbook/kernel/launch"
)

// goCommand runs the go command at the module's root and returns its output.
func goCommand(ctx context.Context, m launch.Module, env []string, args ...string) (string, error) {
	cmd := exec.CommandContext(ctx, "go", args...)
	cmd.Dir = m.Root
	cmd.Env = append(os.Environ(), "GOWORK=off", "GOFLAGS=-buildvcs=false", "PWD="+m.Root)
	cmd.Env = append(cmd.Env, env...)
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
		return "", errors.New("the go command is not on PATH: the page holds a program that is compiled from source; install Go and try again")
	default:
		return "", fmt.Errorf("go %s: %w\n%s", args[0], err, bytes.TrimSpace(stderr.Bytes()))
	}
}
