package session

import (
	"strings"
	"testing"

	"example.com/railbook/kernel/nbformat"
)

func stream(name, text string) *nbformat.Output {
	return &nbformat.Output{Type: nbformat.Stream, Name: name, Text: text}
}

func TestCutTrace(t *testing.T) {
	const trace = "panic: no fuel\n\ngoroutine 1 [running]:\nmain.main()\n"
	for _, tt := range []struct {
		name    string
		outputs []*nbformat.Output
		trace   string
		left    string
	}{
		{"none", []*nbformat.Output{stream("stderr", "panic: only a word\n")}, "", "stderr:panic: only a word/"},
		{"alone", []*nbformat.Output{stream("stderr", trace)}, trace, ""},
		{"after output", []*nbformat.Output{stream("stderr", "a\n"+trace)}, trace, "stderr:a/"},
		{"in pieces", []*nbformat.Output{
			stream("stderr", "a\npanic: no"), stream("stdout", "b"), stream("stderr", " fuel\n\ngoroutine 1 [running]:\nmain.main()\n"),
		}, trace, "stderr:a/ | stdout:b"},
		{"in standard output it is output", []*nbformat.Output{stream("stdout", trace)}, "", "stdout:" + strings.ReplaceAll(trace, "\n", "/")},
		{"a word like it before", []*nbformat.Output{stream("stderr", "panic: x\nfatal error: y\n\ngoroutine 1 gp=0x1 m=0 [running]:\n")},
			"panic: x\nfatal error: y\n\ngoroutine 1 gp=0x1 m=0 [running]:\n", ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			rec := &record{cell: &nbformat.Cell{Outputs: tt.outputs}}
			if got := rec.cutTrace(); got != tt.trace {
				t.Errorf("trace: got %q, want %q", got, tt.trace)
			}
			if got := summary(rec.cell); got != tt.left {
				t.Errorf("left: got %s, want %s", got, tt.left)
			}
		})
	}
}

func TestPanicked(t *testing.T) {
	r := located("package main\n\nfunc main() {\n\tflag.Parse()\nx()\ny()\n\n}\n", "%%\nx()\ny()")
	const main = "/tmp/a b/cells/gonb_0a/main.go"
	for _, tt := range []struct {
		name, trace, message string
		line                 int
		words                string
	}{
		{"remark of gonb's", "panic: oh\n\ngoroutine 1 [running]:\nmain.main()\n\t \x1b[7m[[ Cell [9] Line 9 ]]\x1b[0m " + main + ":6 +0x1d\n", "oh", 3,
			"panic: oh\n\ngoroutine 1 [running]:\nmain.main()\n\tcell 1, line 3"},
		{"a library's frame first", "panic: oh\n\ngoroutine 7 [running]:\nlib.F()\n\t/x/lib.go:6 +0x1\nmain.main()\n\t" + main + ":5\n", "oh", 2,
			"panic: oh\n\ngoroutine 7 [running]:\nlib.F()\n\t/x/lib.go:6\nmain.main()\n\tcell 1, line 2"},
		{"the runtime's own frames", "runtime: stack too large\nfatal error: stack overflow\n\nruntime stack:\nf()\n\t" + main + ":5 +0x1\n\ngoroutine 1 [running]:\nmain.main()\n\t" + main + ":6 +0x1\n", "stack overflow", 3,
			"runtime: stack too large\nfatal error: stack overflow\n\nruntime stack:\nf()\n\tcell 1, line 2\n\ngoroutine 1 [running]:\nmain.main()\n\tcell 1, line 3"},
		{"generated code", "panic: oh\n\ngoroutine 1 [running]:\nmain.main()\n\t" + main + ":4 +0x1\n", "oh", 0,
			"panic: oh\n\ngoroutine 1 [running]:\nmain.main()\n\tgenerated line 4"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			e := r.panicked(r.records[0], tt.trace)
			if e.Message != tt.message || e.At.Line != tt.line {
				t.Errorf("got message %q at line %d, want %q at %d", e.Message, e.At.Line, tt.message, tt.line)
			}
			if got := strings.Join(e.Words, "\n"); got != tt.words {
				t.Errorf("got words\n%s\nwant\n%s", got, tt.words)
			}
		})
	}
}

func TestLongTraceIsCut(t *testing.T) {
	r := located("", "")
	e := r.panicked(r.records[0], "panic: oh\n\ngoroutine 1 [running]:\n"+strings.Repeat("f()\n", 100))
	if n := len(e.Words); n != traceLines+1 || e.Words[n-1] != "… 73 more lines" {
		t.Errorf("got %d lines, the last %q", n, e.Words[n-1])
	}
}
