package session

import (
	"context"
	"errors"
	"testing"
	"time"

	"example.com/railbook/kernel/wire"
	"example.com/railbook/kernel/wire/wiretest"
)

// TestFailures plays failing cells and checks the error and the notebook.
func TestFailures(t *testing.T) {
	const source = "package main\n\nfunc main() {\n\tflag.Parse()\nx := 1\nshw(x)\n\n}\n"
	const cell = "%%\nx := 1\nshw(x)"
	for _, tt := range []struct {
		name      string
		script    func(k *fakeKernel, p *wiretest.Peer, r *wire.Message)
		want      string
		wantCells string
	}{
		{"compile error", func(k *fakeKernel, p *wiretest.Peer, r *wire.Message) {
			p.Publish(r, "error", map[string]any{"ename": "ERROR", "evalue": "…", "traceback": []string{"…"}})
			p.Reply(r, wire.ExecuteReply, map[string]any{
				"status": "error", "execution_count": 1, "ename": "ERROR",
				"evalue":    "# gonb_1\n./main.go:6:1: undefined: shw\n",
				"traceback": []string{"# gonb_1", "Cell[1]: Line 3\nshw(x)\n^\n\nundefined: shw", ""},
			})
			p.Status(r, "idle")
		}, `cell 1 (code cell 1) does not compile: undefined: shw
  at line 3:
    shw(x)
    ^`, "error:compile error:undefined: shw"},
		{"panic", func(k *fakeKernel, p *wiretest.Peer, r *wire.Message) {
			p.Stream(r, "stderr", "about to\npanic: ")
			p.Stream(r, "stderr", "no fuel\n\ngoroutine 1 [running]:\nmain.main()\n\t \x1b[7m[[ Cell [1] Line 3 ]]\x1b[0m /tmp/x/gonb_1/main.go:6 +0x52\n")
			p.Stream(r, "stderr", "exit status 2\n")
			ok(p, r, 1)
		}, `cell 1 (code cell 1) panicked: no fuel
  at line 3:
    shw(x)
    ^
  the program said:
    panic: no fuel
    
    goroutine 1 [running]:
    main.main()
    	cell 1, line 3`, "stderr:about to/ | error:panic:no fuel"},
		{"exit status", func(k *fakeKernel, p *wiretest.Peer, r *wire.Message) {
			p.Stream(r, "stderr", "no such file:\nthe sheet\n")
			p.Stream(r, "stderr", "exit status 3\n")
			p.Publish(r, "display_data", plain("x"))
			ok(p, r, 1)
		}, `cell 1 (code cell 1) failed: its program ended with exit status 3
  the program said:
    no such file:
    the sheet`, "stderr:no such file:/the sheet/ | display_data:x | error:exit status 3:its program ended with exit status 3"},
		{"exit status with a reason", func(k *fakeKernel, p *wiretest.Peer, r *wire.Message) {
			p.Stream(r, "stderr", "no such file\n")
			p.Stream(r, "stderr", "exit status 1\n")
			ok(p, r, 1)
		}, `cell 1 (code cell 1) failed: no such file`, "stderr:no such file/ | error:exit status 1:no such file"},
		{"signal", func(k *fakeKernel, p *wiretest.Peer, r *wire.Message) {
			p.Stream(r, "stderr", "signal: killed\n")
			ok(p, r, 1)
		}, `cell 1 (code cell 1) failed: its program ended with signal: killed, perhaps for want of memory`,
			"error:signal: killed:its program ended with signal: killed, perhaps for want of memory"},
		{"kernel's own error", func(k *fakeKernel, p *wiretest.Peer, r *wire.Message) {
			p.Reply(r, wire.ExecuteReply, map[string]any{"status": "error", "ename": "ERROR", "evalue": "`%cd \"x\"` failed: no such folder", "traceback": []string{""}})
			p.Status(r, "idle")
		}, "cell 1 (code cell 1) failed: `%cd \"x\"` failed: no such folder", "error:error:`%cd \"x\"` failed: no such folder"},
		{"another package", func(k *fakeKernel, p *wiretest.Peer, r *wire.Message) {
			p.Reply(r, wire.ExecuteReply, map[string]any{"status": "error", "ename": "ERROR", "traceback": []string{},
				"evalue": "# example.com/x\n/x/a.go:3:4: undefined: y\n"})
			p.Status(r, "idle")
		}, "cell 1 (code cell 1) failed: package example.com/x does not compile\n  the kernel said:\n    /x/a.go:3:4: undefined: y",
			"error:error:package example.com/x does not compile"},
		{"aborted", func(k *fakeKernel, p *wiretest.Peer, r *wire.Message) {
			p.Reply(r, wire.ExecuteReply, map[string]any{"status": "aborted"})
			p.Status(r, "idle")
		}, `cell 1 (code cell 1) failed: the kernel answered with status "aborted"`, `error:error:the kernel answered with status "aborted"`},
		{"death", func(k *fakeKernel, p *wiretest.Peer, r *wire.Message) {
			p.Stream(r, "stdout", "last")
			time.Sleep(50 * time.Millisecond) // closing drops what is not yet sent
			p.Close()
			time.Sleep(50 * time.Millisecond) // the process ends after its sockets
			k.die()
		}, "cell 1 (code cell 1) was lost: signal: killed; last words: help", "stdout:last | error:kernel died:signal: killed; last words: help"},
		{"death without a sign", func(k *fakeKernel, p *wiretest.Peer, r *wire.Message) { k.die() },
			"cell 1 (code cell 1) was lost: signal: killed; last words: help", "error:kernel died:signal: killed; last words: help"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			k := newFake(t, func(k *fakeKernel, p *wiretest.Peer, r *wire.Message, _ string) { tt.script(k, p, r) })
			k.source = source
			nb := notebook(t, cell, "never run")
			ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
			defer cancel()
			err := Run(ctx, k, nb, Options{})
			if err == nil || err.Error() != tt.want {
				t.Errorf("got  %v\nwant %s", err, tt.want)
			}
			if got := summary(nb.Cells[0]); got != tt.wantCells {
				t.Errorf("got  %s\nwant %s", got, tt.wantCells)
			}
			if nb.Cells[1].ExecutionCount != 0 {
				t.Error("the cell after the failed one was run")
			}
		})
	}
}

