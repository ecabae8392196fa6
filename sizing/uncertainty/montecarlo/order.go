package montecarlo

import (
	"context"
	"runtime"
	"sync"
)

// inOrder does n jobs, as many at a time as there are processors, and takes what they
// give in their order. Each worker has a function of its own, which is made by worker and
// fills what it is given; a few of these are used over and over. It stops early with the
// error of take, or with that of ctx.
func inOrder[T any](ctx context.Context, n int, worker func() func(k int, into *T), take func(k int, of *T) error) error {
	type job struct {
		k     int
		given T
		done  chan struct{}
	}
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	workers := min(runtime.GOMAXPROCS(0), n)
	ahead := 4 * workers
	jobs, order, free := make(chan *job, ahead), make(chan *job, ahead), make(chan *job, ahead)
	for range ahead {
		free <- &job{done: make(chan struct{}, 1)}
	}
	var wg sync.WaitGroup
	defer wg.Wait()
	for range workers {
		wg.Go(func() {
			do := worker()
			for j := range jobs {
				if ctx.Err() == nil {
					do(j.k, &j.given)
				}
				j.done <- struct{}{}
			}
		})
	}
	wg.Go(func() {
		defer close(jobs)
		defer close(order)
		for k := range n {
			select {
			case j := <-free:
				j.k = k
				jobs <- j
				order <- j
			case <-ctx.Done():
				return
			}
		}
	})
	for j := range order {
		<-j.done
		// What is still under way after an error is finished and thrown away.
		if ctx.Err() == nil {
			if err := take(j.k, &j.given); err != nil {
				stop(err)
			}
		}
		free <- j
	}
	return context.Cause(ctx)
}
