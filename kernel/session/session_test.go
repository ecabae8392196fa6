package session

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/wire"
	"example.com/railbook/kernel/wire/wiretest"
)

func plain(text string) map[string]any {
	return map[string]any{"data": map[string]string{"text/plain": text}, "metadata": map[string]any{}}
}

func withID(content map[string]any, id string) map[string]any {
	content["transient"] = map[string]string{"display_id": id}
	return content
}

// TestOutputs plays what one cell sends and checks what the notebook holds
// then.
func TestOutputs(t *testing.T) {
	for _, tt := range []struct {
		name   string
		script func(p *wiretest.Peer, r *wire.Message)
		want   string
	}{
		{"streams are joined", func(p *wiretest.Peer, r *wire.Message) {
			p.Stream(r, "stdout", "a")
			p.Stream(r, "stdout", "b\n")
			p.Stream(r, "stderr", "c\n")
			p.Stream(r, "stdout", "d\n")
		}, "stdout:ab/ | stderr:c/ | stdout:d/"},
		{"a display parts streams", func(p *wiretest.Peer, r *wire.Message) {
			p.Stream(r, "stdout", "a")
			p.Publish(r, "display_data", plain("x"))
			p.Stream(r, "stdout", "b")
			p.Publish(r, "execute_result", plain("y"))
		}, "stdout:a | display_data:x | stdout:b | execute_result:y"},
		{"clear at once", func(p *wiretest.Peer, r *wire.Message) {
			p.Stream(r, "stdout", "a")
			p.Publish(r, "clear_output", map[string]bool{"wait": false})
		}, ""},
		{"clear and wait", func(p *wiretest.Peer, r *wire.Message) {
			p.Stream(r, "stdout", "a")
			p.Publish(r, "clear_output", map[string]bool{"wait": true})
			p.Stream(r, "stdout", "b")
			p.Stream(r, "stdout", "c")
		}, "stdout:bc"},
		{"clear and wait for nothing", func(p *wiretest.Peer, r *wire.Message) {
			p.Stream(r, "stdout", "a")
			p.Publish(r, "clear_output", map[string]bool{"wait": true})
		}, "stdout:a"},
		{"update", func(p *wiretest.Peer, r *wire.Message) {
			p.Publish(r, "display_data", withID(plain("one"), "id"))
			p.Publish(r, "display_data", withID(plain("two"), "id"))
			p.Publish(r, "display_data", plain("three"))
			p.Publish(r, "update_display_data", withID(plain("new"), "id"))
			p.Publish(r, "update_display_data", withID(plain("lost"), "unknown"))
		}, "display_data:new | display_data:new | display_data:three"},
		{"another's output", func(p *wiretest.Peer, r *wire.Message) {
			p.Stream(&wire.Message{Header: wire.Header{ID: "other"}}, "stdout", "theirs")
			p.Stream(r, "stdout", "ours")
		}, "stdout:ours"},
		{"unknown messages", func(p *wiretest.Peer, r *wire.Message) {
			p.Publish(r, "comm_open", map[string]string{"comm_id": "1"})
			p.Publish(r, "news", []int{1})
			p.Stream(r, "stdout", "a")
		}, "stdout:a"},
		{"exit status in the middle is output", func(p *wiretest.Peer, r *wire.Message) {
			p.Stream(r, "stderr", "exit status 1\n")
			p.Stream(r, "stderr", "but we go on\n")
		}, "stderr:exit status 1/but we go on/"},
		{"exit status in a line is output", func(p *wiretest.Peer, r *wire.Message) {
			p.Stream(r, "stderr", "got exit status 1\n")
		}, "stderr:got exit status 1/"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			k := newFake(t, func(_ *fakeKernel, p *wiretest.Peer, r *wire.Message, _ string) {
				p.Status(r, "busy")
				p.Publish(r, "execute_input", map[string]any{"execution_count": 7})
				tt.script(p, r)
				ok(p, r, 7)
			})
			nb := notebook(t, "code")
			if err := Run(t.Context(), k, nb, Options{}); err != nil {
				t.Fatal(err)
			}
			if got := summary(nb.Cells[0]); got != tt.want {
				t.Errorf("got  %s\nwant %s", got, tt.want)
			}
			if got := nb.Cells[0].ExecutionCount; got != 7 {
				t.Errorf("execution count: got %d, want 7", got)
			}
			data, err := nb.Encode()
			if err != nil {
				t.Fatal(err)
			}
			if strings.Contains(string(data), "transient") {
				t.Error("the notebook holds transient data")
			}
		})
	}
}

func TestTiming(t *testing.T) {
	t.Parallel()
	k := newFake(t, func(_ *fakeKernel, p *wiretest.Peer, r *wire.Message, _ string) {
		p.Status(r, "busy")
		p.Publish(r, "execute_input", map[string]any{"execution_count": 1})
		ok(p, r, 1)
	})
	nb := notebook(t, "code")
	before := time.Now()
	if err := Run(t.Context(), k, nb, Options{}); err != nil {
		t.Fatal(err)
	}
	var times map[string]time.Time
	if found, err := nb.Cells[0].Metadata.Get("execution", &times); !found || err != nil {
		t.Fatalf("no timing: %v", err)
	}
	for _, key := range []string{"iopub.status.busy", "iopub.execute_input", "iopub.status.idle", "shell.execute_reply"} {
		if at := times[key]; at.Before(before.Truncate(time.Microsecond)) || at.After(time.Now()) {
			t.Errorf("%s: got %v, want between %v and now", key, at, before)
		}
	}
}

