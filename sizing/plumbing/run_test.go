package plumbing

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func stream(litresPerHour float64) Stream {
	return Stream{Flow: quantity.Of(litresPerHour, quantity.LitrePerHour), Density: gasoline, Viscosity: viscosity}
}

// way is a made-up run of every kind of segment.
var way = Run{
	{Name: "pickup", Line: Line{Bore: 10 * quantity.Millimetre, Length: 0.3 * quantity.Metre, LossCoefficient: InwardEntrance, Rise: 0.2 * quantity.Metre}},
	{Name: "pre-filter", Filter: Filter{Flow: 400 * quantity.LitrePerHour, Drop: 3 * quantity.KilopascalDiff}},
	{Line: Line{Bore: 12 * quantity.Millimetre, Length: 0.8 * quantity.Metre, Rise: -0.15 * quantity.Metre, Ahead: 0.6 * quantity.Metre},
		Filter: Filter{Flow: 400 * quantity.LitrePerHour, Drop: 1 * quantity.KilopascalDiff}},
}

// TestInertia holds the pressure along a vehicle against published examples of a
// liquid that is accelerated as a whole.
func TestInertia(t *testing.T) {
	ahead := func(m float64) Line {
		return Line{Bore: 10 * quantity.Millimetre, Ahead: quantity.Of(m, quantity.Metre)}
	}
	// Problems for the civil engineer's examination (ceboardexamgenerator.com, relative
	// equilibrium): water at 3.0 m/s² over 3.0 m, a
	// difference in level of 0.917 m with g = 9.81 m/s².
	water := 1000 * quantity.KilogramPerCubicMetre
	got := ahead(3).Inertia(water, 3*quantity.MetrePerSecondSquared)
	near(t, "level in m", float64(got)/(1000*9.81), 0.917, 6e-4)
	// The same, 2 m at 2.5 m/s²: 0.51 m.
	got = ahead(2).Inertia(water, 2.5*quantity.MetrePerSecondSquared)
	near(t, "level in m", float64(got)/(1000*9.81), 0.51, 6e-3)
	// By definition of g, 1 g ahead is as 1 g up.
	up := Line{Bore: 10 * quantity.Millimetre, Rise: 2.5 * quantity.Metre}
	near(t, "1 g", float64(ahead(2.5).Inertia(gasoline, 1*quantity.StandardGravity)), float64(up.Drop(0, gasoline, viscosity)), 1e-15)
	if got := ahead(-2).Inertia(gasoline, 1*quantity.StandardGravity); !(got < 0) {
		t.Errorf("a line rearward loses %v", got)
	}
}

// TestRunSum: a run loses what its parts lose, in any order.
func TestRunSum(t *testing.T) {
	if err := way.Validate(); err != nil {
		t.Fatal(err)
	}
	for _, a := range []quantity.Acceleration{0, 1.1 * quantity.StandardGravity, -1 * quantity.StandardGravity} {
		for q := -500.0; q <= 900; q += 50 {
			f := stream(q)
			f.Acceleration = a
			want := float64(way[1].Filter.Loss(f.Flow) + way[2].Filter.Loss(f.Flow))
			for _, s := range way {
				want += float64(s.Line.Drop(f.Flow, f.Density, f.Viscosity)) + 745*float64(a)*float64(s.Line.Ahead)
			}
			if got := float64(way.Drop(f)); math.Abs(got-want) > 1e-9 {
				t.Fatalf("%g L/h under %v: %g Pa, want %g", q, a, got, want)
			}
			if got := float64((Run{way[2], way[0], way[1]}).Drop(f)); math.Abs(got-want) > 1e-9 {
				t.Fatalf("in another order %g Pa, want %g", got, want)
			}
			p := way.Upstream(200*quantity.Kilopascal, f)
			near(t, "back downstream", float64(way.Downstream(p, f)), 200e3, 1e-14)
		}
	}
	if got := (Run{}).Drop(stream(300)); got != 0 {
		t.Errorf("no run loses %v", got)
	}
}

