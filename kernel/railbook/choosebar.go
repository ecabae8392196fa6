package main

import (
	"context"
	"fmt"
)

// chooseBar shows how far a long choice is.
type chooseBar struct{ countBar }

func newChooseBar(p *progress) *chooseBar {
	b := &chooseBar{}
	b.begin(p, "supply sides")
	return b
}

// stopped says so where an error comes of being told to stop.
func (b *chooseBar) stopped(ctx context.Context, err error) error {
	b.clear()
	if err == nil || ctx.Err() == nil {
		return err
	}
	return fmt.Errorf("stopped, and nothing written: %w", context.Cause(ctx))
}
