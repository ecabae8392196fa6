//go:build unix

package relay_test

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"example.com/railbook/kernel/launch"
	"example.com/railbook/kernel/relay"
	"example.com/railbook/kernel/wire"
)

// asKernel is how the test program is told to be a kernel, before the path of
// the connection file.
const asKernel = "serve-connection="

func TestMain(m *testing.M) {
	if len(os.Args) > 1 {
		if path, ok := strings.CutPrefix(os.Args[1], asKernel); ok {
			if err := serveFile(path); err != nil {
				fmt.Fprintln(os.Stderr, err)
				os.Exit(1)
			}
			os.Exit(0)
		}
	}
	os.Exit(m.Run())
}

// serveFile is a kernel on the real cell kernel, as Jupyter starts it.
func serveFile(path string) error {
	conn, err := wire.ReadConnection(path)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(context.Background(), syscall.SIGTERM)
	defer stop()
	ctx, cancel := relay.UntilOrphaned(ctx)
	defer cancel()
	interrupts := make(chan os.Signal, 1)
	signal.Notify(interrupts, os.Interrupt)
	return relay.Serve(ctx, conn, relay.Options{
		Interrupts: interrupts,
		Log:        func(line string) { fmt.Fprintln(os.Stderr, line) },
		Start: func(ctx context.Context, progress func(string)) (relay.Kernel, error) {
			module, err := launch.FindModule(".")
			if err != nil {
				return nil, err
			}
			tools, err := module.Build(ctx, progress)
			if err != nil {
				return nil, err
			}
			dir, err := os.Getwd()
			if err != nil {
				return nil, err
			}
			return launch.Start(ctx, module, tools, launch.Options{Dir: dir, Direct: true, Events: true})
		},
	})
}

// python is Debian's, for which the clients of Jupyter are packaged.
const python = "/usr/bin/python3"

// TestWithJupyter has Jupyter's own client library use a kernel on the real cell
// kernel, and checks that nothing is left of it.
func TestWithJupyter(t *testing.T) {
	if exec.Command(python, "-c", "import jupyter_client").Run() != nil {
		t.Skip("needs Debian's python3-jupyter-client")
	}
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	data, temp := t.TempDir(), t.TempDir()
	spec := filepath.Join(data, "kernels", "railbook-test")
	if err := os.MkdirAll(spec, 0o777); err != nil {
		t.Fatal(err)
	}
	kernel, err := json.Marshal(map[string]any{
		"argv": []string{program, asKernel + "{connection_file}"}, "display_name": "test", "language": "go", "interrupt_mode": "message",
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(spec, "kernel.json"), kernel, 0o666); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 15*time.Minute)
	defer cancel()
	args := append([]string{"testdata/jupyter.py", "railbook-test"}, strings.Fields(os.Getenv("RELAY_CHECKS"))...)
	cmd := exec.CommandContext(ctx, python, args...)
	cmd.Env = append(os.Environ(), "JUPYTER_PATH="+data, "JUPYTER_RUNTIME_DIR="+t.TempDir(), "TMPDIR="+temp)
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	var complaints strings.Builder
	cmd.Stderr = &complaints
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	checks := 0
	for lines := bufio.NewScanner(out); lines.Scan(); {
		word, rest, _ := strings.Cut(lines.Text(), " ")
		switch word {
		case "ok":
			checks++
			t.Run(rest, func(*testing.T) {})
		case "FAIL":
			name, why, _ := strings.Cut(rest, ": ")
			t.Run(name, func(t *testing.T) { t.Error(why) })
		default:
			t.Log(lines.Text())
		}
	}
	if err := cmd.Wait(); err != nil || checks == 0 {
		t.Errorf("%d checks, %v\n%s", checks, err, complaints.String())
	}
	if t.Failed() {
		t.Logf("standard error:\n%s", complaints.String())
	}
	for start := time.Now(); ; time.Sleep(50 * time.Millisecond) {
		left, err := filepath.Glob(filepath.Join(temp, "*"))
		if err == nil && len(left) == 0 {
			break
		}
		if time.Since(start) > 30*time.Second {
			t.Errorf("left behind: %q, %v", left, err)
			break
		}
	}
}
