package session_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"example.com/railbook/kernel/launch"
	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/session"
)

// start returns a real kernel, which the end of the test closes.
func start(t *testing.T) *launch.Kernel {
	t.Helper()
	m, err := launch.FindModule(".")
	if err != nil {
		t.Fatal(err)
	}
	tools, err := m.Build(t.Context(), func(line string) { t.Log(line) })
	if err != nil {
		t.Fatal(err)
	}
	k, err := launch.Start(t.Context(), m, tools, launch.Options{Dir: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := k.Close(); err != nil {
			t.Error(err)
		}
	})
	return k
}

func notebook(sources ...string) *nbformat.Notebook {
	nb := &nbformat.Notebook{}
	for _, s := range sources {
		nb.Cells = append(nb.Cells, &nbformat.Cell{Type: nbformat.Code, Source: s})
	}
	return nb
}

const setup = `%noautoget
import (
	"fmt"
	"math"
	"math/rand"
	"text/template"
	"github.com/janpfeifer/gonb/gonbui"
)`

func TestWholeSuccess(t *testing.T) {
	nb := notebook(
		"var bar = 3.0\nfunc twice(x float64) float64 {\n\treturn 2 * x\n}",
		"%%\nfmt.Println(twice(bar), math.Sqrt(4))",
		"%%\nfmt.Println(rand.Intn(1))", // of math/rand, as the setup says; math/rand/v2 has none
		"%%\ngonbui.DisplayHTML(\"<b>λ ≥ 1</b>\")\ngonbui.Sync()",
	)
	if err := session.Run(t.Context(), start(t), nb, session.Options{Setup: setup}); err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"", "6 2\n", "0\n"} {
		got := ""
		for _, o := range nb.Cells[i].Outputs {
			got += o.Text
		}
		if got != want || nb.Cells[i].ExecutionCount != i+1 {
			t.Errorf("cell %d: got %q, count %d, want %q, %d", i+1, got, nb.Cells[i].ExecutionCount, want, i+1)
		}
	}
	if o := nb.Cells[3].Outputs; len(o) != 1 {
		t.Errorf("display: got %d outputs, want 1", len(o))
	} else if html, _ := o[0].Data.Text("text/html"); html != "<b>λ ≥ 1</b>" {
		t.Errorf("display: got %q", html)
	}
}

