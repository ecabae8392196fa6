package pump

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// foot of water; its density cancels.
func foot(head float64) quantity.PressureDiff {
	return quantity.Of(head*0.3048*9.80665*999, quantity.PascalDiff)
}

// review is the pump of a problem for the engineer's examination: flow in gpm and
// head in feet.
func review(t testing.TB) Electric {
	t.Helper()
	var points []Point
	for _, p := range [][2]float64{{340, 20}, {300, 40}, {250, 60}, {180, 80}, {110, 90}, {0, 100}} {
		points = append(points, Point{Flow: quantity.Of(p[0], quantity.GallonPerMinute), Pressure: foot(p[1])})
	}
	c, err := NewCurve(points, 0)
	if err != nil {
		t.Fatal(err)
	}
	return Electric{Pump: Pump{Curves: []Curve{c}}}
}

// TestSeriesParallelPublished is problem 4.9.4 of a review for the engineer's
// examination (reviewpe.com, fluid flow): its table of two such pumps, in series with twice the head
// and in parallel with twice the flow.
func TestSeriesParallelPublished(t *testing.T) {
	p := review(t)
	series := Series{Lift: p, Main: p}
	for gpm, head := range map[float64]float64{340: 40, 300: 80, 250: 120, 180: 160, 110: 180} {
		near(t, "flow in series", series.Flow(foot(head), Conditions{}).In(quantity.GallonPerMinute), gpm, 1e-9)
	}
	parallel := Parallel{p, p}
	for gpm, head := range map[float64]float64{680: 20, 600: 40, 500: 60, 360: 80, 220: 90, 0: 100} {
		near(t, "flow in parallel", parallel.Flow(foot(head), Conditions{}).In(quantity.GallonPerMinute), gpm, 1e-12)
	}
	if q := series.Flow(foot(200), Conditions{}); math.Abs(q.In(quantity.GallonPerMinute)) > 1e-6 {
		t.Errorf("two in series at their shutoff bring %v", q)
	}
}

// TestSeriesLines: two straight curves have a closed form.
//
//	Q = a1 - b1 p1 = a2 - b2 p2, p1 + p2 = p  so  Q = (a1/b1 + a2/b2 - p)/(1/b1 + 1/b2)
func TestSeriesLines(t *testing.T) {
	straight := func(a, b float64) Electric { // L/h, L/h per kPa
		p := func(kPa float64) Point {
			return Point{Flow: quantity.Of(a-b*kPa, quantity.LitrePerHour), Pressure: quantity.Of(kPa, quantity.KilopascalDiff)}
		}
		c, err := NewCurve([]Point{p(0), p(a / b)}, 0)
		if err != nil {
			t.Fatal(err)
		}
		return Electric{Pump: Pump{Curves: []Curve{c}}}
	}
	lift, main := straight(400, 2), straight(350, 0.5)
	s := Series{Lift: lift, Main: main}
	for kPa := 0.0; kPa < 1000; kPa += 5 {
		dp := quantity.Of(kPa, quantity.KilopascalDiff)
		want := (400/2.0 + 350/0.5 - kPa) / (1/2.0 + 1/0.5)
		switch {
		case want < 0:
			want = 0
		case 350-0.5*kPa >= 400: // never: the main pump is always the tighter at rest
			want = 400
		case want > 350: // the lift pump pushes through more than the main one passes
			want = 350
		}
		l, m, q := s.Split(dp, Conditions{})
		if math.Abs(q.In(quantity.LitrePerHour)-want) > 1e-6 {
			t.Fatalf("at %g kPa %v, want %g L/h", kPa, q, want)
		}
		if sum := l + m; math.Abs(float64(sum-dp)) > 1e-9*float64(dp) || l < 0 || m < 0 {
			t.Fatalf("at %g kPa the shares %v and %v do not add up", kPa, l, m)
		}
		if s.Starved(dp, Conditions{}) {
			t.Fatalf("starved at %g kPa", kPa)
		}
	}
	weak := Series{Lift: straight(200, 2), Main: main}
	if l, m, q := weak.Split(100*quantity.KilopascalDiff, Conditions{}); l != 0 || m != 100*quantity.KilopascalDiff || math.Abs(q.In(quantity.LitrePerHour)-200) > 1e-9 || !weak.Starved(100*quantity.KilopascalDiff, Conditions{}) {
		t.Errorf("a weak lift pump: %v, %v, %v", l, m, q)
	}
	if weak.Covers(100*quantity.KilopascalDiff, Conditions{}) || !weak.Covers(500*quantity.KilopascalDiff, Conditions{}) {
		t.Error("a starved pump is covered, or one that is not is not")
	}
}

