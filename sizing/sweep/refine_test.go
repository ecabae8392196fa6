package sweep_test

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"slices"
	"sync/atomic"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/sweep"
)

// resolution is how near to a gap lines go, as a share of an axis, and half of how far
// they may be off between their points; see the documentation of Grid.Contour.
const resolution = 1e-4

// traced is trace on n by n points of the square from -2 to 2.
func traced(t testing.TB, f func(x, y float64) float64, n int, height float64) [][]sweep.Point {
	t.Helper()
	lines, err := sweep.Trace(context.Background(), grid(f, n), height, f)
	if err != nil {
		t.Fatal(err)
	}
	return lines
}

// distance is how far a point lies from the nearest of some lines.
func distance(lines [][]sweep.Point, p sweep.Point, width, depth float64) float64 {
	nearest := math.Inf(1)
	for _, line := range lines {
		for k := range line[1:] {
			a, b := line[k], line[k+1]
			dx, dy := (b.X-a.X)/width, (b.Y-a.Y)/depth
			px, py := (p.X-a.X)/width, (p.Y-a.Y)/depth
			share := max(0, min((px*dx+py*dy)/(dx*dx+dy*dy), 1))
			nearest = min(nearest, math.Hypot(px-share*dx, py-share*dy))
		}
	}
	return nearest
}

func closed(line []sweep.Point) bool { return line[0] == line[len(line)-1] }

// ripple passes through zero at every point, and half-way between the points, of four
// over the square.
func ripple(x float64) float64 { return 0.1 * math.Sin(1.5*math.Pi*x) }

// arc is the length of the way from -2 to 2 along a function.
func arc(f func(float64) float64) float64 {
	const steps = 10_000
	sum := 0.0
	for k := range steps {
		x := -2 + 4*float64(k)/steps
		sum += math.Hypot(4./steps, f(x+4./steps)-f(x))
	}
	return sum
}

