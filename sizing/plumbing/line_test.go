package plumbing

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

const (
	gasoline  = 745 * quantity.KilogramPerCubicMetre
	viscosity = 0.5 * quantity.MillipascalSecond
	steel     = 0.0018 * quantity.Inch
)

// TestDropPublished holds whole line losses against printed worked examples.
func TestDropPublished(t *testing.T) {
	stokes := func(rho quantity.Density, centistokes float64) quantity.Viscosity {
		return quantity.Viscosity(float64(rho) * centistokes * 1e-6)
	}
	crane79 := 128.2 * quantity.Millimetre // 5 in, schedule 40
	oil := 900 * quantity.KilogramPerCubicMetre
	heavy := quantity.Of(62.364*0.87, quantity.PoundPerCubicFoot)
	light := 0.815 * 999.1 * quantity.KilogramPerCubicMetre
	tests := []struct {
		source string
		line   Line
		flow   quantity.VolumeFlow
		rho    quantity.Density
		mu     quantity.Viscosity
		want   quantity.PressureDiff
		within float64
	}{
		{
			// Computed from the book's inputs without rounding, f by fluids 1.0.22: a head
			// of 117.352 m at the book's g = 9.81 m/s². The book prints 117 m.
			source: "White, Fluid Mechanics, Ex. 6.7, friction",
			line:   Line{Bore: 200 * quantity.Millimetre, Length: 500 * quantity.Metre, Roughness: 0.26 * quantity.Millimetre},
			flow:   0.2 * quantity.CubicMetrePerSecond, rho: oil, mu: stokes(oil, 10),
			want: quantity.Of(117.352*900*9.81, quantity.PascalDiff), within: 5e-6,
		},
		{
			// The pipe runs 10° down. The book rounds on the way and prints 265,000 Pa.
			source: "White, Fluid Mechanics, Ex. 6.7, with the slope",
			line: Line{Bore: 200 * quantity.Millimetre, Length: 500 * quantity.Metre, Roughness: 0.26 * quantity.Millimetre,
				Rise: quantity.Of(-500*math.Sin(math.Pi/18), quantity.Metre)},
			flow: 0.2 * quantity.CubicMetrePerSecond, rho: oil, mu: stokes(oil, 10),
			want: 265 * quantity.KilopascalDiff, within: 0.02,
		},
		{
			source: "Crane TP-410M, Ex. 7.13, as fluids solves it",
			line:   Line{Bore: 52.48 * quantity.Millimetre, Length: 100 * quantity.Foot, Roughness: steel},
			flow:   120 * quantity.GallonPerMinute, rho: light, mu: stokes(light, 2.7),
			want: 65759.12280 * quantity.PascalDiff, within: 1e-9,
		},
		{
			source: "Crane TP-410M, Ex. 7.13, as printed: its f is 1.3 % higher",
			line:   Line{Bore: 52.48 * quantity.Millimetre, Length: 100 * quantity.Foot, Roughness: steel},
			flow:   120 * quantity.GallonPerMinute, rho: light, mu: stokes(light, 2.7),
			want: 66500 * quantity.PascalDiff, within: 0.015,
		},
		{
			// Laminar, with a rise and fittings: gate valve 8 fT, angle valve 150 fT,
			// bend 20 fT, fT = 0.01543941 there.
			source: "Crane TP-410, Ex. 7.9, as fluids solves it",
			line:   Line{Bore: crane79, Length: 300 * quantity.Foot, LossCoefficient: 178 * 0.01543941031, Rise: 50 * quantity.Foot},
			flow:   400 * quantity.GallonPerMinute, rho: heavy, mu: 130 * quantity.Centipoise,
			want: 26.06398966 * quantity.PSI, within: 1e-9,
		},
	}
	for _, tt := range tests {
		t.Run(tt.source, func(t *testing.T) {
			if err := tt.line.Validate(); err != nil {
				t.Fatal(err)
			}
			near(t, "drop in Pa", float64(tt.line.Drop(tt.flow, tt.rho, tt.mu)), float64(tt.want), tt.within)
		})
	}
	// Same examples, as the sources print them.
	l := Line{Bore: crane79}
	near(t, "Crane 7.9 velocity", l.Velocity(400*quantity.GallonPerMinute).In(quantity.FootPerSecond), 6.414177534, 1e-9)
	near(t, "Crane 7.9 Re", l.Reynolds(400*quantity.GallonPerMinute, heavy, 130*quantity.Centipoise), 1675.616699, 1e-9)
}

