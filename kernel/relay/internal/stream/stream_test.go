package stream

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

var start = time.Unix(1000, 0)

func after(ms int) time.Time { return start.Add(time.Duration(ms) * time.Millisecond) }

func TestJoiner(t *testing.T) {
	var got []string
	j := Joiner{Emit: func(name, text string) { got = append(got, name+":"+text) }}
	expect := func(want ...string) {
		t.Helper()
		if !slices.Equal(got, want) {
			t.Errorf("got %q, want %q", got, want)
		}
		got = nil
	}
	j.Add(after(0), "stdout", "a") // the first is not delayed
	expect("stdout:a")
	j.Add(after(1), "stdout", "b")
	j.Add(after(2), "stdout", "")
	j.Add(after(3), "stdout", "c")
	expect()
	if due, ok := j.Due(); !ok || !due.Equal(after(20)) {
		t.Errorf("due at %v, %v", due, ok)
	}
	j.Flush(after(20))
	expect("stdout:bc")
	if _, ok := j.Due(); ok {
		t.Error("something is due when nothing is kept")
	}
	j.Add(after(21), "stdout", "d")
	j.Add(after(22), "stderr", "e") // order is kept across streams
	expect("stdout:d")
	j.Add(after(23), "stderr", strings.Repeat("f", maxJoined))
	expect("stderr:e" + strings.Repeat("f", maxJoined))
	j.Flush(after(24))
	expect()
}

// TestJoinerKeepsAll checks that whatever the pieces and times, each stream's
// text comes out whole and in order.
func TestJoinerKeepsAll(t *testing.T) {
	var in, out strings.Builder
	j := Joiner{Emit: func(name, text string) { fmt.Fprintf(&out, "%s", text) }}
	for i := range 2000 {
		piece := strings.Repeat(fmt.Sprintf("%d,", i), i%7)
		in.WriteString(piece)
		j.Add(after(i*i%5000), []string{"stdout", "stderr"}[i*i%3%2], piece)
	}
	j.Flush(after(0))
	if in.String() != out.String() {
		t.Error("text was lost or changed its place")
	}
}

const account = "panic: no fuel\n\ngoroutine 1 [running]:\nmain.main()\n\t/tmp/main.go:4 +0x1d\n"

func TestTrace(t *testing.T) {
	for _, tt := range []struct {
		name         string
		pieces       []string
		passed, held string
		trace        bool
	}{
		{"plain", []string{"one\ntwo"}, "one\ntwo", "", false},
		{"account", []string{account}, "", account, true},
		{"after text", []string{"log\n" + account}, "log\n", account, true},
		{"in pieces", strings.SplitAfter("log\n"+account, ""), "log\n", account, true},
		{"within a line", []string{"a ", "panic: b\n"}, "a panic: b\n", "", false},
		{"no account", []string{"panic: at the disco\n"}, "", "panic: at the disco\n", false},
		{"a beginning that leads elsewhere", []string{"pan", "cake\n"}, "pancake\n", "", false},
		{"a beginning", []string{"x\npan"}, "x\n", "pan", false},
		{"fatal", []string{"fatal error: all goroutines are asleep - deadlock!\n"}, "", "fatal error: all goroutines are asleep - deadlock!\n", true},
		{"signal", []string{"SIGQUIT: quit\nPC=0x1\n\ngoroutine 0 gp=0x1 m=0 mp=0x2 [idle]:\nx\n"}, "", "SIGQUIT: quit\nPC=0x1\n\ngoroutine 0 gp=0x1 m=0 mp=0x2 [idle]:\nx\n", true},
		{"too much", []string{account, strings.Repeat("x", maxTrace)}, account + strings.Repeat("x", maxTrace), "", false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var tr Trace
			passed := ""
			for i, p := range tt.pieces {
				passed += tr.Add(after(i), p)
			}
			if passed != tt.passed || tr.held != tt.held {
				t.Errorf("passed %q, kept %q", passed, tr.held)
			}
			due, ok := tr.Due()
			if ok != (tt.held != "") || ok && !due.Equal(after(len(tt.pieces)-1).Add(Patience)) {
				t.Errorf("due %v, %v", due, ok)
			}
			got, ok := tr.Take()
			if ok != tt.trace || ok && got != tt.held {
				t.Errorf("trace %q, %v", got, ok)
			}
			if rest := tr.Release(); !ok && rest != tt.held {
				t.Errorf("released %q", rest)
			}
		})
	}
}

func TestTraceAfterRelease(t *testing.T) {
	var tr Trace
	tr.Add(after(0), "panic: at the disco\n")
	if got := tr.Release(); got != "panic: at the disco\n" {
		t.Errorf("got %q", got)
	}
	if got := tr.Add(after(1), "more\n"); got != "more\n" {
		t.Errorf("got %q", got)
	}
	tr.Add(after(2), "pan")
	tr.Release()
	if got := tr.Add(after(3), "ic: not at the start of a line\n"); got == "" {
		t.Error("kept back text within a line")
	}
}

// failing is a program that fails in the way its argument says.
const failing = `package main

import (
	"os"
	"runtime/debug"
)

func deep(i int) int { return deep(i+1) + 1 }

func main() {
	println("before")
	switch os.Args[1] {
	case "panic":
		panic("no fuel")
	case "error":
		_, err := os.Open("/nowhere")
		panic(err)
	case "nil":
		var p *int
		*p = 1
	case "deadlock":
		select {}
	case "stack":
		debug.SetMaxStack(1 << 16)
		println(deep(0))
	case "map":
		m := map[int]int{}
		for range 100 {
			go func() {
				for {
					m[1]++
				}
			}()
		}
		select {}
	}
}
`

// TestTraceOfRuntime takes the accounts of the Go at hand.
func TestTraceOfRuntime(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "main.go"), []byte(failing), 0o666); err != nil {
		t.Fatal(err)
	}
	program := filepath.Join(dir, "failing")
	if out, err := exec.Command("go", "build", "-o", program, filepath.Join(dir, "main.go")).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for _, how := range []string{"panic", "error", "nil", "deadlock", "stack", "map"} {
		t.Run(how, func(t *testing.T) {
			out, err := exec.Command(program, how).CombinedOutput()
			if err == nil {
				t.Fatal("the program did not fail")
			}
			written := string(out)
			var tr Trace
			if passed := tr.Add(start, written); passed != "before\n" {
				t.Errorf("passed on %q", passed)
			}
			if trace, ok := tr.Take(); !ok || "before\n"+trace != written {
				t.Errorf("not taken for an account: %.300q", written)
			}
			if got := Find(written); "before\n"+got != written {
				t.Errorf("found %.300q", got)
			}
		})
	}
}

func FuzzTrace(f *testing.F) {
	f.Add(account, 7)
	f.Add("pan", 1)
	f.Add("\npanic: \n", 2)
	f.Fuzz(func(t *testing.T, text string, size int) {
		if size <= 0 {
			return
		}
		var tr Trace
		got := ""
		for piece := range slices.Chunk([]byte(text), size) {
			got += tr.Add(start, string(piece))
		}
		if got += tr.Release(); got != text {
			t.Errorf("%q in pieces of %d came out as %q", text, size, got)
		}
	})
}

func TestTail(t *testing.T) {
	var tail Tail
	for i := range 100_000 {
		tail.Add(fmt.Sprintf("λ %d\n", i))
	}
	got := tail.String()
	if n := len(got); n < tailSize-2 || n > 2*tailSize || !strings.HasSuffix(got, "λ 99999\n") {
		t.Errorf("keeps %d bytes up to %q", n, got[max(0, n-20):])
	}
}
