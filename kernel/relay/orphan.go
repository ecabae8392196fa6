package relay

import (
	"context"
	"errors"
	"os"
	"time"
)

// orphanEvery is how often it is looked whether the parent is still there.
const orphanEvery = time.Second

// ErrOrphaned is the cause of the end of the context of [UntilOrphaned].
var ErrOrphaned = errors.New("the process that started the kernel has ended")

// UntilOrphaned returns a context that ends with ctx, or when the process that
// started this one has ended, as a front end that was killed has. A kernel that
// is served with it does not stay behind.
func UntilOrphaned(ctx context.Context) (context.Context, context.CancelFunc) {
	return untilChanged(ctx, os.Getppid, orphanEvery)
}

// untilChanged returns a context that ends with ctx or once the parent, asked
// for so often, is another than at first.
func untilChanged(ctx context.Context, parent func() int, every time.Duration) (context.Context, context.CancelFunc) {
	ctx, cancel := context.WithCancelCause(ctx)
	first := parent()
	go func() {
		for tick := time.NewTicker(every); ; {
			select {
			case <-tick.C:
				if parent() != first {
					cancel(ErrOrphaned)
				}
			case <-ctx.Done():
				tick.Stop()
				return
			}
		}
	}()
	return ctx, func() { cancel(nil) }
}
