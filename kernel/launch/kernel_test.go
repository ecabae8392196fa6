//go:build unix

package launch

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"example.com/railbook/kernel/wire"
)

// begin starts a kernel that keeps its files below temp.
func begin(t *testing.T, temp string) *Kernel {
	t.Helper()
	return beginWith(t, temp, Options{Dir: t.TempDir(), Env: []string{"SHOP=Hollow Road"}})
}

// run runs a cell and returns what it wrote, once enough says it is enough.
func run(ctx context.Context, t *testing.T, k *Kernel, code string, enough func(string) bool) string {
	t.Helper()
	ctx, cancel := context.WithTimeout(ctx, 2*time.Minute)
	defer cancel()
	var written strings.Builder
	k.client.Execute(ctx, wire.NewRequest(code, false), func(string) {}, func(m *wire.Message) {
		var c struct{ Text, EValue string }
		if m.Decode(&c) == nil {
			written.WriteString(c.Text + c.EValue)
		}
		if enough(written.String()) {
			cancel()
		}
	})
	return written.String()
}

func never(string) bool { return false }

// checkGone checks that no process of the group is left and nothing in temp.
func checkGone(t *testing.T, group int, temp string) {
	t.Helper()
	// What was killed may take a moment to be collected.
	for start := time.Now(); running(group) && time.Since(start) < 30*time.Second; {
		time.Sleep(10 * time.Millisecond)
	}
	if running(group) {
		t.Error("a process of the kernel is still running")
	}
	left, err := os.ReadDir(temp)
	if err != nil || len(left) > 0 {
		t.Errorf("the temporary folder holds %v, %v, want nothing", left, err)
	}
}

// running reports whether the group has a process that is more than an entry
// in the system's table.
func running(group int) bool {
	if syscall.Kill(-group, 0) != nil {
		return false
	}
	stats, _ := filepath.Glob("/proc/[0-9]*/stat")
	for _, name := range stats {
		stat, err := os.ReadFile(name)
		if err != nil {
			continue
		}
		_, rest, _ := strings.Cut(string(stat), ") ") // the command's name may hold spaces
		fields := strings.Fields(rest)                // state, parent, group, …
		if len(fields) > 2 && number(fields[2]) == group && fields[0] != "Z" {
			return true
		}
	}
	return len(stats) == 0
}

func number(s string) int {
	n := 0
	for _, r := range s {
		n = 10*n + int(r-'0')
	}
	return n
}

func TestKernel(t *testing.T) {
	temp := t.TempDir()
	k := begin(t, temp)
	out := run(t.Context(), t, k, "import \"os\"\n\nfunc main() {\n\tprintln(os.Getenv(\"SHOP\"))\n}", never)
	if out != "Hollow Road\n" {
		t.Errorf("the cell wrote %q", out)
	}
	source, err := k.Source()
	if err != nil || !strings.Contains(string(source), "println(os.Getenv") {
		t.Errorf("source: got %q, %v", source, err)
	}
	if err := k.Close(); err != nil {
		t.Error(err)
	}
	checkGone(t, k.cmd.Process.Pid, temp)
	if err := k.Close(); err != nil {
		t.Errorf("closed again: %v", err)
	}
}

// TestLocalModule has a cell use a package of the source tree, which only the
// kernel's workspace makes possible.
func TestLocalModule(t *testing.T) {
	k := begin(t, t.TempDir())
	out := run(t.Context(), t, k, "%noautoget\nimport \"example.com/railbook/kernel/nbformat\"\n\nfunc main() {\n\tprintln(nbformat.Code)\n}", never)
	if out != "code\n" {
		t.Errorf("the cell wrote %q", out)
	}
}

// TestLongPath has the kernel keep its files where Unix sockets cannot be.
func TestLongPath(t *testing.T) {
	temp := filepath.Join(t.TempDir(), strings.Repeat("long", 25))
	if err := os.Mkdir(temp, 0o700); err != nil {
		t.Fatal(err)
	}
	k := begin(t, temp)
	if out := run(t.Context(), t, k, "!echo here", never); out != "here\n" {
		t.Errorf("the cell wrote %q", out)
	}
	if err := k.Close(); err != nil {
		t.Error(err)
	}
	checkGone(t, k.cmd.Process.Pid, temp)
}

