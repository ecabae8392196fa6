package relay

import (
	"syscall"
	"time"

	"example.com/railbook/kernel/wire"
)

// end says how a task ended.
type end int

const (
	finished  end = iota // the cell kernel replied
	died                 // the cell kernel died
	abandoned            // the cell kernel would not let go of it and was given up
	stopped              // the relay is shutting down
)

const (
	// lateDisplays is how long the cell kernel must be silent after a cell with
	// displays before no more are expected.
	lateDisplays = 50 * time.Millisecond
	// lastOutput is how long what a cell wrote before the cell kernel died may
	// be on its way.
	lastOutput = 50 * time.Millisecond
	// deathNotice is how long after a broken connection the cell kernel's
	// process may take to end.
	deathNotice = 2 * time.Second
)

// interruptSteps are what is done, one after the other, to a cell that has been
// interrupted and has not ended, by the time since the interrupt.
var interruptSteps = []struct {
	after time.Duration
	do    func(*upstream)
}{
	// The cell kernel sends its child SIGINT. A child that is just about to be
	// started misses it, as does what builds the cell.
	{0, politely},
	{100 * time.Millisecond, politely},
	// The children of a shell are reached only so.
	{200 * time.Millisecond, breakOff(syscall.SIGINT)},
	{300 * time.Millisecond, politely},
	{500 * time.Millisecond, breakOff(syscall.SIGKILL)},
	{600 * time.Millisecond, breakOff(syscall.SIGKILL)},
	{800 * time.Millisecond, nil}, // and the cell kernel is given up
}

func politely(u *upstream) {
	if b, ok := u.kernel.(BuildStopper); ok {
		b.StopBuild()
	}
	u.kernel.Client().Interrupt() // a broken connection shows itself elsewhere
}

func breakOff(sig syscall.Signal) func(*upstream) {
	return func(u *upstream) {
		if b, ok := u.kernel.(Breaker); ok {
			b.Break(sig) // there may be nobody to receive it
		}
	}
}

// running is a task under way with all that it needs.
type running struct {
	t   *task
	out *output
	// ask is called with the user's being asked for input.
	ask func(m *wire.Message)
	// unwanted is closed when the user does not want the task any more, stop when
	// the relay is to end.
	unwanted, stop <-chan struct{}

	reply wire.Reply // set once it has come
}

// wait handles what arrives until the task has ended.
func (w *running) wait() end {
	defer w.t.end()
	timer := time.NewTimer(time.Hour)
	defer timer.Stop()
	var since time.Time // of the interrupt
	step := 0
	unwanted := w.unwanted
	for replied, idle := false, false; !replied || !idle; {
		timer.Reset(w.untilDue(since, step))
		select {
		case a := <-w.t.arrivals:
			r, i := w.handle(a)
			replied, idle = replied || r, idle || i
		case <-timer.C:
			now := time.Now()
			w.out.tick(now)
			for !since.IsZero() && now.Sub(since) >= interruptSteps[step].after {
				if interruptSteps[step].do == nil {
					return abandoned
				}
				interruptSteps[step].do(w.t.up)
				step++
			}
		case <-unwanted:
			unwanted, since = nil, time.Now()
		case <-w.stop:
			return stopped
		case <-w.t.up.lost:
			w.drain(lastOutput)
			w.awaitDeath()
			return died
		case <-w.t.up.kernel.Died():
			w.drain(lastOutput)
			return died
		}
	}
	if w.out.incomplete() {
		w.drain(lateDisplays)
	}
	return finished
}

// untilDue returns how long to wait for messages before something else has to
// be done.
func (w *running) untilDue(since time.Time, step int) time.Duration {
	next := time.Now().Add(time.Hour)
	if due, ok := w.out.due(); ok {
		next = due
	}
	if !since.IsZero() {
		if due := since.Add(interruptSteps[step].after); due.Before(next) {
			next = due
		}
	}
	return max(0, time.Until(next))
}

// handle takes a message that belongs to the task, and tells whether it is the
// reply or the return to idle.
func (w *running) handle(a arrival) (replied, idle bool) {
	switch {
	case a.from == wire.IOPub && a.msg.Header.Type == wire.Status:
		var c status
		return false, a.msg.Decode(&c) == nil && c.State == "idle"
	case a.from == wire.IOPub:
		w.out.take(time.Now(), a.msg)
	case a.msg.Header.Type == wire.ExecuteReply:
		if err := a.msg.Decode(&w.reply); err != nil {
			w.reply = wire.Reply{Status: "error", EName: "bad reply", EValue: err.Error()}
		}
		return true, false
	case a.msg.Header.Type == wire.InputRequest:
		w.out.settle(time.Now())
		w.ask(a.msg)
	}
	return false, false
}

// drain handles what arrives until nothing has for the length of quiet.
func (w *running) drain(quiet time.Duration) {
	for {
		select {
		case a := <-w.t.arrivals:
			w.handle(a)
		case <-time.After(quiet):
			return
		}
	}
}

func (w *running) awaitDeath() {
	select {
	case <-w.t.up.kernel.Died():
	case <-time.After(deathNotice):
	}
}