// arrangements of every kind, nested too.
func arrangements(t testing.TB) map[string]Supply {
	electric := Electric{Pump: drawn(t), Circuit: wires(t, "12 AWG", 5*quantity.Metre)}
	lift := Electric{Pump: Pump{Curves: []Curve{mustCurve(t, "420 L/h at 0 kPa at 3 A; 300 L/h at 60 kPa at 4 A; 0 L/h at 120 kPa at 6 A", 13*quantity.Volt)}}}
	series := Series{Lift: lift, Main: electric}
	surge := Surge{Lift: lift, LiftRise: 25 * quantity.KilopascalDiff, Main: Parallel{electric, electric}, Volume: 1.5 * quantity.Litre}
	returned := surge
	returned.Returned = true
	return map[string]Supply{
		"electric": electric, "mechanical": gear, "lift": lift, "series": series, "parallel": Parallel{electric, gear, lift}, "surge": surge, "surge with return": returned,
		"mechanical fed by lift": Series{Lift: lift, Main: gear}, "three in a row": Series{Lift: lift, Main: series}, "series in parallel": Parallel{series, series},
	}
}

// TestSupplyMonotone: of any arrangement, flow never rises with pressure and has no
// break, and current and power are never negative.
func TestSupplyMonotone(t *testing.T) {
	at := Conditions{Voltage: 13.5 * quantity.Volt, Speed: 5000 * quantity.RPM}
	for name, s := range arrangements(t) {
		if err := s.Validate(); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		last := s.Flow(0, at)
		if !(last > 0) {
			t.Errorf("%s delivers nothing", name)
		}
		for dp := quantity.PressureDiff(0); dp < 1300*quantity.KilopascalDiff; dp += 2 * quantity.KilopascalDiff {
			q := s.Flow(dp, at)
			if !(q <= last+1e-6*quantity.LitrePerHour && last-q < 60*quantity.LitrePerHour && q >= 0) {
				t.Fatalf("%s: flow goes from %v to %v at %v", name, last, q, dp)
			}
			last = q
			if i, p := s.Current(dp, at), s.Power(dp, at); !(i >= 0 && p >= 0) {
				t.Fatalf("%s: %v and %v at %v", name, i, p, dp)
			}
		}
	}
}

// TestSeriesBalance: through both flows the same, and what both take up is the sum.
func TestSeriesBalance(t *testing.T) {
	at := Conditions{Voltage: 13.5 * quantity.Volt}
	s := arrangements(t)["series"].(Series)
	for dp := 50 * quantity.KilopascalDiff; dp < 650*quantity.KilopascalDiff; dp += 10 * quantity.KilopascalDiff {
		lift, main, q := s.Split(dp, at)
		if lift > 0 && main > 0 {
			near(t, "flow through the lift pump", float64(s.Lift.Flow(lift, at)), float64(q), 1e-8)
			near(t, "flow through the main pump", float64(s.Main.Flow(main, at)), float64(q), 1e-8)
		}
		near(t, "power", float64(s.Power(dp, at)), float64(s.Lift.Power(lift, at)+s.Main.Power(main, at)), 1e-14)
		near(t, "current", float64(s.Current(dp, at)), float64(s.Lift.Current(lift, at)+s.Main.Current(main, at)), 1e-14)
		// A pump in front is never worse than none.
		if q < s.Main.Flow(dp, at)-1e-6*quantity.LitrePerHour && !s.Starved(dp, at) {
			t.Errorf("at %v the lift pump takes from %v to %v", dp, s.Main.Flow(dp, at), q)
		}
	}
}

