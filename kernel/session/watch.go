package session

import (
	"context"
	"fmt"
	"time"
)

// How often the kernel's heartbeat is felt, and how long it may be away: far
// longer than the busiest machine makes it wait.
const (
	beatEvery = 5 * time.Second
	beatLimit = 60 * time.Second
)

// silentKernel says that the kernel's process runs but does not react.
type silentKernel struct{ limit time.Duration }

func (e *silentKernel) Error() string {
	return fmt.Sprintf("the cell kernel has not answered its heartbeat for %v", e.limit)
}

// watch cancels the run when the kernel dies or its heartbeat, felt so often,
// is away for longer than limit.
func watch(ctx context.Context, k Kernel, cancel context.CancelCauseFunc, every, limit time.Duration) {
	go func() {
		for {
			beat, stop := context.WithTimeout(ctx, limit)
			err := k.Client().Heartbeat(beat)
			stop()
			if err != nil {
				if ctx.Err() == nil && beat.Err() != nil {
					cancel(&silentKernel{limit})
				}
				return // a broken connection shows itself elsewhere
			}
			select {
			case <-time.After(every):
			case <-ctx.Done():
				return
			}
		}
	}()
	select {
	case <-k.Died():
		cancel(k.DeathError())
	case <-ctx.Done():
	}
}

func isDead(k Kernel) bool {
	select {
	case <-k.Died():
		return true
	default:
		return false
	}
}
