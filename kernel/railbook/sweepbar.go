package main

import (
	"context"
	"fmt"
)

// sweepBar shows how far a long sweep is.
type sweepBar struct{ countBar }

func newSweepBar(p *progress, all int) *sweepBar {
	b := &sweepBar{}
	b.begin(p, "points")
	b.all = all
	return b
}

// stopped says so where an error comes of being told to stop.
func (b *sweepBar) stopped(ctx context.Context, err error) error {
	b.clear()
	if err == nil || ctx.Err() == nil {
		return err
	}
	return fmt.Errorf("stopped after %s of %s points, and nothing written: %w", thousands(b.done), thousands(b.all), context.Cause(ctx))
}
