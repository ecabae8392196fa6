package wire_test

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"example.com/railbook/kernel/wire"
	"example.com/railbook/kernel/wire/wiretest"
)

// dial returns a client that is ready.
func dial(t *testing.T, p *wiretest.Peer) *wire.Client {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
	defer cancel()
	c, err := wire.Dial(ctx, p.Conn)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { c.Close() })
	if info, err := c.Ready(ctx); err != nil || info.Implementation != "peer" || info.Language.Name != "go" {
		t.Fatalf("Ready: got %+v, %v", info, err)
	}
	return c
}

// run executes a cell and returns a line for each message handled: its type,
// and whether it belongs to the cell.
func run(ctx context.Context, c *wire.Client) (wire.Reply, []string, error) {
	var id string
	var seen []string
	reply, err := c.Execute(ctx, wire.NewRequest("code", false), func(sent string) { id = sent }, func(m *wire.Message) {
		if m.Parent.Type == wire.KernelInfoRequest {
			return // left over from Ready
		}
		line := m.Header.Type
		if m.Parent.ID != id {
			line += " of another"
		}
		seen = append(seen, line)
	})
	return reply, seen, err
}

// TestExecute plays sequences of messages and checks what Execute made of them.
func TestExecute(t *testing.T) {
	other := &wire.Message{Header: wire.Header{ID: "other", Type: wire.ExecuteRequest}}
	for _, tt := range []struct {
		name   string
		script func(p *wiretest.Peer, r *wire.Message)
		want   []string
	}{
		{"in order", func(p *wiretest.Peer, r *wire.Message) {
			p.Status(r, "busy")
			p.Stream(r, "stdout", "x")
			p.OK(r, 1)
			p.Status(r, "idle")
		}, []string{"status", "stream", "execute_reply", "status"}},
		{"idle before reply", func(p *wiretest.Peer, r *wire.Message) {
			p.Status(r, "busy")
			p.Status(r, "idle")
			time.Sleep(50 * time.Millisecond)
			p.OK(r, 1)
		}, []string{"status", "status", "execute_reply"}},
		{"output between reply and idle", func(p *wiretest.Peer, r *wire.Message) {
			p.OK(r, 1)
			time.Sleep(50 * time.Millisecond)
			p.Stream(r, "stdout", "x")
			p.Status(r, "idle")
		}, []string{"execute_reply", "stream", "status"}},
		{"another's idle and reply do not count", func(p *wiretest.Peer, r *wire.Message) {
			p.Status(other, "idle")
			p.Reply(&wire.Message{Identities: r.Identities, Header: other.Header}, wire.ExecuteReply, map[string]any{"status": "ok", "execution_count": 99})
			time.Sleep(50 * time.Millisecond)
			p.Stream(r, "stdout", "x")
			p.OK(r, 1)
			p.Status(r, "idle")
		}, []string{"status of another", "stream", "execute_reply", "status"}},
		{"forged and malformed messages are dropped", func(p *wiretest.Peer, r *wire.Message) {
			p.PublishForged(r, "stream", map[string]string{"name": "stdout", "text": "forged"})
			p.PublishFrames("not", "a message")
			p.PublishFrames("<IDS|MSG>", "", "{}")
			p.OK(r, 1)
			p.Status(r, "idle")
		}, []string{"execute_reply", "status"}},
		{"unknown type", func(p *wiretest.Peer, r *wire.Message) {
			p.Publish(r, "iopub_welcome", map[string]any{"new": []int{1}})
			p.OK(r, 1)
			p.Status(r, "idle")
		}, []string{"iopub_welcome", "execute_reply", "status"}},
		{"input", func(p *wiretest.Peer, r *wire.Message) {
			p.Ask(r, "name?")
			time.Sleep(50 * time.Millisecond)
			p.OK(r, 1)
			p.Status(r, "idle")
		}, []string{"input_request", "execute_reply", "status"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := dial(t, wiretest.Start(t, tt.script))
			ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
			defer cancel()
			reply, seen, err := run(ctx, c)
			if err != nil || reply.Status != "ok" || reply.ExecutionCount != 1 {
				t.Errorf("got %+v, %v", reply, err)
			}
			// The reply comes on another socket than the rest, so where it
			// stands among them is chance.
			if got, want := sorted(seen), sorted(tt.want); !slices.Equal(got, want) {
				t.Errorf("handled %q, want %q", seen, tt.want)
			}
			outputs := func(list []string) []string {
				return slices.DeleteFunc(slices.Clone(list), func(s string) bool { return s == "execute_reply" || s == "input_request" })
			}
			if got, want := outputs(seen), outputs(tt.want); !slices.Equal(got, want) {
				t.Errorf("outputs in the order %q, want %q", got, want)
			}
		})
	}
}

