package relay

import (
	"context"
	"errors"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"example.com/railbook/kernel/wire"
)

// TestInterrupt interrupts cells that are more and more deaf to it. The protocol
// leaves open how fast that has to work; the kernel promises a second, of which
// an overloaded machine is forgiven another four.
func TestInterrupt(t *testing.T) {
	const lost = "interrupted: the cell was interrupted"
	for _, tt := range []struct {
		name, code string
		breakable  bool
		replaced   bool // the cell kernel
	}{
		{"heeds it", "wait", true, false},
		{"is being built", "build\nrefuse signal: interrupt", true, false},
		{"has to be killed", "stubborn", true, false},
		{"cannot be killed", "catatonic", true, true},
		{"cannot be reached", "stubborn", false, true},
		{"asks for input", "ask name?", true, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			f := serveOn(t, Options{}, func(k *fake) Kernel {
				if tt.breakable {
					return breakable{k}
				}
				return k
			})
			cell := f.execute("out going\n" + tt.code)
			behind := []string{f.execute("out b"), f.execute("out c", `"stop_on_error":false`)}
			f.await("output", func() bool { return f.count(cell, "stdout") > 0 })
			within(t, 5*time.Second, "interrupting", func() {
				id := f.send(wire.Control, wire.InterruptRequest, "{}")
				check(t, "the interrupt", f.finish(id), "status busy", "status idle", `control interrupt_reply {"status":"ok"}`)
				f.finish(cell)
			})
			got := slices.DeleteFunc(f.transcript(cell), func(s string) bool { return strings.HasPrefix(s, "stdin") })
			check(t, "the cell", got[2:], `stdout "going\n"`, "error "+lost, "status idle", "shell execute_reply [1] error "+lost)
			for _, id := range behind {
				check(t, "the cell behind", f.finish(id), "status busy", "status idle", "shell execute_reply [1] aborted")
			}
			check(t, "afterwards", f.run("out a"), `stdout "a\n"`, "shell execute_reply [2] ok")
			f.mu.Lock()
			defer f.mu.Unlock()
			if (len(f.fakes) > 1) != tt.replaced {
				t.Errorf("%d cell kernels were started", len(f.fakes))
			}
		})
	}
}

// TestInterruptIdle checks that an interrupt with nothing to interrupt does no
// harm to what comes later.
func TestInterruptIdle(t *testing.T) {
	f := serve(t, Options{})
	f.finish(f.send(wire.Control, wire.InterruptRequest, "{}"))
	check(t, "afterwards", f.run("out a"), `stdout "a\n"`, "shell execute_reply [1] ok")
}

func TestInterruptBySignal(t *testing.T) {
	signals := make(chan os.Signal)
	f := serve(t, Options{Interrupts: signals})
	cell := f.execute("out going\nwait")
	f.await("output", func() bool { return f.count(cell, "stdout") > 0 })
	signals <- os.Interrupt
	f.finish(cell)
	if n := f.count(cell, "error interrupted"); n != 1 {
		t.Errorf("got %q", f.transcript(cell))
	}
}

// TestInterruptStart interrupts a cell that waits for the cell kernel.
func TestInterruptStart(t *testing.T) {
	release := make(chan struct{})
	f := serve(t, Options{Start: func(ctx context.Context, progress func(string)) (Kernel, error) {
		progress("building it")
		select {
		case <-release:
			return newFake(t), nil
		case <-ctx.Done():
			return nil, context.Cause(ctx)
		}
	}})
	cell := f.execute("out a")
	f.await("progress", func() bool { return f.count(cell, `stderr "building it\n"`) > 0 })
	f.send(wire.Control, wire.InterruptRequest, "{}")
	f.finish(cell)
	if n := f.count(cell, "error interrupted"); n != 1 {
		t.Errorf("got %q", f.transcript(cell))
	}
	close(release)
	check(t, "afterwards", f.run("out a"), `stdout "a\n"`, "shell execute_reply [2] ok")
}

// TestDeath has the cell kernel die in a cell, and between cells.
func TestDeath(t *testing.T) {
	f := serve(t, Options{})
	const last = "kernel died: the fake ended by itself"
	check(t, "in a cell", f.run("out going\ndie"), `stdout "going\n"`, "error "+last, "shell execute_reply [1] error "+last)
	var traceback []string
	for _, h := range f.heard {
		if h.Header.Type == "error" {
			var c errorContent
			if err := h.Decode(&c); err != nil {
				t.Fatal(err)
			}
			traceback = c.Traceback
		}
	}
	if all := strings.Join(traceback, "\n"); !strings.Contains(all, "its last words") {
		t.Errorf("traceback %q", traceback)
	}
	check(t, "the next cell", f.run("out a"), `stdout "a\n"`, "shell execute_reply [2] ok")
	f.fake(1).die()
	check(t, "after a death between cells", f.run("out b"),
		`stderr "The cell kernel has ended since the last cell: the fake ended by itself. This cell is run by a new one, which does not know what earlier cells declared.\n"`,
		`stdout "b\n"`, "shell execute_reply [3] ok")
	if n := len(f.fakes); n != 3 {
		t.Errorf("%d cell kernels were started, want 3", n)
	}
}

func TestNoStart(t *testing.T) {
	tries := 0
	f := serve(t, Options{Start: func(context.Context, func(string)) (Kernel, error) {
		if tries++; tries < 3 {
			return nil, errors.New("the go command is not on PATH:\ninstall Go and try again")
		}
		return newFake(t), nil
	}})
	f.logged("did not start") // at the start of the kernel
	const want = "no cell kernel: the go command is not on PATH:"
	check(t, "the first cell", f.run("out a"), "error "+want, "shell execute_reply [1] error "+want)
	check(t, "the second cell", f.run("out a"), `stdout "a\n"`, "shell execute_reply [2] ok")
}
