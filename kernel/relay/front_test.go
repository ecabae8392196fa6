package relay

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"example.com/railbook/kernel/wire"
)

// front is a front end with a kernel of its own.
type front struct {
	t    testing.TB
	c    *wire.Client
	conn wire.Connection
	stop context.CancelFunc
	end  chan error // what Serve returned

	mu    sync.Mutex
	fakes []*fake
	logs  []string

	heard  []heard // all messages, in the order they came
	broken int     // channels that the kernel has closed
}

type heard struct {
	from wire.Channel
	*wire.Message
	summary string
}

// patience is how long a test waits for what must come.
const patience = 30 * time.Second

// serve starts a kernel with the options, whose cell kernels are breakable fakes
// unless the options say otherwise, and connects to it.
func serve(t testing.TB, o Options) *front {
	return serveOn(t, o, func(k *fake) Kernel { return breakable{k} })
}

// serveOn is serve with another use of the fakes.
func serveOn(t testing.TB, o Options, kernel func(*fake) Kernel) *front {
	t.Helper()
	f := &front{t: t, end: make(chan error, 1)}
	if o.Start == nil {
		o.Start = func(context.Context, func(string)) (Kernel, error) {
			k := newFake(t)
			f.mu.Lock()
			defer f.mu.Unlock()
			f.fakes = append(f.fakes, k)
			return kernel(k), nil
		}
	}
	o.Log = func(line string) {
		f.mu.Lock()
		defer f.mu.Unlock()
		f.logs = append(f.logs, line)
	}
	var err error
	if f.conn, err = wire.NewConnection(t.TempDir()); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	f.stop = cancel
	go func() { f.end <- Serve(ctx, f.conn, o) }()
	t.Cleanup(func() {
		cancel()
		select {
		case <-f.end:
		case <-time.After(patience):
			t.Error("the kernel does not end")
		}
	})
	dialing, done := context.WithTimeout(ctx, patience)
	defer done()
	if f.c, err = wire.Dial(dialing, f.conn); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.c.Close() })
	f.await("the start", func() bool {
		return slices.ContainsFunc(f.heard, func(h heard) bool { return h.from == wire.IOPub })
	})
	return f
}

// fake returns the cell kernel that was started as the i-th.
func (f *front) fake(i int) *fake {
	f.t.Helper()
	for start := time.Now(); time.Since(start) < patience; time.Sleep(time.Millisecond) {
		f.mu.Lock()
		n := len(f.fakes)
		f.mu.Unlock()
		if i < n {
			return f.fakes[i]
		}
	}
	f.t.Fatalf("cell kernel %d was never started", i)
	return nil
}

// logged waits until a line with the text is in the log.
func (f *front) logged(text string) {
	f.t.Helper()
	for start := time.Now(); time.Since(start) < patience; time.Sleep(time.Millisecond) {
		f.mu.Lock()
		all := strings.Join(f.logs, "\n")
		f.mu.Unlock()
		if strings.Contains(all, text) {
			return
		}
	}
	f.t.Errorf("nothing about %q was logged", text)
}

// send sends a message, whose content is JSON, and returns its ID.
func (f *front) send(ch wire.Channel, typ, content string) string {
	f.t.Helper()
	id, err := f.c.Send(ch, &wire.Message{Header: wire.Header{Type: typ}, Content: []byte(content)})
	if err != nil {
		f.t.Fatal(err)
	}
	return id
}

// execute sends a cell, with more of the request's content if there is any.
func (f *front) execute(code string, more ...string) string {
	f.t.Helper()
	quoted, _ := json.Marshal(code)
	return f.send(wire.Shell, wire.ExecuteRequest, "{"+strings.Join(append(more, `"code":`+string(quoted)), ",")+"}")
}