// TestDropFuelLines compares with losses per metre at 745 kg/m³, 0.5 mPa·s and
// 1.5 µm, computed with fluids 1.0.22 and printed to five figures.
func TestDropFuelLines(t *testing.T) {
	tests := []struct {
		bore           quantity.Length
		flow           float64 // L/h
		velocity, re   float64
		pascalPerMetre float64
	}{
		{3.0 / 16 * quantity.Inch, 255, 3.9763, 28216, 30461},
		{5.0 / 16 * quantity.Inch, 255, 1.4315, 16930, 2630.0},
		{5.0 / 16 * quantity.Inch, 400, 2.2454, 26556, 5831.3},
		{13.0 / 32 * quantity.Inch, 255, 0.8470, 13023, 753.2},
		{0.5 * quantity.Inch, 400, 0.8771, 16598, 617.0},
	}
	for _, tt := range tests {
		t.Run(fmt.Sprintf("%v at %g L/h", tt.bore, tt.flow), func(t *testing.T) {
			q := quantity.Of(tt.flow, quantity.LitrePerHour)
			l := Line{Bore: tt.bore, Length: 1 * quantity.Metre}
			near(t, "velocity", float64(l.Velocity(q)), tt.velocity, 7e-5)
			near(t, "Re", l.Reynolds(q, gasoline, viscosity), tt.re, 5e-5)
			near(t, "drop", float64(l.Drop(q, gasoline, viscosity)), tt.pascalPerMetre, 8e-5)
		})
	}
}

// TestVelocityHandbook checks V[ft/s] = 0.3208 gpm/A[in²], a constant of fluid
// power handbooks; exactly it is 231/720.
func TestVelocityHandbook(t *testing.T) {
	l := Line{Bore: 0.5 * quantity.Inch}
	area := math.Pi / 4 * 0.5 * 0.5
	near(t, "velocity", l.Velocity(3*quantity.GallonPerMinute).In(quantity.FootPerSecond), 231.0/720*3/area, 1e-14)
}

// TestVelocityAdvice: the constants are those of the handbook, which gives feet
// per second and, rounded, metres per second.
func TestVelocityAdvice(t *testing.T) {
	for _, c := range []struct {
		v    quantity.Velocity
		feet float64
	}{{SuctionVelocityLow, 3}, {SuctionVelocityHigh, 5}, {PressureVelocityLow, 7}, {PressureVelocityHigh, 12}} {
		if got := c.v.In(quantity.FootPerSecond); math.Abs(got-c.feet) > 0.05/0.3048 {
			t.Errorf("%v is %.3f ft/s, want %g", c.v, got, c.feet)
		}
	}
}

var grid = []Line{
	{},
	{Bore: 8 * quantity.Millimetre, Length: 4 * quantity.Metre},
	{Bore: 8 * quantity.Millimetre, Length: 4 * quantity.Metre, Roughness: 50 * quantity.Micrometre, LossCoefficient: 7, Rise: 0.4 * quantity.Metre},
	{Bore: 5 * quantity.Millimetre, Length: 0.3 * quantity.Metre, Roughness: 0.25 * quantity.Millimetre, Rise: -1 * quantity.Metre},
	{Bore: 12 * quantity.Millimetre, LossCoefficient: 3},
	{Rise: 0.5 * quantity.Metre, Bore: 8 * quantity.Millimetre},
}

// TestDropMonotone: the drop rises with the flow through every regime without a
// jump, and is odd in the flow but for the rise.
func TestDropMonotone(t *testing.T) {
	const step = 1.001 // of the flow; the loss goes with less than its fifth power
	for i, l := range grid {
		if err := l.Validate(); err != nil {
			t.Fatal(err)
		}
		static := float64(l.Drop(0, gasoline, viscosity))
		near(t, "drop at rest", static, 745*9.80665*float64(l.Rise), 1e-15)
		last := 0.0
		for q := 1e-9 * quantity.CubicMetrePerSecond; q < 1e-2*quantity.CubicMetrePerSecond; q *= step {
			loss := l.loss(float64(q), float64(gasoline), float64(viscosity))
			switch {
			case l.Length == 0 && l.LossCoefficient == 0:
				if loss != 0 {
					t.Fatalf("line %d without length and fittings loses %g Pa", i, loss)
				}
			case !(loss > last):
				t.Fatalf("line %d: loss falls at %v", i, q)
			case last > 0 && loss > last*math.Pow(step, 5):
				t.Fatalf("line %d: loss jumps at %v", i, q)
			}
			last = loss
			if drop := float64(l.Drop(q, gasoline, viscosity)); drop != static+loss {
				t.Fatalf("line %d: drop %g at %v, want %g", i, drop, q, static+loss)
			}
			if back := float64(l.Drop(-q, gasoline, viscosity)); back != static-loss {
				t.Fatalf("line %d: drop %g backwards at %v, want %g", i, back, q, static-loss)
			}
		}
	}
}

