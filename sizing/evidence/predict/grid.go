package predict

import (
	"errors"
	"math"
)

// span is a range of one coordinate of a grid and its number of points.
type span struct {
	low, high float64
	points    int
}

func (s span) step() float64    { return (s.high - s.low) / float64(s.points-1) }
func (s span) at(i int) float64 { return s.low + float64(i)*s.step() }

// keep returns the span from one step before the first to one step behind the last of the
// points kept, and further by its own width where one of those lies at an end.
func (s span) keep(first, last int) span {
	width := s.high - s.low
	low, high := s.at(first)-s.step(), s.at(last)+s.step()
	if first == 0 {
		low = s.low - width
	}
	if last == s.points-1 {
		high = s.high + width
	}
	return span{low, high, s.points}
}

// settled reports whether the span changed by little from an old one.
func (s span) settled(old span) bool {
	ratio := (s.high - s.low) / (old.high - old.low)
	return 0.6 < ratio && ratio < 1.4
}

// negligible is how far below its greatest value a log density no longer counts: a
// probability of some 1e-6.
const negligible = 14

// maxRounds is how often a grid may be laid anew. It takes some five.
const maxRounds = 40

var errNoPeak = errors.New("the posterior of the scatter has no peak")

// grid is a grid over ln σ, the logit of r, and ln κ. The trapezoid rule, here with equal
// weights, converges exponentially on smooth densities that vanish at both ends.
type grid [3]span

// visit calls f for each point with its log density, the first two coordinates being
// the slow ones.
func (g grid) visit(at func(x, y float64) func(z float64) (float64, error), f func(i [3]int, density float64)) error {
	for i := range g[0].points {
		for j := range g[1].points {
			along := at(g[0].at(i), g[1].at(j))
			for k := range g[2].points {
				v, err := along(g[2].at(k))
				if err != nil {
					return err
				}
				f([3]int{i, j, k}, v)
			}
		}
	}
	return nil
}

// settle returns a grid around all of a density that is not negligible, found by laying
// grids until they no longer shrink by much.
func (g grid) settle(at func(x, y float64) func(z float64) (float64, error)) (grid, error) {
	for range maxRounds {
		type point struct {
			i       [3]int
			density float64
		}
		var points []point
		most := math.Inf(-1)
		err := g.visit(at, func(i [3]int, density float64) {
			points = append(points, point{i, density})
			most = max(most, density)
		})
		if err != nil {
			return g, err
		}
		if !isFinite(most) {
			return g, errNoPeak
		}
		var first, last [3]int
		for axis := range g {
			first[axis], last[axis] = g[axis].points, -1
		}
		for _, p := range points {
			if p.density > most-negligible {
				for axis, i := range p.i {
					first[axis], last[axis] = min(first[axis], i), max(last[axis], i)
				}
			}
		}
		done := true
		for axis, old := range g {
			g[axis] = old.keep(first[axis], last[axis])
			done = done && g[axis].settled(old)
		}
		if done {
			return g, nil
		}
	}
	return g, errNoPeak
}
