// Package parallel shares out work among as many goroutines as there are processors.
package parallel

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// Each does n things, numbered from zero, as many at a time as there are processors. The
// error is that of ctx, after which some are not done.
func Each(ctx context.Context, n int, do func(k int)) error {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		wg.Go(func() {
			for ctx.Err() == nil {
				k := int(next.Add(1)) - 1
				if k >= n {
					return
				}
				do(k)
			}
		})
	}
	wg.Wait()
	return context.Cause(ctx)
}
