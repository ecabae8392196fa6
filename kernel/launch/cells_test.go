//go:build unix

package launch

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"example.com/railbook/kernel/cellio"
	"example.com/railbook/kernel/wire"
)

// beginWith starts a kernel that keeps its files below temp.
func beginWith(t testing.TB, temp string, o Options) *Kernel {
	t.Helper()
	m, err := FindModule(".")
	if err != nil {
		t.Fatal(err)
	}
	tools, err := m.Build(t.Context(), func(line string) { t.Log(line) })
	if err != nil {
		t.Fatal(err)
	}
	t.Setenv("TMPDIR", temp)
	k, err := Start(t.Context(), m, tools, o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { k.Close() })
	return k
}

// outcome is what came of a cell: its outputs in their order, one a line, and
// the status of the reply.
type outcome struct {
	outputs string
	status  string
}

// execute runs a cell. With each output until is called, and the cell is waited
// for no longer once that returns true.
func execute(t testing.TB, k *Kernel, code string, until func(outputs string) bool) outcome {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	defer cancel()
	var b strings.Builder
	reply, err := k.client.Execute(ctx, wire.NewRequest(code, false), func(string) {}, func(m *wire.Message) {
		var c struct {
			Name, Text, EValue string
			Data               map[string]json.RawMessage
		}
		if m.Decode(&c) != nil {
			return
		}
		e, ok, err := cellio.Decode(c.Data)
		switch {
		case err != nil:
			b.WriteString("bad event: " + err.Error() + "\n")
		case ok && e.Exit != nil:
			b.WriteString(e.Exit.String() + "\n")
		case ok:
			b.WriteString(e.Stream + ": " + e.Text)
		case m.Header.Type == "stream":
			b.WriteString("raw " + c.Name + ": " + c.Text)
		case m.Header.Type == "display_data":
			b.WriteString("display: " + string(c.Data["text/html"]) + "\n")
		case m.Header.Type == "error":
			b.WriteString("error: " + c.EValue + "\n")
		}
		if until != nil && until(b.String()) {
			cancel()
		}
	})
	if err != nil && (until == nil || !until(b.String())) {
		t.Fatalf("%v after\n%s", err, b.String())
	}
	return outcome{b.String(), reply.Status}
}

// TestCells runs cells of many kinds, with their outputs as events.
func TestCells(t *testing.T) {
	temp, dir := t.TempDir(), t.TempDir()
	for _, o := range []Options{
		{Dir: dir, Events: true},
		{Dir: dir, Events: true, Direct: true},
	} {
		k := beginWith(t, temp, o)
		for _, tt := range []struct{ name, code, outputs, status string }{
			{"text", "%%\nfmt.Println(\"one\")", "stdout: one\nexit status 0\n", "ok"},
			{"again", "%%\nfmt.Println(\"two\")", "stdout: two\nexit status 0\n", "ok"},
			{"arguments", "import \"os\"\n%% x \"y z\"\nfmt.Printf(\"%q\\n\", os.Args[1:])", "stdout: [\"x\" \"y z\"]\nexit status 0\n", "ok"},
			{"import and type", "import \"example.com/railbook/kernel/nbformat\"\n\n%%\nfmt.Println(nbformat.Code)", "stdout: code\nexit status 0\n", "ok"},
			{"failure", "%%\nfmt.Println(\"out\")\nos.Exit(3)", "stdout: out\nexit status 3\n", "ok"},
			{"display", "import \"github.com/janpfeifer/gonb/gonbui\"\n%%\nfmt.Println(\"A\")\ngonbui.DisplayHTML(\"D\")\ngonbui.Sync()\nfmt.Println(\"C\")",
				"stdout: A\ndisplay: \"D\"\nstdout: C\nexit status 0\n", "ok"},
			{"mistake", "%%\nfmt.Println(undefined1)", "error: # $CELL\n./main.go:12:14: undefined: undefined1\n\n", "error"},
			{"unknown name", "%%\nundefined2.Call()", "error: # $CELL\n./main.go:11:2: undefined: undefined2\n\n", "error"},
			{"function", "func Twice(x int) int { return 2 * x }\n%%\nfmt.Println(Twice(4))", "stdout: 8\nexit status 0\n", "ok"},
			{"exec", "%exec show\nfunc show() { fmt.Println(Twice(5)) }", "stdout: 10\nexit status 0\n", "ok"},
			{"flags", "%goflags -ldflags=-w\n%%\nfmt.Println(Twice(6))", "raw stdout: %goflags=[\"-ldflags=-w\"]\nstdout: 12\nexit status 0\n", "ok"},
			{"no flags", "%goflags \"\"", "raw stdout: %goflags=[]\n", "ok"},
			{"test", "%test -test.v -test.run=Twice\nfunc TestTwice(t *testing.T) { if Twice(1) != 2 { t.Fail() } }", "", "ok"},
			{"shell", "!echo here", "raw stdout: here\n", "ok"},
			{"failing shell", "!exit 4", "raw stderr: exit status 4\n", "ok"},
			{"capture", "%capture captured.txt\n%%\nfmt.Println(\"captured\")", "stdout: captured\nexit status 0\n", "ok"},
		} {
			got := execute(t, k, tt.code, nil)
			source, _ := filepath.Glob(filepath.Join(temp, "*", "cells", "gonb_*"))
			if len(source) == 1 {
				got.outputs = strings.ReplaceAll(got.outputs, filepath.Base(source[0]), "$CELL")
			}
			switch tt.name {
			case "test":
				if !strings.Contains(got.outputs, "--- PASS: TestTwice") || !strings.HasSuffix(got.outputs, "PASS\nexit status 0\n") {
					t.Errorf("%s: got %q", tt.name, got)
				}
			case "mistake", "unknown name":
				// The lines above the cell's own are the kernel's affair.
				_, after, _ := strings.Cut(tt.outputs, "undefined:")
				if !strings.HasPrefix(got.outputs, "error: # $CELL\n./main.go:") || !strings.HasSuffix(got.outputs, "undefined:"+after) || got.status != tt.status {
					t.Errorf("%s: got %q", tt.name, got)
				}
			default:
				if got != (outcome{tt.outputs, tt.status}) {
					t.Errorf("%s: got %q, want %q", tt.name, got, outcome{tt.outputs, tt.status})
				}
			}
		}
		if text, err := os.ReadFile(filepath.Join(dir, "captured.txt")); err != nil || string(text) != "captured\n" {
			t.Errorf("captured %q, %v", text, err)
		}
		panicked := execute(t, k, "%%\nvar list []int\nfmt.Println(list[Twice(2)])", nil)
		said := strings.ReplaceAll(panicked.outputs, "stderr: ", "") // it may come in pieces
		if !strings.Contains(said, "panic: runtime error: index out of range [4] with length 0") ||
			!strings.Contains(panicked.outputs, "/main.go:") || !strings.HasSuffix(panicked.outputs, "exit status 2\n") {
			t.Errorf("panic: got %q", panicked)
		}
		if err := k.Close(); err != nil {
			t.Error(err)
		}
		checkGone(t, k.cmd.Process.Pid, temp)
	}
}

