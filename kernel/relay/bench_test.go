package relay

import (
	"context"
	"strings"
	"testing"
	"time"

	"example.com/railbook/kernel/wire"
)

// BenchmarkRelay compares a cell run by a cell kernel through the relay with the
// same cell run by that directly. The cell kernel is a fake that does nothing,
// so the difference is the relay's. It prints the time for one message and the
// ratio; the relay is to add less than 2 ms a message.
func BenchmarkRelay(b *testing.B) {
	for _, bm := range []struct {
		name, code string
		messages   int // of the cell's own
	}{
		{"blank cell", "note", 0},
		{"display", "show x\nexit 0", 2},
		{"100 displays", strings.Repeat("show x\n", 100) + "exit 0", 101},
		{"50 pieces of text and displays", strings.Repeat("stdout \"x\"\nshow y\n", 50) + "exit 0", 101},
		{"display of 1 MB", "big 1000000\nexit 0", 2},
	} {
		b.Run(bm.name, func(b *testing.B) {
			f := serve(b, Options{})
			direct := newFake(b)
			each := func(c *wire.Client) func() {
				if _, err := c.Ready(b.Context()); err != nil {
					b.Fatal(err)
				}
				return func() {
					if _, err := c.Execute(b.Context(), wire.NewRequest(bm.code, false), func(string) {}, func(*wire.Message) {}); err != nil {
						b.Fatal(err)
					}
				}
			}
			relayed := each(f.c)
			bare := each(direct.client)
			relayed()
			bare()
			var withRelay, without time.Duration
			for b.Loop() {
				start := time.Now()
				relayed()
				middle := time.Now()
				bare()
				withRelay += middle.Sub(start)
				without += time.Since(middle)
			}
			// Request, busy, input, reply and idle are messages too.
			n := float64(b.N * (bm.messages + 5))
			b.ReportMetric(float64(withRelay.Nanoseconds())/n, "relayed-ns/message")
			b.ReportMetric(float64(without.Nanoseconds())/n, "direct-ns/message")
			b.ReportMetric(float64((withRelay-without).Nanoseconds())/n, "added-ns/message")
			b.ReportMetric(float64(withRelay)/float64(without), "ratio")
		})
	}
}

// BenchmarkKernelInfo measures an answer of the relay itself.
func BenchmarkKernelInfo(b *testing.B) {
	f := serve(b, Options{})
	for b.Loop() {
		id := f.send(wire.Control, wire.KernelInfoRequest, "{}")
		for replied, idle := false, false; !replied || !idle; {
			ch, m, err := f.c.Receive(context.Background())
			if err != nil {
				b.Fatal(err)
			}
			if m.Parent.ID == id {
				replied = replied || ch == wire.Control
				idle = idle || strings.Contains(string(m.Content), "idle")
			}
		}
	}
}