// TestTraceShapes traces lines whose course is known, from grids fine and coarse.
func TestTraceShapes(t *testing.T) {
	circle := func(x, y float64) float64 { return math.Hypot(x-0.1, y+0.05) }
	tests := []struct {
		name   string
		f      func(x, y float64) float64
		height float64
		lines  int
		length float64 // of all lines
		off    func(p sweep.Point) float64
	}{
		{"a circle", circle, 1, 1, 2 * math.Pi, func(p sweep.Point) float64 { return circle(p.X, p.Y) - 1 }},
		{"a circle that only one point of the coarse grid is near", func(x, y float64) float64 { return circle(x-0.15, y-0.2) }, 0.3, 1, 0.6 * math.Pi,
			func(p sweep.Point) float64 { return circle(p.X-0.15, p.Y-0.2) - 0.3 }},
		{"two circles of equal depth", func(x, y float64) float64 { return min(math.Hypot(x-1, y-1), math.Hypot(x+1, y+0.9)) }, 0.7, 2, 2.8 * math.Pi,
			func(p sweep.Point) float64 { return min(math.Hypot(p.X-1, p.Y-1), math.Hypot(p.X+1, p.Y+0.9)) - 0.7 }},
		{"a diamond, with corners", func(x, y float64) float64 { return math.Abs(x-0.07) + math.Abs(y) }, 1.1, 1, 4.4 * math.Sqrt2,
			func(p sweep.Point) float64 { return (math.Abs(p.X-0.07) + math.Abs(p.Y) - 1.1) / math.Sqrt2 }},
		{"a plane", func(x, y float64) float64 { return x + 2*y }, 0.3, 1, 4 * math.Sqrt(1.25),
			func(p sweep.Point) float64 { return (p.X + 2*p.Y - 0.3) / math.Sqrt(5) }},
		// The length of a parabola from its vertex to (x, x²/2): asinh(x)/2 + x sqrt(1+x²)/2.
		{"a parabola", func(x, y float64) float64 { return y - x*x/2 }, 0, 1, math.Asinh(2) + 2*math.Sqrt(5),
			func(p sweep.Point) float64 { return (p.Y - p.X*p.X/2) / math.Sqrt(1+p.X*p.X) }},
		// Of y = a x² from 0 to x: asinh(2ax)/4a + x sqrt(1+4a²x²)/2; here with a = 20, to y = 3.5.
		{"a hairpin", func(x, y float64) float64 { return y - 20*(x-0.1)*(x-0.1) }, -1.5, 1, 2 * (math.Asinh(math.Sqrt(280))/80 + math.Sqrt(0.175)*math.Sqrt(281)/2),
			func(p sweep.Point) float64 { return (p.Y - 20*(p.X-0.1)*(p.X-0.1) + 1.5) / math.Hypot(1, 40*(p.X-0.1)) }},
		{"a wave that is level at every point of the coarse grid", func(x, y float64) float64 { return y - ripple(x) }, 0, 1, arc(ripple),
			func(p sweep.Point) float64 { return p.Y - ripple(p.X) }},
		{"a step", func(x, y float64) float64 { return math.Copysign(1, x-y/3-0.123) }, 0, 1, 4 * math.Sqrt(10) / 3,
			func(p sweep.Point) float64 { return (p.X - p.Y/3 - 0.123) * 3 / math.Sqrt(10) }},
		{"very steep", func(x, y float64) float64 { return math.Sinh(30 * (circle(x, y) - 1)) }, 0, 1, 2 * math.Pi,
			func(p sweep.Point) float64 { return circle(p.X, p.Y) - 1 }},
		{"nowhere", circle, 9, 0, 0, nil},
		{"level ground at the height", func(x, y float64) float64 { return 1 }, 1, 0, 0, nil},
		{"all along the border", func(x, y float64) float64 { return -x }, 2, 1, 4, func(p sweep.Point) float64 { return p.X + 2 }},
	}
	for _, tt := range tests {
		for _, n := range []int{4, 6, 11, 40} {
			lines := traced(t, tt.f, n, tt.height)
			if len(lines) != tt.lines {
				t.Errorf("%s, %d by %d: %d lines, want %d", tt.name, n, n, len(lines), tt.lines)
				continue
			}
			length := 0.0
			for _, line := range lines {
				for k, p := range line {
					if off := tt.off(p); math.Abs(off) > 4e-9 {
						t.Errorf("%s, %d by %d: a point is off by %.2g", tt.name, n, n, off)
					}
					if k == 0 {
						continue
					}
					a := line[k-1]
					step := math.Hypot(p.X-a.X, p.Y-a.Y)
					length += step
					for _, share := range []float64{0.2, 0.5, 0.7} {
						if off := tt.off(sweep.Point{X: a.X + share*(p.X-a.X), Y: a.Y + share*(p.Y-a.Y)}); math.Abs(off) > 4*2*resolution {
							t.Errorf("%s, %d by %d: between points off by %.2g", tt.name, n, n, off)
						}
					}
					// A little to the right the ground is higher.
					right := sweep.Point{X: (a.X+p.X)/2 + 0.002*(p.Y-a.Y)/step, Y: (a.Y+p.Y)/2 - 0.002*(p.X-a.X)/step}
					if step > 0.01 && tt.f(right.X, right.Y) < tt.height {
						t.Errorf("%s, %d by %d: low ground on the right at %v", tt.name, n, n, right)
					}
				}
			}
			// Chords are shorter than their arcs.
			if length > tt.length*(1+1e-9) || length < tt.length*(1-2e-3) {
				t.Errorf("%s, %d by %d: length %.5f, want %.5f", tt.name, n, n, length, tt.length)
			}
		}
	}
}

