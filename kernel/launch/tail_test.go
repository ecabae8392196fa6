package launch

import (
	"fmt"
	"strings"
	"testing"
)

func TestLastWords(t *testing.T) {
	for _, tt := range []struct{ name, written, want string }{
		{"nothing", "", ""},
		{"only information", "I0102 03:04:05.678901 1 kernel.go:1] \x1b[7mstarting\x1b[0m\n", ""},
		{
			"error among information",
			"I0102 03:04:05.678901 1 a.go:1] one\nE0102 03:04:05.678901 1 b.go:2] \x1b[31mbad\x1b[0m\nI0102 03:04:05.678901 1 a.go:1] two\n",
			"E0102 03:04:05.678901 1 b.go:2] bad",
		},
		{"panic", "panic: oh\n\ngoroutine 1 [running]:\n", "panic: oh\ngoroutine 1 [running]:"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var w tail
			for piece := range strings.SplitAfterSeq(tt.written, " ") {
				fmt.Fprint(&w, piece)
			}
			if got := w.lastWords(); got != tt.want {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
}

func TestLastWordsAreTheLast(t *testing.T) {
	var w tail
	for i := range 100_000 {
		fmt.Fprintf(&w, "line %d\n", i)
	}
	got := strings.Split(w.lastWords(), "\n")
	if len(got) != wordLines || got[wordLines-1] != "line 99999" {
		t.Errorf("got %q, want %d lines up to the last", got, wordLines)
	}
	if n := len(w.buf); n < tailSize || n > 2*tailSize {
		t.Errorf("keeps %d bytes, want %d to %d", n, tailSize, 2*tailSize)
	}
}