// TestRunReturn: the pressure behind a regulator is that of the tank and what the
// return line loses, White's example 6.7 turned into a return line: 269,534 Pa of it
// (computed without the book's rounding; the head is the book's 117 m and the slope
// its 10 degrees down).
func TestRunReturn(t *testing.T) {
	line := Line{Bore: 200 * quantity.Millimetre, Length: 500 * quantity.Metre, Roughness: 0.26 * quantity.Millimetre,
		Rise: quantity.Of(-500*math.Sin(math.Pi/18), quantity.Metre)}
	half := line
	half.Length, half.Rise = line.Length/2, line.Rise/2
	f := Stream{Flow: 0.2 * quantity.CubicMetrePerSecond, Density: 900 * quantity.KilogramPerCubicMetre, Viscosity: 9e-3 * quantity.PascalSecond}
	back := Run{{Line: half}, {Line: half}}.Upstream(1*quantity.Atmosphere, f)
	near(t, "pressure behind", float64(back.Above(1*quantity.Atmosphere)), 269534, 1.1e-3)
}

func TestRunMonotone(t *testing.T) {
	f := stream(0)
	last := way.Drop(f)
	for q := 0.0; q < 1500; q += 0.25 {
		f.Flow = quantity.Of(q, quantity.LitrePerHour)
		now := way.Drop(f)
		if !(now >= last && now-last < 300*quantity.PascalDiff) {
			t.Fatalf("from %v to %v at %v", last, now, f.Flow)
		}
		last = now
	}
}

// TestRunCapacityInverts: the drop at the capacity is the drop allowed, for runs drawn
// at random.
func TestRunCapacityInverts(t *testing.T) {
	random := rand.New(rand.NewPCG(21, 22))
	span := func(low, high float64) float64 { return low * math.Pow(high/low, random.Float64()) }
	for range 1000 {
		r := make(Run, 1+random.IntN(4))
		for i := range r {
			bore := span(2e-3, 3e-2)
			r[i].Line = Line{
				Bore: quantity.Length(bore), Length: quantity.Length(span(0.01, 10)), LossCoefficient: quantity.Ratio(10 * random.Float64()),
				Rise: quantity.Length(random.Float64() - 0.5), Ahead: quantity.Length(4 * (random.Float64() - 0.5)),
			}
			if random.IntN(2) == 0 {
				r[i].Filter = Filter{Flow: quantity.Of(span(50, 1000), quantity.LitrePerHour), Drop: quantity.Of(span(1, 50), quantity.KilopascalDiff)}
			}
		}
		f := Stream{Density: gasoline, Viscosity: viscosity, Acceleration: quantity.Of(2*random.Float64()-1, quantity.StandardGravity)}
		want := r.Drop(f) + quantity.PressureDiff(span(1, 1e6))
		q, err := r.Capacity(want, f)
		if err != nil {
			t.Fatalf("%+v: %v", r, err)
		}
		f.Flow = q
		if got := r.Drop(f); math.Abs(float64(got-want)) > 1e-7*math.Abs(float64(want))+1e-6 {
			t.Errorf("%+v loses %v at %v, want %v", r, got, q, want)
		}
	}
	// One line by itself: as the line has it.
	alone, err := Run{{Line: grid[2]}}.Capacity(20*quantity.KilopascalDiff, stream(0))
	line, errLine := grid[2].Capacity(20*quantity.KilopascalDiff, gasoline, viscosity)
	if err != nil || errLine != nil {
		t.Fatal(err, errLine)
	}
	near(t, "capacity of one line", float64(alone), float64(line), 1e-11)
}

func TestRunCapacityEdges(t *testing.T) {
	f := stream(0)
	f.Acceleration = 1 * quantity.StandardGravity
	if q, err := way.Capacity(1*quantity.KilopascalDiff, f); !errors.Is(err, ErrNoFlow) || q != 0 || !strings.Contains(err.Error(), "1 kPa allowed, 4.749 kPa needed") {
		t.Errorf("1 kPa for a launch: %v, %v", q, err) // 745 × 9.80665 × (0.05 + 0.6) = 4748.9
	}
	if q, err := way.Capacity(way.Drop(f), f); err != nil || q != 0 {
		t.Errorf("just the inertia: %v, %v", q, err)
	}
	for _, free := range []Run{{}, {{Line: Line{Bore: 8 * quantity.Millimetre, Rise: -1 * quantity.Metre}}}} {
		if q, err := free.Capacity(1*quantity.KilopascalDiff, stream(0)); err != nil || !math.IsInf(float64(q), 1) {
			t.Errorf("nothing resists: %v, %v", q, err)
		}
	}
	bad := f
	bad.Density, bad.Acceleration = 0, quantity.Acceleration(math.NaN())
	_, err := Run{{Name: "hose", Line: Line{Length: 1 * quantity.Metre}}}.Capacity(quantity.PressureDiff(math.Inf(1)), bad)
	checkLines(t, err, []string{"hose: bore: ", "density: ", "acceleration: ", "allowed drop: "})
}