// TestTraceTopology traces sums of waves cut off by a plane, with saddles, islands
// and edges, and wants every point of the square to be on the right side: from any point
// to any other, lines are crossed an even number of times if and only if both are on the
// same side of the height.
func TestTraceTopology(t *testing.T) {
	const height = 0.2
	checked := 0
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 1))
		var waves [4]struct{ x, y, phase, height float64 }
		for k := range waves {
			waves[k].x, waves[k].y, waves[k].phase, waves[k].height = 1.5*r.NormFloat64(), 1.5*r.NormFloat64(), 7*r.Float64(), r.NormFloat64()
		}
		f := func(x, y float64) float64 {
			sum := 0.0
			for _, w := range waves {
				sum += w.height * math.Sin(w.x*x+w.y*y+w.phase)
			}
			if seed%2 == 0 {
				sum = min(sum, 0.5+0.7*x-0.3*y)
			}
			return sum
		}
		lines := traced(t, f, 6+int(seed%3)*5, height)
		for _, line := range lines {
			for _, p := range line {
				if off := f(p.X, p.Y) - height; math.Abs(off) > 1e-7 {
					t.Fatalf("seed %d: a point is off the height by %.2g", seed, off)
				}
			}
			for _, p := range []sweep.Point{line[0], line[len(line)-1]} {
				if !closed(line) && max(math.Abs(p.X), math.Abs(p.Y)) != 2 {
					t.Errorf("seed %d: a line ends at %v, which is not on the border", seed, p)
				}
			}
		}
		for range 100 {
			p, q := sweep.Point{X: 4*r.Float64() - 2, Y: 4*r.Float64() - 2}, sweep.Point{X: 4*r.Float64() - 2, Y: 4*r.Float64() - 2}
			if min(distance(lines, p, 4, 4), distance(lines, q, 4, 4)) < 2*resolution {
				continue
			}
			checked++
			apart := (f(p.X, p.Y) >= height) != (f(q.X, q.Y) >= height)
			if crossed := crossings(lines, p, q); crossed%2 == 1 != apart {
				t.Errorf("seed %d: %d lines between %v and %v", seed, crossed, p, q)
			}
		}
	}
	if checked < 3000 {
		t.Errorf("only %d pairs were away from lines", checked)
	}
}

// TestTraceTerrain traces heights among hills and hollows from grids as coarse as 3 by 3,
// with and without a hole, and wants lines to end nowhere but at border and hole, and to
// be followed closely.
func TestTraceTerrain(t *testing.T) {
	const height = 0.3
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 9))
		n := 3 + r.IntN(6)
		hills := make([]struct{ x, y, width, height float64 }, 3+r.IntN(6))
		for k := range hills {
			h := &hills[k]
			h.x, h.y, h.width, h.height = 4*r.Float64()-2, 4*r.Float64()-2, 0.2+r.Float64(), r.NormFloat64()
		}
		hole := sweep.Point{X: 4*r.Float64() - 1}
		inHole := func(x, y float64) float64 {
			if seed%3 != 0 {
				return math.Inf(-1)
			}
			return 0.7 - math.Hypot(x-hole.X, y)
		}
		f := func(x, y float64) float64 {
			if inHole(x, y) > 0 {
				return math.NaN()
			}
			sum := 0.0
			for _, h := range hills {
				sum += h.height * math.Exp(-((x-h.x)*(x-h.x)+(y-h.y)*(y-h.y))/(h.width*h.width))
			}
			return sum
		}
		for _, line := range traced(t, f, n, height) {
			for _, p := range []sweep.Point{line[0], line[len(line)-1]} {
				border, rim := max(math.Abs(p.X), math.Abs(p.Y)) == 2, -inHole(p.X, p.Y) < 8*resolution
				if !closed(line) && !border && !rim {
					t.Errorf("seed %d, %d by %d: a loose end at %v", seed, n, n, p)
				}
			}
			for k := range line[1:] {
				a, b := line[k], line[k+1]
				x, y := (a.X+b.X)/2, (a.Y+b.Y)/2
				length := math.Hypot(b.X-a.X, b.Y-a.Y)
				// Across the line, as far as it may be off to either side.
				dx, dy := 8*resolution*(b.Y-a.Y)/length, -8*resolution*(b.X-a.X)/length
				if length < 16*resolution || inHole(x, y) > -16*resolution || max(math.Abs(x), math.Abs(y)) > 2-16*resolution {
					continue
				}
				if f(x+dx, y+dy) < height || f(x-dx, y-dy) >= height {
					t.Errorf("seed %d, %d by %d: off the line at (%v, %v) between %v and %v", seed, n, n, x, y, a, b)
				}
			}
		}
	}
}