func TestSurge(t *testing.T) {
	at := Conditions{Voltage: 13.5 * quantity.Volt}
	s := arrangements(t)["surge with return"].(Surge)
	refill := s.Refill(at)
	near(t, "refill", float64(refill), float64(s.Lift.Flow(25*quantity.KilopascalDiff, at)), 0)
	// By hand: 1.5 L with 100 L/h too little last 54 s.
	near(t, "lasts", float64(s.Lasts(refill+100*quantity.LitrePerHour, at)), 54, 1e-12)
	if got := s.Lasts(refill, at); !math.IsInf(float64(got), 1) {
		t.Errorf("as much as comes in lasts %v", got)
	}
	const dp = 300 * quantity.KilopascalDiff
	if q := s.Flow(dp, at); q != s.Main.Flow(dp, at) || !(q > refill) {
		t.Errorf("with the return: %v of %v", q, s.Main.Flow(dp, at))
	}
	s.Returned = false
	if q := s.Flow(dp, at); q != refill {
		t.Errorf("without the return: %v, want the %v that come in", q, refill)
	}
	near(t, "current", float64(s.Current(dp, at)), float64(s.Lift.Current(25*quantity.KilopascalDiff, at)+s.Main.Current(dp, at)), 1e-15)
	near(t, "power", float64(s.Power(dp, at)), float64(s.Lift.Power(25*quantity.KilopascalDiff, at)+s.Main.Power(dp, at)), 1e-15)
	if !s.Covers(dp, at) || s.Covers(700*quantity.KilopascalDiff, at) {
		t.Error("covers by the main pumps")
	}
}

func TestArrangementsValidate(t *testing.T) {
	bad := Mechanical{Displacement: 1 * quantity.CubicCentimetre}
	for _, tt := range []struct {
		s    Supply
		want []string
	}{
		{Parallel{}, []string{`pumps: "": is missing`}},
		{Parallel{gear, bad, nil}, []string{`pump 2: drive ratio: "0"`, `pump 3: "": is missing`}},
		{Series{Lift: bad}, []string{"lift pump: drive ratio: ", `main pump: "": is missing`}},
		{Surge{Lift: gear, LiftRise: -1 * quantity.PascalDiff, Main: bad, Volume: quantity.Volume(math.Inf(1))}, []string{"lift rise: ", "main pump: drive ratio: ", "surge volume: "}},
	} {
		err := tt.s.Validate()
		if !errors.Is(err, quantity.ErrRange) {
			t.Errorf("%T: %v", tt.s, err)
			continue
		}
		lines := strings.Split(err.Error(), "\n")
		if len(lines) != len(tt.want) {
			t.Errorf("%T: %q, want %d lines", tt.s, err, len(tt.want))
			continue
		}
		for i, line := range lines {
			if !strings.HasPrefix(line, tt.want[i]) {
				t.Errorf("%T: line %q, want it to start %q", tt.s, line, tt.want[i])
			}
		}
	}
	if (Parallel{}).Covers(0, Conditions{}) {
		t.Error("no pump covers something")
	}
}

func TestSupplyAllocations(t *testing.T) {
	at := Conditions{Voltage: 13.5 * quantity.Volt, Speed: 5000 * quantity.RPM}
	const dp = 430 * quantity.KilopascalDiff
	for name, s := range arrangements(t) {
		n := testing.AllocsPerRun(50, func() {
			s.Flow(dp, at)
			s.Current(dp, at)
			s.Power(dp, at)
			s.Covers(dp, at)
		})
		if n != 0 {
			t.Errorf("%s: %v allocations, want none", name, n)
		}
	}
}

func BenchmarkSupply(b *testing.B) {
	at := Conditions{Voltage: 13.5 * quantity.Volt, Speed: 5000 * quantity.RPM}
	for _, name := range []string{"electric", "mechanical", "series", "parallel", "surge"} {
		s := arrangements(b)[name]
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				s.Flow(430*quantity.KilopascalDiff, at)
			}
		})
	}
}