// TestLateDisplay has a display of the first cell come during the second, and
// one of the second after the end.
func TestLateDisplay(t *testing.T) {
	t.Parallel()
	var first *wire.Message
	k := newFake(t, func(_ *fakeKernel, p *wiretest.Peer, r *wire.Message, code string) {
		if code == "one" {
			first = r
			ok(p, r, 1)
			return
		}
		p.Publish(first, "display_data", withID(plain("late"), "id"))
		p.Publish(r, "update_display_data", withID(plain("late and updated"), "id"))
		ok(p, r, 2)
		time.Sleep(20 * time.Millisecond)
		p.Publish(r, "display_data", plain("very late"))
	})
	nb := notebook(t, "one", "two")
	if err := Run(t.Context(), k, nb, Options{}); err != nil {
		t.Fatal(err)
	}
	if got, want := summary(nb.Cells[0]), "display_data:late and updated"; got != want {
		t.Errorf("first cell: got %s, want %s", got, want)
	}
	if got, want := summary(nb.Cells[1]), "display_data:very late"; got != want {
		t.Errorf("second cell: got %s, want %s", got, want)
	}
}

func TestOldOutputsAreReplaced(t *testing.T) {
	t.Parallel()
	k := newFake(t, func(_ *fakeKernel, p *wiretest.Peer, r *wire.Message, _ string) { ok(p, r, 1) })
	nb := notebook(t, "code", "tags: skip-execution\nskipped")
	for _, c := range nb.Cells {
		c.Outputs = []*nbformat.Output{{Type: nbformat.Error, EName: "old"}}
		c.ExecutionCount = 99
		if err := c.Metadata.Set("execution", map[string]string{"old": "x"}); err != nil {
			t.Fatal(err)
		}
	}
	if err := Run(t.Context(), k, nb, Options{}); err != nil {
		t.Fatal(err)
	}
	for i, want := range []int{1, 0} {
		c := nb.Cells[i]
		if _, timed := c.Metadata["execution"]; len(c.Outputs) != 0 || c.ExecutionCount != want || timed != (want > 0) {
			t.Errorf("cell %d: got outputs %s, count %d, metadata %v; want none, %d, timing only if run", i+1, summary(c), c.ExecutionCount, c.Metadata, want)
		}
	}
}

func TestOrderSkipAndEvents(t *testing.T) {
	t.Parallel()
	var ran []string
	k := newFake(t, func(_ *fakeKernel, p *wiretest.Peer, r *wire.Message, code string) {
		ran = append(ran, code)
		ok(p, r, len(ran))
	})
	nb := notebook(t, "# The shop", "one", "tags: skip-execution other\ntwo", "  \n", "// Three.\nthree")
	var events []string
	err := Run(t.Context(), k, nb, Options{Setup: "setup", Progress: func(e Event) {
		events = append(events, []string{"start", "finish", "skip", "warn"}[e.Kind]+" "+e.Place.String())
	}})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := strings.Join(ran, ", "), "setup, one, // Three.\nthree"; got != want {
		t.Errorf("ran %q, want %q", got, want)
	}
	const want = `start cell 2 (code cell 1, "The shop")
finish cell 2 (code cell 1, "The shop")
skip cell 3 (code cell 2, "The shop")
start cell 5 (code cell 4, "Three.")
finish cell 5 (code cell 4, "Three.")`
	if got := strings.Join(events, "\n"); got != want {
		t.Errorf("got events\n%s\nwant\n%s", got, want)
	}
}

func TestEnrich(t *testing.T) {
	t.Parallel()
	k := newFake(t, func(_ *fakeKernel, p *wiretest.Peer, r *wire.Message, code string) {
		if code != "setup" {
			p.Publish(r, "display_data", withID(map[string]any{"data": map[string]any{"application/json": map[string]any{"b": 1, "a": "<"}}}, "id"))
			p.Publish(r, "update_display_data", withID(plain("bad"), "id"))
		} else {
			p.Publish(r, "display_data", plain("bad"))
		}
		ok(p, r, 1)
	})
	nb := notebook(t, "code")
	bad := errors.New("cannot draw that")
	var warnings []error
	calls := 0
	err := Run(t.Context(), k, nb, Options{
		Setup: "setup",
		Enrich: func(b nbformat.MimeBundle) error {
			calls++
			if text, ok := b.Text("text/plain"); ok {
				b.SetText("text/html", "<i>"+text+"</i>")
				return bad
			}
			var v map[string]any
			if err := json.Unmarshal(b["application/json"], &v); err != nil || v["a"] != "<" {
				t.Errorf("JSON data arrived as %s: %v", b["application/json"], err)
			}
			return nil
		},
		Progress: func(e Event) {
			if e.Kind == Warning {
				warnings = append(warnings, e.Err)
			}
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	html, _ := nb.Cells[0].Outputs[0].Data.Text("text/html")
	if calls != 2 || html != "<i>bad</i>" || len(warnings) != 1 || warnings[0] != bad {
		t.Errorf("got %d calls, %q, warnings %v; want 2, <i>bad</i>, one", calls, html, warnings)
	}
}