// TestInput has a cell ask for input, which gonb does even where it is not
// allowed. The kernel has to be interrupted then.
func TestInput(t *testing.T) {
	t.Parallel()
	cell := make(chan *wire.Message, 1)
	k := newFake(t, func(_ *fakeKernel, p *wiretest.Peer, r *wire.Message, _ string) {
		switch r.Header.Type {
		case wire.ExecuteRequest:
			cell <- r
			p.Ask(r, "name?")
		case wire.InterruptRequest:
			asking := <-cell
			p.Stream(asking, "stderr", "signal: interrupt\n")
			ok(p, asking, 1)
		}
	})
	nb := notebook(t, "code")
	err := Run(t.Context(), k, nb, Options{CellTimeout: 20 * time.Second})
	if want := `cell 1 (code cell 1) failed: it asks for input ("name?"), and in a run nobody can give it`; err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	if got, want := summary(nb.Cells[0]), `error:no input:it asks for input ("name?"), and in a run nobody can give it`; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestErrorTypes(t *testing.T) {
	t.Parallel()
	k := newFake(t, func(k *fakeKernel, p *wiretest.Peer, r *wire.Message, _ string) { k.die() })
	err := Run(t.Context(), k, notebook(t, "# A", "code"), Options{})
	died, ok := errors.AsType[*KernelDied](err)
	if !ok || died.Place != (Place{Number: 2, Of: 2, Code: 1, CodeOf: 1, Title: "A"}) {
		t.Errorf("got %#v", err)
	}
}

func TestTimeout(t *testing.T) {
	t.Parallel()
	k := newFake(t, func(_ *fakeKernel, p *wiretest.Peer, r *wire.Message, _ string) { p.Stream(r, "stdout", "working") })
	nb := notebook(t, "code")
	err := Run(t.Context(), k, nb, Options{CellTimeout: 100 * time.Millisecond})
	if late, ok := errors.AsType[*CellTimeout](err); !ok || late.Limit != 100*time.Millisecond || late.Place.Number != 1 {
		t.Errorf("got %v, want a CellTimeout", err)
	}
	if got, want := summary(nb.Cells[0]), "stdout:working | error:timeout:the cell did not finish within 100ms"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestStopped(t *testing.T) {
	t.Parallel()
	began := make(chan struct{})
	k := newFake(t, func(_ *fakeKernel, p *wiretest.Peer, r *wire.Message, _ string) {
		p.Stream(r, "stdout", "working")
		close(began)
	})
	nb := notebook(t, "code")
	ctrlC := errors.New("interrupt signal received")
	ctx, cancel := context.WithCancelCause(t.Context())
	go func() {
		<-began
		time.Sleep(50 * time.Millisecond)
		cancel(ctrlC)
	}()
	err := Run(ctx, k, nb, Options{})
	if _, ok := errors.AsType[*Stopped](err); !ok || !errors.Is(err, ctrlC) {
		t.Errorf("got %v, want Stopped", err)
	}
	if got, want := summary(nb.Cells[0]), "stdout:working | error:stopped:interrupt signal received"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestExpectedFailure(t *testing.T) {
	t.Parallel()
	k := newFake(t, func(_ *fakeKernel, p *wiretest.Peer, r *wire.Message, code string) {
		if code == "fails" {
			p.Stream(r, "stderr", "exit status 1\n")
		}
		ok(p, r, 1)
	})
	nb := notebook(t, "tags: raises-exception\nfails", "works")
	meant := 0
	err := Run(t.Context(), k, nb, Options{Progress: func(e Event) {
		if e.Meant {
			meant++
		}
	}})
	if err != nil || meant != 1 {
		t.Errorf("a cell that should fail and does: got %v, %d failures that are meant", err, meant)
	}
	if got, want := summary(nb.Cells[0]), "error:exit status 1:its program ended with exit status 1"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	nb = notebook(t, "tags: raises-exception\nworks")
	err = Run(t.Context(), k, nb, Options{})
	if failed, ok := errors.AsType[*CellError](err); !ok || failed.Name != NotFailed {
		t.Errorf("a cell that should fail and does not: got %v", err)
	}
	if got, want := summary(nb.Cells[0]), "error:expected a failure:it is tagged raises-exception, but did not fail"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestSetupFailure(t *testing.T) {
	t.Parallel()
	k := newFake(t, func(_ *fakeKernel, p *wiretest.Peer, r *wire.Message, code string) {
		p.Stream(r, "stderr", "exit status 1\n")
		ok(p, r, 0)
	})
	nb := notebook(t, "code")
	err := Run(t.Context(), k, nb, Options{Setup: "setup"})
	if want := "the setup code failed: its program ended with exit status 1"; err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
	if got := summary(nb.Cells[0]); got != "" {
		t.Errorf("the setup's output is in the notebook: %s", got)
	}
}