// TestWholeFailures runs cells that fail on the real kernel and checks where
// and how the error says they did.
func TestWholeFailures(t *testing.T) {
	k := start(t)
	if err := session.Run(t.Context(), k, notebook(), session.Options{Setup: setup}); err != nil {
		t.Fatal(err)
	}
	const helpers = "// Helpers.\nvar psi = 14.7\n\nfunc at(list []int, i int) int {\n\treturn list[i]\n}\n\nfunc unused() int {\n\treturn 1\n}"
	for _, tt := range []struct {
		name  string
		cells []string // the last one fails
		class string
		want  string // the start of the error
	}{
		{"unused variable", []string{"%%\nx := 1\n\ty := 2\nfmt.Println(x)"}, session.CompileError,
			"cell 1 (code cell 1) does not compile: declared and not used: y\n  at line 3:\n        y := 2\n        ^"},
		{"two errors", []string{"%%\nfmt.Println(a)\nfmt.Println(\"°λ\", b)"}, session.CompileError,
			"cell 1 (code cell 1) does not compile: undefined: a\n  at line 2:\n    fmt.Println(a)\n                ^\n" +
				"  the compiler said:\n    line 2: undefined: a\n    line 3: undefined: b"},
		{"in a function", []string{helpers, "func half(x float64) float64 {\n\treturn x / two\n}"}, session.CompileError,
			"cell 2 (code cell 2) does not compile: undefined: two\n  at line 2:\n        return x / two\n                   ^"},
		{"in a variable", []string{"var (\n\ta = 1\n\tb   int = \"x\"\n)"}, session.CompileError,
			"cell 1 (code cell 1) does not compile: cannot use \"x\" (untyped string constant) as int value in variable declaration\n  at line 3:\n        b   int = \"x\"\n                  ^"},
		{"syntax", []string{"%%\nif true {\nfmt.Println(1)"}, session.CompileError,
			"cell 1 (code cell 1) does not compile: "},
		{"statement outside", []string{"x := 1"}, session.CompileError,
			"cell 1 (code cell 1) does not compile: expected declaration, found x\n  at line 1:\n    x := 1\n    ^"},
		{"panic", []string{helpers, "%%\nfmt.Println(psi)\npanic(\"no fuel\")"}, session.Panic,
			"cell 2 (code cell 2) panicked: no fuel\n  at line 3:\n    panic(\"no fuel\")\n    ^"},
		{"panic in another cell's function", []string{helpers, "// Look it up.\n%%\nfmt.Println(at(nil, 5))"}, session.Panic,
			"cell 2 (code cell 2, \"Look it up.\") panicked: runtime error: index out of range [5] with length 0\n" +
				"  at cell 1, line 5:\n        return list[i]\n        ^"},
		{"deadlock", []string{"%%\n<-make(chan int)"}, session.FatalError,
			"cell 1 (code cell 1) was given up by the Go runtime: all goroutines are asleep - deadlock!\n  at line 2:\n    <-make(chan int)\n    ^"},
		{"exit", []string{"%%\nfmt.Println(\"so far\")\nos.Exit(3)"}, "exit status 3",
			"cell 1 (code cell 1) failed: its program ended with exit status 3\n  the program said:\n    so far"},
		{"log", []string{"%%\nlog.SetFlags(0)\nlog.Fatal(\"no sheet\")"}, "exit status 1",
			"cell 1 (code cell 1) failed: no sheet"},
		{"shell", []string{"!exit 4"}, "exit status 4", "cell 1 (code cell 1) failed: its program ended with exit status 4"},
		{"input", []string{"%%\ngonbui.RequestInput(\"name?\", false)\nvar s string\nfmt.Scanln(&s)"}, session.NoInput,
			`cell 1 (code cell 1) failed: it asks for input ("name?"), and in a run nobody can give it`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			// The kernel still knows what the cells before declared, which
			// must not matter.
			nb := notebook(append(tt.cells, "%%\nfmt.Println(\"never\")")...)
			err := session.Run(t.Context(), k, nb, session.Options{CellTimeout: time.Minute})
			failed, ok := errors.AsType[*session.CellError](err)
			if !ok || failed.Name != tt.class || !strings.HasPrefix(err.Error(), tt.want) {
				t.Errorf("got  %v\nwant %s: %s", err, tt.class, tt.want)
			}
			cell := nb.Cells[len(tt.cells)-1]
			if n := len(cell.Outputs); n == 0 || cell.Outputs[n-1].Type != nbformat.Error || cell.Outputs[n-1].EName != tt.class {
				t.Errorf("the cell's last output is not the error: %+v", cell.Outputs)
			}
			if strings.Contains(err.Error(), "gonb_") {
				t.Errorf("the error shows the kernel's files: %v", err)
			}
			if nb.Cells[len(tt.cells)].ExecutionCount != 0 {
				t.Error("the cell after the failed one was run")
			}
		})
	}
}

func TestWholeTimeout(t *testing.T) {
	k := start(t)
	// Compiled once, a cell's packages take no more time.
	if err := session.Run(t.Context(), k, notebook("%%\nfmt.Println()"), session.Options{}); err != nil {
		t.Fatal(err)
	}
	nb := notebook("%%\nfmt.Println(\"on and on\")\nfor {\n}")
	err := session.Run(t.Context(), k, nb, session.Options{CellTimeout: 5 * time.Second})
	if _, ok := errors.AsType[*session.CellTimeout](err); !ok {
		t.Errorf("got %v, want a CellTimeout", err)
	}
	if o := nb.Cells[0].Outputs; len(o) == 0 || o[len(o)-1].EName != "timeout" {
		t.Errorf("got outputs %+v", o)
	}
}

func TestWholeStop(t *testing.T) {
	nb := notebook("%%\nfmt.Println(\"on and on\")\nfor {\n}")
	ctx, cancel := context.WithCancel(t.Context())
	go func() {
		time.Sleep(time.Second)
		cancel()
	}()
	err := session.Run(ctx, start(t), nb, session.Options{Setup: setup})
	if _, ok := errors.AsType[*session.Stopped](err); !ok || !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want Stopped", err)
	}
}
