// Package sweep assesses a build over a grid: one axis gives a curve, two a
// surface, three a stack of surfaces.
//
//	g, err := sweep.Over(ctx, build, "boost = 10..30 psi by 1", "ethanol = 0..85 % by 5")
//	…
//	s := g.Surface(sweep.Duty)
//
// Every number is that of a [sizing.Assess] of the changed build, to the last bit. A
// point where the build makes no sense is a gap with its reason, never a zero.
//
// [Stream] hands results over block by block for any number of points, [Keep] and [Over]
// keep them. Limit lines of surfaces follow the model between the grid's points
// ([Grid.Contour]), and [Most] finds the largest value of a third field that all parts
// still carry.
package sweep