// TestCloseStubborn closes a kernel whose cell's program ignores signals and
// has a child that does too.
func TestCloseStubborn(t *testing.T) {
	temp := t.TempDir()
	k := begin(t, temp)
	out := run(t.Context(), t, k, `!trap "" INT TERM; (trap "" INT TERM; sleep 300) & echo running; sleep 300`,
		func(s string) bool { return strings.Contains(s, "running") })
	if out != "running\n" {
		t.Fatalf("the cell wrote %q", out)
	}
	start := time.Now()
	if err := k.Close(); err != nil {
		t.Error(err)
	}
	if took := time.Since(start); took > 20*time.Second {
		t.Errorf("closing took %v", took)
	}
	checkGone(t, k.cmd.Process.Pid, temp)
}

func TestKilled(t *testing.T) {
	temp := t.TempDir()
	k := begin(t, temp)
	if err := syscall.Kill(k.cmd.Process.Pid, syscall.SIGKILL); err != nil {
		t.Fatal(err)
	}
	select {
	case <-k.Died():
	case <-time.After(time.Minute):
		t.Fatal("a killed kernel counts as alive")
	}
	died, ok := errors.AsType[*DiedError](k.DeathError())
	if !ok || died.Status != "signal: killed" || !strings.HasPrefix(died.Error(), "the cell kernel ended by itself (signal: killed)") {
		t.Errorf("got %v", k.DeathError())
	}
	if err := k.Close(); err != nil {
		t.Error(err)
	}
	checkGone(t, k.cmd.Process.Pid, temp)
}

// TestStartFails starts programs that are not kernels.
func TestStartFails(t *testing.T) {
	m := Module{Root: t.TempDir()}
	for _, tt := range []struct{ name, script, want string }{
		{"ends", "#!/bin/sh\necho no such flag >&2\nexit 3\n", "the cell kernel ended by itself (exit status 3); its last words:\nno such flag"},
		{"is none", "", "exec format error"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			tools := t.TempDir()
			if err := os.WriteFile(filepath.Join(tools, "gonb"), []byte(tt.script), 0o777); err != nil {
				t.Fatal(err)
			}
			temp := t.TempDir()
			t.Setenv("TMPDIR", temp)
			_, err := Start(t.Context(), m, Tools{Kernel: tools}, Options{Dir: tools})
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got %v, want %s", err, tt.want)
			}
			left, err := os.ReadDir(temp)
			if err != nil || len(left) > 0 {
				t.Errorf("the temporary folder holds %v, %v, want nothing", left, err)
			}
		})
	}
}

func TestStartStops(t *testing.T) {
	tools, temp := t.TempDir(), t.TempDir()
	if err := os.WriteFile(filepath.Join(tools, "gonb"), []byte("#!/bin/sh\nsleep 300\n"), 0o777); err != nil {
		t.Fatal(err)
	}
	t.Setenv("TMPDIR", temp)
	stop := errors.New("stop")
	ctx, cancel := context.WithTimeoutCause(t.Context(), 200*time.Millisecond, stop)
	defer cancel()
	if _, err := Start(ctx, Module{Root: t.TempDir()}, Tools{Kernel: tools}, Options{Dir: tools}); !errors.Is(err, stop) {
		t.Errorf("got %v, want the cause of the context's end", err)
	}
	left, err := os.ReadDir(temp)
	if err != nil || len(left) > 0 {
		t.Errorf("the temporary folder holds %v, %v, want nothing", left, err)
	}
}

func TestCommaInPath(t *testing.T) {
	if _, err := Start(t.Context(), Module{Root: "/a,b"}, Tools{}, Options{}); err == nil || !strings.Contains(err.Error(), "comma") {
		t.Errorf("got %v", err)
	}
}