// crossings counts how often the way from p to q crosses lines.
func crossings(lines [][]sweep.Point, p, q sweep.Point) (n int) {
	left := func(a, b, c sweep.Point) bool { return (b.X-a.X)*(c.Y-a.Y) > (b.Y-a.Y)*(c.X-a.X) }
	for _, line := range lines {
		for k := range line[1:] {
			a, b := line[k], line[k+1]
			if left(p, q, a) != left(p, q, b) && left(a, b, p) != left(a, b, q) {
				n++
			}
		}
	}
	return n
}

// TestTraceGaps wants lines to go on up to a gap, wherever its edge runs, and never into
// it.
func TestTraceGaps(t *testing.T) {
	tests := []struct {
		name string
		gap  func(x, y float64) float64 // how far a point is within the gap
		ends int                        // of lines at it
	}{
		{"beyond a slant", func(x, y float64) float64 { return (x + 0.3*y - 0.37) / math.Hypot(1, 0.3) }, 2},
		{"beyond a line of the grid", func(x, y float64) float64 { return x - 0.4 }, 2},
		{"a disc", func(x, y float64) float64 { return 0.5 - math.Hypot(x-0.9, y-0.3) }, 2},
		{"a strip between the points of a coarse grid", func(x, y float64) float64 { return 0.05 - math.Abs(y-0.21) }, 4},
		{"everywhere", func(x, y float64) float64 { return 1 }, 0},
	}
	for _, tt := range tests {
		f := func(x, y float64) float64 {
			if tt.gap(x, y) > 0 {
				return math.NaN()
			}
			return math.Hypot(x, y)
		}
		for _, n := range []int{6, 11, 41} {
			ends := 0
			for _, line := range traced(t, f, n, 1) {
				for k, p := range line {
					if z := f(p.X, p.Y); !(math.Abs(z-1) < 1e-8) {
						t.Errorf("%s, %d by %d: height %v on the line", tt.name, n, n, z)
					}
					if k > 0 {
						middle := sweep.Point{X: (p.X + line[k-1].X) / 2, Y: (p.Y + line[k-1].Y) / 2}
						if d := tt.gap(middle.X, middle.Y); d > 4*resolution {
							t.Errorf("%s, %d by %d: the line crosses the gap at %v", tt.name, n, n, middle)
						}
					}
				}
				if closed(line) {
					continue
				}
				for _, p := range []sweep.Point{line[0], line[len(line)-1]} {
					ends++
					if d := tt.gap(p.X, p.Y); d > 0 || d < -8*resolution {
						t.Errorf("%s, %d by %d: a line ends %.2g before the gap", tt.name, n, n, -d)
					}
				}
			}
			if ends != tt.ends {
				t.Errorf("%s, %d by %d: %d ends, want %d", tt.name, n, n, ends, tt.ends)
			}
		}
	}
}

// TestTraceBeforeGap wants a line to be found that runs between the last points before a
// gap and its edge.
func TestTraceBeforeGap(t *testing.T) {
	f := func(x, y float64) float64 {
		if x > 1 {
			return math.NaN()
		}
		return x
	}
	for _, n := range []int{6, 11} {
		lines := traced(t, f, n, 0.97)
		if len(lines) != 1 {
			t.Fatalf("%d by %d: %d lines", n, n, len(lines))
		}
		line := lines[0]
		if ends := math.Abs(line[0].Y - line[len(line)-1].Y); ends != 4 {
			t.Errorf("%d by %d: the line goes %v of 4", n, n, ends)
		}
	}
}

