package session

import (
	"context"
	"errors"
	"fmt"
	"time"

	"example.com/railbook/kernel/wire"
)

// interruptLimit is how long a kernel may take to end the cell it was asked to
// interrupt. gonb kills a program that does not care after five seconds.
const interruptLimit = 15 * time.Second

// recover makes the kernel ready for the next cell after the failure of one. It
// returns what keeps the run from going on, which may be the failure itself.
func (r *run) recover(ctx context.Context, failure error) error {
	if _, ok := errors.AsType[*CellError](failure); ok {
		return nil
	}
	late, ok := errors.AsType[*CellTimeout](failure)
	if !ok {
		return failure
	}
	// The kernel is still at it, and whatever comes now would have to wait.
	if err := r.kernel.Client().Interrupt(); err != nil {
		return &KernelDied{Place: late.Place, Err: err}
	}
	rec := r.requests[r.last]
	rec.abandoned = true
	wait, stop := context.WithTimeout(ctx, interruptLimit)
	defer stop()
	idle := false
	r.kernel.Client().Linger(wait, interruptLimit, func(m *wire.Message) {
		r.handle(m)
		if r.requests[m.Parent.ID] == rec && isIdle(m) {
			idle = true
			stop()
		}
	})
	switch {
	case idle:
		return nil
	case ctx.Err() != nil:
		return r.broken(ctx, rec, ctx.Err())
	default:
		return &KernelDied{Place: late.Place, Err: fmt.Errorf("the cell kernel did not end the cell within %v of being asked to", interruptLimit)}
	}
}

func isIdle(m *wire.Message) bool {
	var content struct {
		State string `json:"execution_state"`
	}
	return m.Header.Type == wire.Status && m.Decode(&content) == nil && content.State == "idle"
}
