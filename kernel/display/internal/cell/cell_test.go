//go:build unix

package cell_test

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/kernel/display/internal/cell"
)

// alone runs the program of a cell without a kernel.
func alone(t *testing.T, name string) (stdout, stderr string, status int) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), program+"="+name, "GONB_PIPE=")
	var out, errs strings.Builder
	cmd.Stdout, cmd.Stderr = &out, &errs
	err := cmd.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return out.String(), errs.String(), cmd.ProcessState.ExitCode()
}

func TestSendWithoutAKernelPrintsTheText(t *testing.T) {
	out, errs, status := alone(t, "three displays")
	if out != "display 0\ndisplay 1\ndisplay 2\n" || errs != "" || status != 0 {
		t.Errorf("stdout %q, stderr %q, status %d", out, errs, status)
	}
}

// A mistake ends the program with its reason, and with nothing else.
func TestFail(t *testing.T) {
	out, errs, status := alone(t, "mistake")
	if out != "" || errs != "the sheet has a mistake\n  line 3: boost\n" || status != 1 {
		t.Errorf("stdout %q, stderr %q, status %d, want the reason and status 1", out, errs, status)
	}
}

func TestOutPath(t *testing.T) {
	dir := t.TempDir()
	t.Setenv(cell.OutVariable, dir)
	for _, name := range []string{"a.pdf", "figures/duty.csv", "./b.txt"} {
		got, err := cell.OutPath(name)
		if want := filepath.Join(dir, name); err != nil || got != want {
			t.Errorf("%q: %q, %v, want %q", name, got, err, want)
		}
		if err := os.WriteFile(got, nil, 0o666); err != nil {
			t.Error(err)
		}
	}
	for _, name := range []string{"", ".", "..", "../a.pdf", "a/../../b", "/etc/passwd", "a.pdf/x"} {
		if got, err := cell.OutPath(name); err == nil || !strings.HasPrefix(err.Error(), "cannot write ") {
			t.Errorf("%q: %q, %v, want an error", name, got, err)
		}
	}
	t.Setenv(cell.OutVariable, "")
	if got, err := cell.OutPath("a.pdf"); err != nil || got != "a.pdf" {
		t.Errorf("without a folder: %q, %v, want it in the working folder", got, err)
	}
}
