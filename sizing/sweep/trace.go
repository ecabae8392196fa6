package sweep

import (
	"cmp"
	"context"
	"slices"

	"example.com/railbook/sizing/internal/parallel"
)

// Contour returns the lines along which a result has the given height over the grid's
// first two axes, further ones held as for [Grid.Surface], in the units of the axes.
// They are lines of the model, not of the grid: every point of a line is one where the
// assessed build has the height, to within 1e-9 of an axis' length, and the straight way
// from one point to the next is off by no more than 2e-4 of it. Lines are joined end to
// end, with the higher ground on their right; a closed one repeats its first point.
//
// The grid says where to look. A cell is searched for a line, and divided as far as
// that takes, where its corners lie on both sides of the height, or so close to it that
// the surface, as curved as it is from point to point around there, may reach it in
// between. What is narrower than the grid shows in any of its points is not found. A
// line goes on to within 1e-4 of an axis' length of a gap. Where the result jumps across
// the height, the line follows the jump.
//
// Between the values of an axis of whole numbers there is nothing to assess; there the
// surface is taken as straight. The error is that of ctx. Contour panics as Surface does.
func (g *Grid) Contour(ctx context.Context, r Result, height float64, held ...int) ([][]Point, error) {
	return trace(ctx, g.plane(r, held), height, g.model(r, held))
}

const (
	accuracy   = 1e-9 // of points on a line, as a share of an axis
	resolution = 1e-4 // of what is looked at, likewise; corners of lines are off by twice that at most
)

// trace finds the lines on which f has the height, from the heights that it has on the
// grid of s. Any number of goroutines may call f at a time.
func trace(ctx context.Context, s Surface, height float64, f func(x, y float64) float64) ([][]Point, error) {
	if len(s.X.Values) < 2 || len(s.Y.Values) < 2 {
		return nil, nil
	}
	t := &tracer{
		mesh: newMesh(s, height, f), ctx: ctx,
		leaves: map[cell]leaf{}, divided: map[cell]bool{}, bends: map[[2]side]bend{},
		room: leastRoom + roomPerLine*(len(s.X.Values)+len(s.Y.Values)),
	}
	pieces, err := t.run()
	if err != nil {
		return nil, err
	}
	return t.join(pieces), nil
}

// Dividing cells may add so many corners, and so many for each line of the grid. A line
// with no end of detail is left as coarse as it then is.
const (
	leastRoom   = 10_000
	roomPerLine = 20
)

// tracer divides the cells of a mesh until lines through them are known well enough.
type tracer struct {
	*mesh
	ctx context.Context

	leaves  map[cell]leaf // cells not divided further that a line may cross
	divided map[cell]bool // cells of the grid that are
	bends   map[[2]side]bend
	room    int // for corners yet to be added
}

// run divides, widest cells first, and returns the pieces of lines.
func (t *tracer) run() (pieces []piece, err error) {
	fresh, err := t.scan()
	if err != nil {
		return nil, err
	}
	for {
		divide := t.worth(fresh, t.unclear)
		for _, l := range fresh {
			t.leaves[l.cell] = l
		}
		if len(divide) == 0 {
			var unsure []leaf
			if pieces, unsure, err = t.march(); err != nil {
				return nil, err
			}
			divide = t.worth(unsure, func(leaf) bool { return true })
		}
		if len(divide) == 0 {
			return pieces, nil
		}
		if fresh, err = t.divide(divide); err != nil {
			return nil, err
		}
	}
}

// worth picks the leaves that are to be divided and still can be.
func (t *tracer) worth(list []leaf, divide func(leaf) bool) []leaf {
	var picked []leaf
	for _, l := range list {
		if len(picked) >= t.room/mostAdded {
			break
		}
		if !t.tiny(l.cell) && divide(l) {
			picked = append(picked, l)
		}
	}
	return picked
}

// march finds the pieces of lines in all leaves, and the leaves in which they cannot be
// told well.
func (t *tracer) march() (pieces []piece, divide []leaf, err error) {
	leaves := make([]leaf, 0, len(t.leaves))
	for _, l := range t.leaves {
		leaves = append(leaves, l)
	}
	slices.SortFunc(leaves, func(a, b leaf) int { return cmp.Or(cmp.Compare(a.j, b.j), cmp.Compare(a.i, b.i)) })
	var crossed []side
	found, broken := make([][]piece, len(leaves)), make([]bool, len(leaves))
	for k, l := range leaves {
		found[k], broken[k] = t.pieces(l.cell)
		for _, p := range found[k] {
			for _, s := range []side{p.from, p.to} {
				if _, known := t.crossings[s]; !known {
					t.crossings[s] = crossing{}
					crossed = append(crossed, s)
				}
			}
		}
	}
	places := make([]crossing, len(crossed))
	if err := parallel.Each(t.ctx, len(crossed), func(k int) { places[k] = t.crossing(crossed[k]) }); err != nil {
		return nil, nil, err
	}
	for k, s := range crossed {
		t.crossings[s] = places[k]
	}
	if err := t.bendAll(found); err != nil {
		return nil, nil, err
	}
	for k, list := range found {
		clear := len(list) <= 1 && !broken[k]
		for _, p := range list {
			b := t.bends[[2]side{p.from, p.to}]
			clear = clear && b.state == followed
			if b.state != interrupted {
				p.within = b.points
				pieces = append(pieces, p)
			}
		}
		if !clear {
			divide = append(divide, leaves[k])
		}
	}
	return pieces, divide, nil
}