// TestCloseWithProgram closes a kernel whose cell's program ignores signals and
// has started another.
func TestCloseWithProgram(t *testing.T) {
	for _, killed := range []bool{false, true} {
		temp := t.TempDir()
		k := beginWith(t, temp, Options{Dir: t.TempDir(), Direct: true, Events: true})
		code := "import (\"os/exec\"; \"os/signal\"; \"syscall\"; \"time\")\n%%\nsignal.Ignore(syscall.SIGINT, syscall.SIGTERM)\n" +
			"if err := exec.Command(\"sleep\", \"300\").Start(); err != nil { panic(err) }\nfmt.Println(\"running\")\ntime.Sleep(time.Hour)"
		running := func(s string) bool { return strings.Contains(s, "running") }
		execute(t, k, code, running)
		if killed {
			if err := syscall.Kill(k.cmd.Process.Pid, syscall.SIGKILL); err != nil {
				t.Fatal(err)
			}
			<-k.Died()
		}
		if err := k.Close(); err != nil {
			t.Error(err)
		}
		checkGone(t, k.cmd.Process.Pid, temp)
	}
}

// TestInterrupt interrupts a program that runs away, by message.
func TestInterrupt(t *testing.T) {
	k := beginWith(t, t.TempDir(), Options{Dir: t.TempDir(), Direct: true, Events: true})
	sent := false
	got := execute(t, k, "%%\nfmt.Println(\"running\")\nfor {}", func(outputs string) bool {
		if !sent && strings.Contains(outputs, "running") {
			sent = true
			if err := k.client.Interrupt(); err != nil {
				t.Error(err)
			}
		}
		return false
	})
	if got.outputs != "stdout: running\nsignal: interrupt\n" {
		t.Errorf("got %q", got)
	}
	if k.StopBuild() {
		t.Error("a build was stopped while there was none")
	}
}

// TestStopBuild interrupts the building of a cell.
func TestStopBuild(t *testing.T) {
	k := beginWith(t, t.TempDir(), Options{Dir: t.TempDir(), Direct: true, Events: true})
	ended := make(chan struct{})
	stopped := make(chan bool)
	go func() {
		for ok := false; ; time.Sleep(time.Millisecond) {
			ok = ok || k.StopBuild()
			select {
			case <-ended:
				stopped <- ok
				return
			default:
			}
		}
	}()
	got := execute(t, k, "%%\nfmt.Println(\"built\")", nil)
	close(ended)
	if ok := <-stopped; !ok || got.status != "error" || !strings.Contains(got.outputs, "interrupted") {
		t.Errorf("stopped %t, got %q", ok, got)
	}
	if got := execute(t, k, "%%\nfmt.Println(\"built\")", nil); got.outputs != "stdout: built\nexit status 0\n" {
		t.Errorf("the next cell: got %q", got)
	}
}