func sorted(list []string) []string {
	list = slices.Clone(list)
	slices.Sort(list)
	return list
}

func TestReplyWithoutIdleEndsWithContext(t *testing.T) {
	c := dial(t, wiretest.Start(t, func(p *wiretest.Peer, r *wire.Message) { p.OK(r, 1) }))
	late := errors.New("too late")
	ctx, cancel := context.WithTimeoutCause(t.Context(), 100*time.Millisecond, late)
	defer cancel()
	if _, _, err := run(ctx, c); !errors.Is(err, late) {
		t.Errorf("got %v, want the context's cause", err)
	}
}

func TestLostConnection(t *testing.T) {
	c := dial(t, wiretest.Start(t, func(p *wiretest.Peer, r *wire.Message) { p.Close() }))
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
	defer cancel()
	if _, _, err := run(ctx, c); err == nil || !strings.Contains(err.Error(), "connection to the kernel lost") {
		t.Errorf("got %v", err)
	}
}

func TestReadyWaitsForTheSubscription(t *testing.T) {
	const unheard = 3
	p := wiretest.StartDeaf(t, unheard, func(*wiretest.Peer, *wire.Message) {})
	start := time.Now()
	dial(t, p)
	// One request is made at once, each further one 50 ms after a reply.
	if took := time.Since(start); took < unheard*50*time.Millisecond {
		t.Errorf("ready after %v, before anything can have been heard", took)
	}
}

func TestReadyEndsWithContext(t *testing.T) {
	p := wiretest.StartDeaf(t, 1000, func(*wiretest.Peer, *wire.Message) {})
	c, err := wire.Dial(t.Context(), p.Conn)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	ctx, cancel := context.WithTimeout(t.Context(), 200*time.Millisecond)
	defer cancel()
	if _, err := c.Ready(ctx); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("got %v, want the context's end", err)
	}
}

func TestDialEndsWithContext(t *testing.T) {
	conn, err := wire.NewConnection(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 100*time.Millisecond)
	defer cancel()
	if _, err := wire.Dial(ctx, conn); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("nobody listens: got %v, want the context's end", err)
	}
}

func TestLingerHearsLateOutput(t *testing.T) {
	c := dial(t, wiretest.Start(t, func(p *wiretest.Peer, r *wire.Message) {
		p.OK(r, 1)
		p.Status(r, "idle")
		time.Sleep(50 * time.Millisecond)
		p.Publish(r, "display_data", map[string]any{"data": map[string]string{"text/plain": "late"}})
	}))
	if _, seen, err := run(t.Context(), c); err != nil || slices.Contains(seen, "display_data") {
		t.Fatalf("got %q, %v", seen, err)
	}
	var late []string
	ctx, cancel := context.WithCancel(t.Context())
	c.Linger(ctx, 10*time.Second, func(m *wire.Message) {
		late = append(late, m.Header.Type)
		cancel()
	})
	if !slices.Equal(late, []string{"display_data"}) {
		t.Errorf("late: got %q, want one display_data", late)
	}
	start := time.Now()
	c.Linger(t.Context(), 50*time.Millisecond, func(m *wire.Message) { t.Errorf("heard %s, want silence", m.Header.Type) })
	if took := time.Since(start); took < 50*time.Millisecond || took > 5*time.Second {
		t.Errorf("lingered %v in silence, want 50 ms", took)
	}
}

func TestControlMessages(t *testing.T) {
	got := make(chan string, 2)
	c := dial(t, wiretest.Start(t, func(p *wiretest.Peer, r *wire.Message) { got <- r.Header.Type + string(r.Content) }))
	if err := c.Interrupt(); err != nil {
		t.Fatal(err)
	}
	if err := c.Shutdown(); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"interrupt_request{}", `shutdown_request{"restart":false}`} {
		select {
		case g := <-got:
			if g != want {
				t.Errorf("got %s, want %s", g, want)
			}
		case <-time.After(10 * time.Second):
			t.Fatalf("%s did not arrive", want)
		}
	}
}

func TestHeartbeat(t *testing.T) {
	p := wiretest.Start(t, func(*wiretest.Peer, *wire.Message) {})
	c := dial(t, p)
	for range 3 {
		ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
		if err := c.Heartbeat(ctx); err != nil {
			t.Fatal(err)
		}
		cancel()
	}
	p.Close()
	ctx, cancel := context.WithTimeout(t.Context(), 200*time.Millisecond)
	defer cancel()
	if err := c.Heartbeat(ctx); err == nil {
		t.Error("a closed peer's heart still beats")
	}
}