// TestDropHagenPoiseuille checks creeping flow against Δp = 128 µ L Q / (π D⁴).
func TestDropHagenPoiseuille(t *testing.T) {
	l := Line{Bore: 8 * quantity.Millimetre, Length: 4 * quantity.Metre}
	for _, q := range []float64{1e-20, 1e-9, 5e-6} {
		want := 128 * 5e-4 * 4 * q / (math.Pi * math.Pow(0.008, 4))
		near(t, "drop", float64(l.Drop(quantity.VolumeFlow(q), gasoline, viscosity)), want, 1e-13)
	}
}

// TestCapacityInverts: the drop at the capacity is the drop allowed, from creeping
// flow to flows that no fuel line sees.
func TestCapacityInverts(t *testing.T) {
	for i, l := range grid {
		if l.Length == 0 && l.LossCoefficient == 0 {
			continue
		}
		static := float64(l.Drop(0, gasoline, viscosity))
		last := quantity.VolumeFlow(0)
		for want := 1e-6; want < 1e9; want *= 1.3 {
			q, err := l.Capacity(quantity.PressureDiff(static+want), gasoline, viscosity)
			if err != nil {
				t.Fatalf("line %d: %v", i, err)
			}
			loss := l.loss(float64(q), float64(gasoline), float64(viscosity))
			near(t, fmt.Sprintf("line %d: loss", i), loss, static+want-static, 1e-11)
			if !(q > last) && static == 0 {
				t.Fatalf("line %d: capacity falls at %g Pa", i, want)
			}
			last = q
		}
	}
}

// TestCapacityInvertsAnyLine does the same for lines drawn at random, from
// capillaries to pipelines.
func TestCapacityInvertsAnyLine(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	span := func(low, high float64) float64 { return low * math.Pow(high/low, random.Float64()) }
	for range 3000 {
		bore := span(1e-4, 1)
		l := Line{
			Bore: quantity.Length(bore), Length: quantity.Length(span(1e-3, 1e4)),
			Roughness: quantity.Length(bore * span(1e-7, 0.05)), LossCoefficient: quantity.Ratio(span(1e-6, 1e3)),
		}
		rho, mu := quantity.Density(span(100, 2000)), quantity.Viscosity(span(1e-5, 1))
		want := quantity.PressureDiff(span(1e-3, 1e8))
		q, err := l.Capacity(want, rho, mu)
		if err != nil {
			t.Fatalf("%+v: %v", l, err)
		}
		near(t, fmt.Sprintf("drop of %+v", l), float64(l.Drop(q, rho, mu)), float64(want), 1e-11)
	}
}

// TestNoLine: the zero value has neither velocity nor loss.
func TestNoLine(t *testing.T) {
	var none Line
	q := 300 * quantity.LitrePerHour
	if v, re, dp := none.Velocity(q), none.Reynolds(q, gasoline, viscosity), none.Drop(q, gasoline, viscosity); v != 0 || re != 0 || dp != 0 {
		t.Errorf("no line: velocity %v, Re %v, drop %v", v, re, dp)
	}
}

