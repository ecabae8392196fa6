// Package sweep assesses a build over a grid: one axis gives a curve, two a
// surface, three a stack of surfaces.
//
//	g, err := sweep.Over(ctx, build, "boost = 10..30 psi by 1", "ethanol = 0..85 % by 5")
//	…
//	s := g.Surface(sweep.Duty)
//
// Every point is a full [sizing.Assess] of the changed build. A point where the
// build makes no sense is a gap with its reason, never a zero.
package sweep