func TestRunParts(t *testing.T) {
	v, at := way.Fastest(300 * quantity.LitrePerHour)
	if at != 0 || v != way[0].Line.Velocity(300*quantity.LitrePerHour) {
		t.Errorf("fastest %v in segment %d, want the pickup", v, at)
	}
	if back, at := way.Fastest(-300 * quantity.LitrePerHour); at != 0 || back != -v {
		t.Errorf("backwards fastest %v in segment %d, want the pickup", back, at)
	}
	if v, at := (Run{way[1]}).Fastest(300 * quantity.LitrePerHour); at != -1 || v != 0 {
		t.Errorf("a filter has a velocity: %v, %d", v, at)
	}
	// By hand: 78.54 mm² × 0.3 m and 113.1 mm² × 0.8 m.
	near(t, "volume in cm³", way.Volume().In(quantity.CubicCentimetre), 23.5619+90.4779, 1e-5)
	broken := Run{{Line: Line{Bore: 8 * quantity.Millimetre, Ahead: quantity.Length(math.Inf(1))}}, {Name: "sock", Filter: Filter{Drop: 1 * quantity.PascalDiff}}}
	checkLines(t, broken.Validate(), []string{"segment 1: way ahead: ", "sock: flow: "})
}

// A handbook's whole suction side: example 14-3 of Çengel and Cimbala, Fluid
// Mechanics, Fundamentals and Applications, as a Scilab textbook companion has it.
// Water through 10.5 ft of 4 in pipe, 0.02 in rough, with a sharp edge, three elbows
// and a valve, and a head of 1.219 m. The companion adds 0.05 V²/2g for the profile
// of the flow. What the pump requires is read from the book's chart, 5.06, 6.13 and
// 7.0 ft at 500, 600 and 680 gpm; both meet at "approximately 600 gpm", at 60 °C
// below that (555 gpm from memory).
func TestSuctionCengel(t *testing.T) {
	s := Suction{Head: 1.219 * quantity.Metre, Run: Run{{Line: Line{
		Bore: 4 * quantity.Inch, Length: 10.5 * quantity.Foot, Roughness: 0.02 * quantity.Inch, LossCoefficient: 0.5 + 3*0.3 + 6 + 0.05,
	}}}}
	required := func(gpm float64) float64 { // ft
		if gpm < 600 {
			return 5.06 + (gpm-500)/100*(6.13-5.06)
		}
		return 6.13 + (gpm-600)/80*(7.0-6.13)
	}
	for _, tt := range []struct {
		celsius, rho, mu, vapour float64
		meet                     float64 // gpm
	}{{25, 997.0, 8.91e-4, 3169, 600}, {60, 983.3, 4.67e-4, 19940, 555}} {
		f := Stream{Density: quantity.Density(tt.rho), Viscosity: quantity.Viscosity(tt.mu)}
		spare := func(gpm float64) float64 {
			f.Flow = quantity.Of(gpm, quantity.GallonPerMinute)
			return s.NPSH(101.3*quantity.Kilopascal, quantity.Pressure(tt.vapour), f).In(quantity.Foot) - required(gpm)
		}
		if below, above := spare(tt.meet-6), spare(tt.meet+6); !(below > 0 && above < 0) {
			t.Errorf("at %g °C %.2f ft to spare at 6 gpm below %g gpm, %.2f at 6 above", tt.celsius, below, tt.meet, above)
		}
	}
}

func BenchmarkRunDrop(b *testing.B) {
	f := stream(300)
	b.ReportAllocs()
	for b.Loop() {
		way.Drop(f)
	}
}

func BenchmarkRunCapacity(b *testing.B) {
	f := stream(0)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := way.Capacity(20*quantity.KilopascalDiff, f); err != nil {
			b.Fatal(err)
		}
	}
}