// await takes messages until the condition holds.
func (f *front) await(what string, holds func() bool) {
	f.t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	for !holds() {
		ch, m, err := f.c.Receive(ctx)
		if err != nil && ctx.Err() == nil && f.broken < int(wire.IOPub) {
			f.broken++ // the other channels may have more
			continue
		}
		if err != nil {
			f.mu.Lock()
			f.t.Fatalf("waiting for %s: %v; heard so far:\n%s\nlogged:\n%s", what, err, strings.Join(f.transcript(""), "\n"), strings.Join(f.logs, "\n"))
		}
		f.heard = append(f.heard, heard{ch, m, summary(ch, m)})
	}
}

// count returns how many messages with the parent were heard as summaries that
// begin so.
func (f *front) count(parent, summary string) int {
	n := 0
	for _, line := range f.transcript(parent) {
		if strings.HasPrefix(line, summary) {
			n++
		}
	}
	return n
}

// finish waits until the requests have been replied to and the kernel is idle
// again after each, and returns what was heard of them.
func (f *front) finish(ids ...string) []string {
	f.t.Helper()
	for _, id := range ids {
		f.await("the reply and idle", func() bool {
			return f.count(id, "shell ")+f.count(id, "control ") > 0 && f.count(id, "status idle") > 0
		})
	}
	var all []string
	for _, id := range ids {
		all = append(all, f.transcript(id)...)
	}
	return all
}

// run runs a cell and returns what was heard of it, other than its input and
// the kernel's state.
func (f *front) run(code string, more ...string) []string {
	f.t.Helper()
	lines := f.finish(f.execute(code, more...))
	return slices.DeleteFunc(lines, func(s string) bool {
		return strings.HasPrefix(s, "status ") || strings.HasPrefix(s, "execute_input ")
	})
}

// transcript returns a line for each message with the parent, or for all: first
// those of the output socket in order, then the others.
func (f *front) transcript(parent string) []string {
	var outputs, others []string
	for _, h := range f.heard {
		if parent != "" && h.Parent.ID != parent {
			continue
		}
		if h.from == wire.IOPub {
			outputs = append(outputs, h.summary)
		} else {
			others = append(others, h.summary)
		}
	}
	return append(outputs, others...)
}

// summary writes a message in a line.
func summary(from wire.Channel, h *wire.Message) string {
	var c struct {
		State     string `json:"execution_state"`
		Name      string
		Text      string
		Code      string
		Count     *int `json:"execution_count"`
		Status    string
		EName     string
		EValue    string
		Data      map[string]any
		Transient map[string]any
		Prompt    string
	}
	h.Decode(&c)
	count := ""
	if c.Count != nil {
		count = fmt.Sprintf(" [%d]", *c.Count)
	}
	prefix := h.Header.Type
	if from != wire.IOPub {
		prefix = from.String() + " " + h.Header.Type
	}
	switch h.Header.Type {
	case wire.Status:
		return "status " + c.State
	case "execute_input":
		return fmt.Sprintf("execute_input%s %s", count, c.Code)
	case "stream":
		return fmt.Sprintf("%s %q", c.Name, c.Text)
	case "error":
		return fmt.Sprintf("error %s: %s", c.EName, c.EValue)
	case "display_data", "execute_result", "update_display_data":
		data, _ := json.Marshal(c.Data)
		return prefix + count + " " + string(data)
	case wire.ExecuteReply:
		text := prefix + count + " " + c.Status
		if c.EName != "" {
			text += fmt.Sprintf(" %s: %s", c.EName, c.EValue)
		}
		return text
	case wire.InputRequest:
		return prefix + " " + c.Prompt
	}
	return prefix + " " + string(h.Content)
}

// check compares what was heard with what is wanted.
func check(t testing.TB, what string, got []string, want ...string) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("%s: got\n  %s\nwant\n  %s", what, strings.Join(got, "\n  "), strings.Join(want, "\n  "))
	}
}

// within says that a test would rather fail than take so long.
func within(t testing.TB, limit time.Duration, what string, do func()) {
	t.Helper()
	start := time.Now()
	do()
	if took := time.Since(start); took > limit {
		t.Errorf("%s took %v, want no more than %v", what, took, limit)
	}
}
