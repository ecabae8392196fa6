package session

import (
	"errors"
	"testing"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/wire"
	"example.com/railbook/kernel/wire/wiretest"
)

// TestToldFailures plays a kernel that tells of failed cells as the protocol
// wants: by an error message and a reply that says the same.
func TestToldFailures(t *testing.T) {
	tell := func(p *wiretest.Peer, r *wire.Message, publish bool, ename, evalue string, traceback ...string) {
		content := map[string]any{"ename": ename, "evalue": evalue, "traceback": traceback}
		if publish {
			p.Publish(r, "error", content)
		}
		content["status"], content["execution_count"] = "error", 1
		p.Reply(r, wire.ExecuteReply, content)
		p.Status(r, "idle")
	}
	for _, tt := range []struct {
		name   string
		script func(p *wiretest.Peer, r *wire.Message)
		class  string
		want   string // the error
		output string
	}{
		{"panic", func(p *wiretest.Peer, r *wire.Message) {
			p.Stream(r, "stdout", "a\n")
			tell(p, r, true, Panic, "no fuel", "\x1b[31mat line 3:\x1b[0m", "    panic(\"no fuel\")\n    ^")
		}, Panic, "cell 1 (code cell 1) panicked: no fuel\n  at line 3:\n      panic(\"no fuel\")\n      ^", "stdout:a/ | error:panic:no fuel"},
		{"compile error", func(p *wiretest.Peer, r *wire.Message) {
			tell(p, r, true, CompileError, "undefined: x", "compile error: undefined: x\nat line 1:", "    x")
		}, CompileError, "cell 1 (code cell 1) does not compile: undefined: x\n  at line 1:\n      x", "error:compile error:undefined: x"},
		{"a name of its own", func(p *wiretest.Peer, r *wire.Message) {
			tell(p, r, true, "NameError", "name 'x' is not defined")
		}, "NameError", "cell 1 (code cell 1) failed: name 'x' is not defined", "error:NameError:name 'x' is not defined"},
		{"a reply alone", func(p *wiretest.Peer, r *wire.Message) {
			tell(p, r, false, "exit status 3", "no sheet\nnor parts list")
		}, "exit status 3", "cell 1 (code cell 1) failed: no sheet\n  nor parts list", "error:exit status 3:no sheet"},
		{"no message", func(p *wiretest.Peer, r *wire.Message) { tell(p, r, true, "Silence", "") },
			"Silence", "cell 1 (code cell 1) failed: Silence", "error:Silence:"},
		{"exit text is text", func(p *wiretest.Peer, r *wire.Message) {
			p.Stream(r, "stderr", "exit status 7\n")
			tell(p, r, true, "exit status 7", "its program ended with exit status 7")
		}, "exit status 7", "cell 1 (code cell 1) failed: its program ended with exit status 7", "error:exit status 7:its program ended with exit status 7"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			k := newFake(t, func(_ *fakeKernel, p *wiretest.Peer, r *wire.Message, _ string) { tt.script(p, r) })
			nb := notebook(t, "code", "never run")
			err := Run(t.Context(), k, nb, Options{})
			failed, ok := errors.AsType[*CellError](err)
			if !ok || err.Error() != tt.want || failed.Name != tt.class || !failed.Told {
				t.Errorf("got  %v (%+v)\nwant %s: %s", err, failed, tt.class, tt.want)
			}
			if got := summary(nb.Cells[0]); got != tt.output {
				t.Errorf("got  %s\nwant %s", got, tt.output)
			}
			if nb.Cells[1].ExecutionCount != 0 {
				t.Error("the cell after the failed one was run")
			}
		})
	}
}

// TestResult checks that the value of a cell is kept with its count, which the
// format wants, even from a kernel that leaves it out.
func TestResult(t *testing.T) {
	t.Parallel()
	k := newFake(t, func(_ *fakeKernel, p *wiretest.Peer, r *wire.Message, code string) {
		p.Publish(r, "execute_input", map[string]any{"execution_count": 4})
		result := withID(plain("43.5 psi"), "value")
		if code == "with" {
			result["execution_count"] = 4
		}
		p.Publish(r, "execute_result", result)
		p.Publish(r, "update_display_data", withID(plain("58 psi"), "value"))
		ok(p, r, 4)
	})
	for _, code := range []string{"with", "without"} {
		nb := notebook(t, code)
		if err := Run(t.Context(), k, nb, Options{}); err != nil {
			t.Fatal(err)
		}
		if got, want := summary(nb.Cells[0]), "execute_result:58 psi"; got != want {
			t.Errorf("%s: got %s, want %s", code, got, want)
		}
		if o := nb.Cells[0].Outputs[0]; o.Type != nbformat.ExecuteResult || o.ExecutionCount != 4 {
			t.Errorf("%s: got count %d, want 4", code, o.ExecutionCount)
		}
	}
}

// TestExitTextIsOutput has a program that ends well write what is gonb's sign
// of one that does not.
func TestExitTextIsOutput(t *testing.T) {
	t.Parallel()
	k := newFake(t, func(_ *fakeKernel, p *wiretest.Peer, r *wire.Message, _ string) {
		p.Stream(r, "stderr", "exit status 1\n")
		ok(p, r, 1)
	})
	nb := notebook(t, "code")
	if err := Run(t.Context(), k, nb, Options{ToldExits: true}); err != nil {
		t.Error(err)
	}
	if got, want := summary(nb.Cells[0]), "stderr:exit status 1/"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// TestToldDeath plays a kernel that says itself that it has lost the cell, and
// with it all that the cells before have left: no tag asks for that, and there is
// nothing to go on with.
func TestToldDeath(t *testing.T) {
	t.Parallel()
	for _, name := range lost {
		k := newFake(t, func(_ *fakeKernel, p *wiretest.Peer, r *wire.Message, _ string) {
			content := map[string]any{"ename": name, "evalue": "signal: killed", "traceback": []string{"signal: killed", "its last words: help"}}
			p.Publish(r, "error", content)
			content["status"] = "error"
			p.Reply(r, wire.ExecuteReply, content)
			p.Status(r, "idle")
		})
		nb := notebook(t, "tags: raises-exception\ncode", "never run")
		err := Run(t.Context(), k, nb, Options{KeepGoing: true})
		died, ok := errors.AsType[*KernelDied](err)
		if want := "cell 1 (code cell 1) was lost: signal: killed\nits last words: help"; !ok || !died.Told || err.Error() != want {
			t.Errorf("%s: got  %v\nwant %s", name, err, want)
		}
		if got, want := summary(nb.Cells[0]), "error:"+name+":signal: killed"; got != want {
			t.Errorf("got  %s\nwant %s", got, want)
		}
		if nb.Cells[1].ExecutionCount != 0 {
			t.Errorf("%s: the next cell was run", name)
		}
	}
}
