package sweep

import (
	"context"

	"example.com/railbook/sizing"
)

// Vary prepares a plan's axes, and Fill fills a grid from what was prepared, so that
// benchmarks can time them apart.
func (p Plan) Vary(b sizing.Build) (*sizing.Variation, error) { return p.vary(b) }

func (g *Grid) Fill(ctx context.Context, v *sizing.Variation) error { return g.fill(ctx, v) }