func TestCapacityEdges(t *testing.T) {
	up := Line{Bore: 8 * quantity.Millimetre, Length: 2 * quantity.Metre, Rise: 1 * quantity.Metre}
	if q, err := up.Capacity(5*quantity.KilopascalDiff, gasoline, viscosity); !errors.Is(err, ErrNoFlow) || q != 0 {
		t.Errorf("5 kPa up a metre: %v, %v; want ErrNoFlow", q, err)
	} else if !strings.Contains(err.Error(), "5 kPa allowed, 7.306 kPa needed") {
		t.Errorf("error does not give the numbers: %v", err)
	}
	if q, err := up.Capacity(up.Drop(0, gasoline, viscosity), gasoline, viscosity); err != nil || q != 0 {
		t.Errorf("just the rise: %v, %v; want 0, nil", q, err)
	}
	if q, err := (Line{}).Capacity(1*quantity.KilopascalDiff, gasoline, viscosity); err != nil || !math.IsInf(float64(q), 1) {
		t.Errorf("no line: %v, %v; want +Inf, nil", q, err)
	}
	for _, bad := range []struct {
		line Line
		rho  quantity.Density
		mu   quantity.Viscosity
		want string
	}{
		{up, 0, viscosity, "density"},
		{up, gasoline, 0, "viscosity"},
		{Line{Length: 1 * quantity.Metre}, gasoline, viscosity, "bore"},
	} {
		if q, err := bad.line.Capacity(50*quantity.KilopascalDiff, bad.rho, bad.mu); err == nil || q != 0 || !strings.HasPrefix(err.Error(), bad.want+": ") {
			t.Errorf("%+v: %v, %v; want an error on the %s", bad.line, q, err, bad.want)
		}
	}
}

func TestLineValidate(t *testing.T) {
	good := grid[2]
	tests := []struct {
		name   string
		change func(*Line)
		want   []string // starts of the lines of the error
	}{
		{"good", func(*Line) {}, nil},
		{"no line", func(l *Line) { *l = Line{} }, nil},
		{"no bore", func(l *Line) { l.Bore = 0 }, []string{`bore: "0 mm": must be greater than zero; want a length such as "8 mm"`}},
		{"bore not a number", func(l *Line) { l.Bore = quantity.Length(math.NaN()) }, []string{"bore: "}},
		{"two faults", func(l *Line) { l.Length, l.LossCoefficient = -1*quantity.Metre, -2 }, []string{`length: "-1000 mm": must not be negative`, `loss coefficient: "-2": must not be negative`}},
		{"rough", func(l *Line) { l.Roughness = 1 * quantity.Millimetre }, []string{`roughness: "1 mm": must not exceed a twentieth of the bore`}},
		{"capillary", func(l *Line) { l.Bore, l.Roughness = 20*quantity.Micrometre, 0 }, []string{"roughness: "}},
		{"endless", func(l *Line) { l.Rise = quantity.Length(math.Inf(1)) }, []string{"rise: "}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l := good
			tt.change(&l)
			checkLines(t, l.Validate(), tt.want)
		})
	}
}

// checkLines fails the test unless err has exactly the wanted line starts, each
// from an error that wraps a range error.
func checkLines(t *testing.T, err error, want []string) {
	t.Helper()
	if err == nil {
		if want != nil {
			t.Errorf("no error, want %q", want)
		}
		return
	}
	if !errors.Is(err, quantity.ErrRange) {
		t.Errorf("%v does not wrap ErrRange", err)
	}
	lines := strings.Split(err.Error(), "\n")
	if len(lines) != len(want) {
		t.Fatalf("error %q, want %d lines", err, len(want))
	}
	for i, line := range lines {
		if !strings.HasPrefix(line, want[i]) {
			t.Errorf("line %d is %q, want it to start %q", i+1, line, want[i])
		}
	}
}

// TestAllocations: solvers call these in their inner loops.
func TestAllocations(t *testing.T) {
	l, f := grid[2], Filter{Flow: 300 * quantity.LitrePerHour, Drop: 15 * quantity.KilopascalDiff}
	q := 250 * quantity.LitrePerHour
	n := testing.AllocsPerRun(100, func() {
		l.Drop(q, gasoline, viscosity)
		f.Loss(q)
		_ = l.Velocity(q)
		l.Reynolds(q, gasoline, viscosity)
		if _, err := l.Capacity(20*quantity.KilopascalDiff, gasoline, viscosity); err != nil {
			t.Fatal(err)
		}
	})
	if n != 0 {
		t.Errorf("%v allocations, want none", n)
	}
}

func BenchmarkDrop(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		grid[2].Drop(250*quantity.LitrePerHour, gasoline, viscosity)
	}
}

func BenchmarkCapacity(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := grid[2].Capacity(20*quantity.KilopascalDiff, gasoline, viscosity); err != nil {
			b.Fatal(err)
		}
	}
}
