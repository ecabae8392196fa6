//go:build unix

package pump

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"example.com/railbook/kernel/cellio"
)

// clock is a clock that stands.
type clock struct{ time.Time }

func (c *clock) now() time.Time       { return c.Time }
func (c *clock) pass(d time.Duration) { c.Time = c.Add(d) }

// newText returns a text, its clock and what it sends.
func newText() (*text, *clock, *[]string) {
	c := &clock{time.Unix(1e9, 0)}
	var sent []string
	return &text{now: c.now, send: func(e cellio.Event) error {
		sent = append(sent, e.Stream+" "+e.Text)
		return nil
	}}, c, &sent
}

func TestFlush(t *testing.T) {
	x, c, sent := newText()
	step := func(want ...string) {
		t.Helper()
		if !slices.Equal(*sent, want) {
			t.Errorf("sent %q, want %q", *sent, want)
		}
		*sent = nil
	}
	x.add("stdout", []byte("after a pause "))
	step("stdout after a pause ")
	x.add("stdout", []byte("soon "))
	x.add("stdout", []byte("after "))
	step()
	if wait, ok := x.due(); !ok || wait != flushDelay {
		t.Errorf("due in %v, %t", wait, ok)
	}
	c.pass(flushDelay / 2)
	x.add("stderr", []byte("other stream"))
	step("stdout soon after ")
	if wait, ok := x.due(); !ok || wait != flushDelay {
		t.Errorf("due in %v, %t", wait, ok)
	}
	c.pass(flushDelay)
	if wait, ok := x.due(); !ok || wait != 0 {
		t.Errorf("due in %v, %t", wait, ok)
	}
	x.flush()
	step("stderr other stream")
	if _, ok := x.due(); ok {
		t.Error("nothing is due")
	}
	large := strings.Repeat("x", chunkSize)
	x.add("stdout", []byte(large))
	step("stdout " + large)
	x.end()
	step()
}

// TestCut feeds texts byte by byte, in turns with another stream, and wants every
// event whole.
func TestCut(t *testing.T) {
	const all = "aé≥𝄞\U0010FFFD\u2028\n"
	for _, pause := range []time.Duration{0, flushDelay} {
		x, c, _ := newText()
		got := map[string]string{}
		x.send = func(e cellio.Event) error {
			if !utf8.ValidString(e.Text) || e.Text == "" {
				t.Errorf("sent %q", e.Text)
			}
			got[e.Stream] += e.Text
			return nil
		}
		for i := range len(all) {
			x.add(cellio.Stdout, []byte(all[i:i+1]))
			c.pass(pause)
			x.add(cellio.Stderr, []byte(all[i:i+1]))
			c.pass(pause)
		}
		x.end()
		if got[cellio.Stdout] != all || got[cellio.Stderr] != all {
			t.Errorf("got %q", got)
		}
	}
}

func TestComplete(t *testing.T) {
	for _, tt := range []struct {
		text string
		want int
	}{
		{"", 0}, {"a", 1}, {"é", 2}, {"é"[:1], 0}, {"aé"[:2], 1}, {"≥"[:1], 0}, {"≥"[:2], 0}, {"a𝄞"[:4], 1}, {"𝄞", 4},
		{"\xff", 1}, {"\x80", 1}, {"\x80\x80\x80\x80", 4}, {"\xc3(", 2}, {"\xe2\x28", 2}, {"é\xe2\x82", 2},
	} {
		if got := complete([]byte(tt.text)); got != tt.want {
			t.Errorf("%q: got %d, want %d", tt.text, got, tt.want)
		}
	}
}

// FuzzText wants that nothing is lost or changed, whatever the bytes.
func FuzzText(f *testing.F) {
	f.Add([]byte("é≥\xff𝄞"), byte(3))
	f.Fuzz(func(t *testing.T, data []byte, size byte) {
		x, c, _ := newText()
		got := map[string]string{}
		x.send = func(e cellio.Event) error {
			got[e.Stream] += e.Text
			return nil
		}
		streams := []string{cellio.Stdout, cellio.Stderr}
		want := map[string]string{}
		i := 0
		for piece := range slices.Chunk(data, int(size)+1) {
			stream := streams[i%2]
			i++
			want[stream] += string(piece)
			x.add(stream, piece)
			c.pass(time.Duration(i%3) * flushDelay / 2)
		}
		x.end()
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("got %q, want %q", got, want)
		}
	})
}
