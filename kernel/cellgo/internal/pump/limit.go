//go:build unix

package pump

import (
	"time"

	"example.com/railbook/kernel/cellgo/credit"
)

// The kernel keeps in memory, without limit, what its client has not read yet. So
// a program that writes faster than its output is read is held: where the reader
// tells how much it has taken, so many events may be on their way; where it does
// not, a burst passes, and then so many bytes a second.
const (
	limitEvents = 32
	limitBurst  = 64 << 20
	limitRate   = 16 << 20
)

// limit holds what is sent.
type limit struct {
	now func() time.Time

	taken *credit.Reader // nil if nobody tells
	first uint64         // how many events were taken before
	sent  uint64

	spare float64 // bytes that may pass at the time at
	at    time.Time
}

// newLimit returns a limit. At creditPath the reader tells what it takes, if it
// does.
func newLimit(now func() time.Time, creditPath string) *limit {
	l := &limit{now: now, spare: limitBurst, at: now()}
	reader, err := credit.Open(creditPath)
	if err != nil {
		return l // nobody tells
	}
	if first, ok, err := reader.Taken(); ok && err == nil {
		l.taken, l.first = reader, first
	} else {
		reader.Close()
	}
	return l
}

// event waits until an event of n bytes may pass, or gone is closed.
func (l *limit) event(n int, gone <-chan struct{}) {
	if l.taken == nil {
		pause(l.bytes(n), gone)
		return
	}
	l.sent++
	for l.ahead() && pause(creditPoll, gone) {
	}
}

// creditPoll is how often the reader is asked.
const creditPoll = 2 * time.Millisecond

// ahead reports whether too many events are on their way.
func (l *limit) ahead() bool {
	if l.sent <= limitEvents {
		return false
	}
	taken, _, err := l.taken.Taken()
	// What an earlier program has sent may count for this one.
	return err == nil && int64(l.sent)-int64(taken-l.first) > limitEvents
}

// display waits until a display of n bytes may pass, or gone is closed.
func (l *limit) display(n int, gone <-chan struct{}) { pause(l.bytes(n), gone) }

// pause waits. It reports false if gone was closed before.
func pause(d time.Duration, gone <-chan struct{}) bool {
	if d <= 0 {
		return true
	}
	select {
	case <-time.After(d):
		return true
	case <-gone:
		return false
	}
}

// bytes counts n bytes and returns how long to wait until they may pass.
func (l *limit) bytes(n int) time.Duration {
	now := l.now()
	l.spare = min(limitBurst, l.spare+now.Sub(l.at).Seconds()*limitRate) - float64(n)
	l.at = now
	if l.spare >= 0 {
		return 0
	}
	return time.Duration(-l.spare / limitRate * float64(time.Second))
}
