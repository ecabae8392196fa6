package parallel_test

import (
	"context"
	"errors"
	"sync/atomic"
	"testing"

	"example.com/railbook/sizing/internal/parallel"
)

func TestEach(t *testing.T) {
	for _, n := range []int{0, 1, 7, 1000} {
		done := make([]atomic.Int32, n)
		if err := parallel.Each(context.Background(), n, func(k int) { done[k].Add(1) }); err != nil {
			t.Fatal(err)
		}
		for k := range done {
			if times := done[k].Load(); times != 1 {
				t.Errorf("%d of %d was done %d times", k, n, times)
			}
		}
	}
}

func TestEachStops(t *testing.T) {
	why := errors.New("enough")
	ctx, stop := context.WithCancelCause(context.Background())
	var done atomic.Int32
	err := parallel.Each(ctx, 1_000_000, func(int) {
		if done.Add(1) == 10 {
			stop(why)
		}
	})
	if !errors.Is(err, why) || done.Load() > 1000 {
		t.Errorf("%v after %d", err, done.Load())
	}
}