// TestTraceEnds wants a function that has detail without end to be given up in good time,
// and the number of processors to make no difference to it.
func TestTraceEnds(t *testing.T) {
	rough := func(x, y float64) float64 {
		h := math.Float64bits(x)*0x9e3779b97f4a7c15 ^ math.Float64bits(y)*0xc2b2ae3d27d4eb4f
		return float64(h>>40)/(1<<24) - 0.5
	}
	var calls atomic.Int64
	counted := func(x, y float64) float64 { calls.Add(1); return rough(x, y) }
	var first [][]sweep.Point
	for _, procs := range []int{1, 3} {
		old := runtime.GOMAXPROCS(procs)
		lines := traced(t, counted, 30, 0)
		runtime.GOMAXPROCS(old)
		if first == nil {
			first = lines
		}
		if !reflect.DeepEqual(lines, first) {
			t.Errorf("%d processors find other lines", procs)
		}
	}
	if n := calls.Load(); n > 20_000_000 {
		t.Errorf("%d calls", n)
	}
}

// assessed is an assessment of a build with two fields at values in the units of axes.
func assessed(t testing.TB, b sizing.Build, fields [2]sweep.Axis, x, y float64) *sizing.Assessment {
	t.Helper()
	for k, v := range []float64{x, y} {
		f, err := sizing.FieldNamed(fields[k].Field)
		if err != nil {
			t.Fatal(err)
		}
		_, _, si, err := f.Scale(fields[k].Unit)
		if err != nil {
			t.Fatal(err)
		}
		if b, err = f.Set(b, si(v)); err != nil {
			t.Fatal(err)
		}
	}
	a, err := sizing.Assess(b)
	if err != nil {
		t.Fatalf("(%v, %v): %v", x, y, err)
	}
	return a
}

// TestLimitLine wants the result to be at its limit all along the drawn line, by direct
// assessment, and a coarse grid to draw the line that a fine one draws.
func TestLimitLine(t *testing.T) {
	b := open(t)
	tests := []struct {
		result       sweep.Result
		coarse, fine [2]string
	}{
		{sweep.Duty, [2]string{"boost = 10..34 psi in 6", "ethanol = 0..85 % in 5"}, [2]string{"boost = 10..34 psi in 120", "ethanol = 0..85 % in 100"}},
		{sweep.PumpMargin, [2]string{"boost = 5..60 psi in 6", "base pressure = 30..80 psi in 5"}, [2]string{"boost = 5..60 psi in 120", "base pressure = 30..80 psi in 100"}},
		{sweep.LeastMargin, [2]string{"boost = 5..60 psi in 6", "base pressure = 30..80 psi in 5"}, [2]string{"boost = 5..60 psi in 120", "base pressure = 30..80 psi in 100"}},
		{sweep.InjectorMargin, [2]string{"injector size = 500..3000 cc/min in 5 log", "voltage = 10..15 V in 5"}, [2]string{"injector size = 500..3000 cc/min in 100 log", "voltage = 10..15 V in 100"}},
	}
	for _, tt := range tests {
		var drawn [2]sweep.Surface
		for k, axes := range [][2]string{tt.coarse, tt.fine} {
			p := plan(t, axes[:], []string{tt.result.Name})
			g, err := sweep.Keep(context.Background(), b, p)
			if err != nil {
				t.Fatal(err)
			}
			drawn[k] = g.Surface(tt.result)
			limit := drawn[k].Limit
			if limit == nil || len(limit.Lines) != 1 {
				t.Fatalf("%s over %v: limit %+v", tt.result.Name, axes, limit)
			}
			for _, p := range limit.Lines[0] {
				a := assessed(t, b, [2]sweep.Axis(g.Axes), p.X, p.Y)
				if got := tt.result.Of(a); math.Abs(got-limit.Value) > 2e-6 {
					t.Errorf("%s %.9f at (%v, %v), want %v", tt.result.Name, got, p.X, p.Y, limit.Value)
				}
			}
		}
		x, y := drawn[0].X.Values, drawn[0].Y.Values
		width, depth := x[len(x)-1]-x[0], y[len(y)-1]-y[0]
		for k, s := range drawn {
			for _, p := range s.Limit.Lines[0] {
				if d := distance(drawn[1-k].Limit.Lines, p, width, depth); d > 2*resolution {
					t.Errorf("%s: lines of coarse and fine grid lie %.2g apart at %v", tt.result.Name, d, p)
				}
			}
		}
	}
}

// TestContourOverWholeNumbers wants a line over a count of parts to be true at every
// count, and straight in between.
func TestContourOverWholeNumbers(t *testing.T) {
	b := open(t)
	g := over(t, b, "pumps[1].count = 1, 2, 4", "boost = 5..100 psi in 7")
	lines := g.Surface(sweep.PumpMargin).Limit.Lines
	if len(lines) != 1 {
		t.Fatalf("%d lines", len(lines))
	}
	at := map[float64]float64{}
	for _, p := range lines[0] {
		at[p.X] = p.Y
		if p.X == math.Trunc(p.X) && p.X != 3 {
			if got := sweep.PumpMargin.Of(assessed(t, b, [2]sweep.Axis(g.Axes), p.X, p.Y)); math.Abs(got) > 1e-6 {
				t.Errorf("pump margin %v with %v pumps at %v psi", got, p.X, p.Y)
			}
		}
	}
	for _, count := range []float64{1, 2} {
		if at[count] == 0 {
			t.Errorf("no point of the line at %v pumps: %v", count, lines[0])
		}
	}
}

// TestContourHeld wants a line to be that of the cut it is asked for, and of the height.
func TestContourHeld(t *testing.T) {
	b := open(t)
	g := over(t, b, "boost = 10..34 psi in 6", "ethanol = 0..85 % in 5", "base pressure = 43.5, 58 psi")
	for held, base := range []string{"43.5 psi", "58 psi"} {
		f, err := sizing.FieldNamed("base pressure")
		if err != nil {
			t.Fatal(err)
		}
		at, err := f.Read(b, base)
		if err != nil {
			t.Fatal(err)
		}
		lines, err := g.Contour(context.Background(), sweep.Duty, 80, held)
		if err != nil || len(lines) != 1 {
			t.Fatalf("%d lines, %v", len(lines), err)
		}
		for _, p := range lines[0] {
			if got := sweep.Duty.Of(assessed(t, at, [2]sweep.Axis(g.Axes[:2]), p.X, p.Y)); math.Abs(got-80) > 1e-6 {
				t.Errorf("duty %v at %v, base pressure %s", got, p, base)
			}
		}
	}
}

// TestContourIsTheSame wants lines not to depend on the number of processors.
func TestContourIsTheSame(t *testing.T) {
	g := over(t, open(t), "boost = 5..60 psi in 8", "base pressure = 30..80 psi in 7")
	var first [][]sweep.Point
	for _, procs := range []int{1, 2, 7} {
		old := runtime.GOMAXPROCS(procs)
		lines, err := g.Contour(context.Background(), sweep.LeastMargin, 0)
		runtime.GOMAXPROCS(old)
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = lines
		}
		if len(lines) == 0 || !slices.EqualFunc(lines, first, slices.Equal) {
			t.Errorf("%d processors find other lines", procs)
		}
	}
}

func TestContourCancelled(t *testing.T) {
	g := over(t, open(t), "boost = 10..34 psi in 6", "ethanol = 0..85 % in 5")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if lines, err := g.Contour(ctx, sweep.Duty, 85); !errors.Is(err, context.Canceled) || lines != nil {
		t.Errorf("got %d lines, %v", len(lines), err)
	}
	var calls atomic.Int64
	ctx, cancel = context.WithCancel(context.Background())
	circle := func(x, y float64) float64 { return math.Hypot(x, y) }
	_, err := sweep.Trace(ctx, grid(circle, 6), 1, func(x, y float64) float64 {
		if calls.Add(1) == 20 {
			cancel()
		}
		return circle(x, y)
	})
	if n := calls.Load(); !errors.Is(err, context.Canceled) || n > 1000 {
		t.Errorf("%v after %d calls", err, n)
	}
}

func BenchmarkContour(b *testing.B) {
	for _, r := range []sweep.Result{sweep.Duty, sweep.PumpMargin, sweep.LeastMargin} {
		g := over(b, open(b), "boost = 10..34 psi by 1", "ethanol = 0..85 % by 5")
		value, _, _ := r.Limit(g.Build)
		b.Run(r.Name, func(b *testing.B) {
			for b.Loop() {
				if _, err := g.Contour(context.Background(), r, value); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
