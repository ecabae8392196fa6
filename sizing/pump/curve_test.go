package pump

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// mustCurve makes a curve of points in text between semicolons.
func mustCurve(t testing.TB, text string, v quantity.Voltage) Curve {
	t.Helper()
	c, err := NewCurve(mustPoints(t, text), v)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func mustPoints(t testing.TB, text string) []Point {
	t.Helper()
	var points []Point
	for _, part := range strings.Split(text, ";") {
		p, err := ParsePoint(part)
		if err != nil {
			t.Fatal(err)
		}
		points = append(points, p)
	}
	return points
}

// The curves of these tests are made up.
const (
	madeUp12  = "300 L/h at 200 kPa; 270 L/h at 300 kPa; 225 L/h at 400 kPa; 160 L/h at 500 kPa"
	madeUp135 = "360 L/h at 200 kPa; 340 L/h at 300 kPa; 300 L/h at 400 kPa; 245 L/h at 500 kPa; 170 L/h at 600 kPa"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s = %.10g, want %.10g within %g", what, got, want, tolerance)
	}
}

func TestCurveFlow(t *testing.T) {
	c := mustCurve(t, madeUp135, 13.5*quantity.Volt)
	for _, p := range c.Points() {
		near(t, "flow at "+p.Pressure.String(), float64(c.Flow(p.Pressure)), float64(p.Flow), 1e-15)
	}
	for kPa, want := range map[float64]float64{-100: 360, 0: 360, 199: 360} {
		near(t, "flow before the points", c.Flow(quantity.Of(kPa, quantity.KilopascalDiff)).In(quantity.LitrePerHour), want, 1e-14)
	}
	if c.Voltage() != 13.5*quantity.Volt {
		t.Errorf("voltage %v", c.Voltage())
	}
	line := mustCurve(t, "300 L/h at 200 kPa; 200 L/h at 400 kPa", 0)
	for kPa, want := range map[float64]float64{250: 275, 300: 250, 500: 150, 700: 50, 790: 5} {
		near(t, "flow of two points on their line", line.Flow(quantity.Of(kPa, quantity.KilopascalDiff)).In(quantity.LitrePerHour), want, 1e-13)
	}
	if got := line.Flow(801 * quantity.KilopascalDiff); got != 0 {
		t.Errorf("flow beyond shutoff = %v", got)
	}
	if got := (Curve{}).Flow(0); got != 0 {
		t.Errorf("no curve delivers %v", got)
	}
}

// TestCurveTail: beyond the points the flow falls no slower than over the last
// chord and no slower than where the cubic ends.
func TestCurveTail(t *testing.T) {
	for _, text := range []string{madeUp12, madeUp135, "340 L/h at 100 kPa; 200 L/h at 200 kPa; 190 L/h at 300 kPa"} {
		c := mustCurve(t, text, 0)
		points := c.Points()
		a, b := points[len(points)-2], points[len(points)-1]
		step := 1 * quantity.PascalDiff
		chord := float64(b.Flow-a.Flow) / float64(b.Pressure-a.Pressure)
		inside := float64(b.Flow - c.Flow(b.Pressure-step))
		beyond := float64(c.Flow(b.Pressure+step) - b.Flow)
		if beyond > chord*(1-1e-6) || beyond > inside*(1-1e-3) {
			t.Errorf("%s: slope %g beyond, chord %g, %g inside", text, beyond, chord, inside)
		}
	}
}

func TestShutoff(t *testing.T) {
	tests := []struct {
		text     string
		kPa      float64
		measured bool
	}{
		{"300 L/h at 200 kPa; 200 L/h at 400 kPa", 800, false},
		{"300 L/h at 200 kPa; 0 L/h at 650 kPa", 650, true},
		{"300 L/h at 200 kPa; 0 L/h at 650 kPa; 0 L/h at 700 kPa", 650, true},
		{"300 L/h at 200 kPa; 300 L/h at 400 kPa", math.Inf(1), false},
	}
	for _, tt := range tests {
		c := mustCurve(t, tt.text, 0)
		dp, measured := c.Shutoff()
		if got := dp.In(quantity.KilopascalDiff); measured != tt.measured || got != tt.kPa && !(math.Abs(got-tt.kPa) < 1e-9) {
			t.Errorf("%s: shutoff %v, measured %v; want %g kPa, %v", tt.text, dp, measured, tt.kPa, tt.measured)
		}
		if q := c.Flow(dp); !math.IsInf(float64(dp), 1) && float64(q) > 1e-18 {
			t.Errorf("%s: %v at shutoff", tt.text, q)
		}
	}
	if dp, measured := (Curve{}).Shutoff(); dp != 0 || measured {
		t.Errorf("no curve: %v, %v", dp, measured)
	}
}

// TestCurveMonotone makes curves of random falling points, some of them level, and
// checks that the flow never rises, does not jump, and stays between its points.
func TestCurveMonotone(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		points := make([]Point, 2+random.IntN(7))
		flow, pressure := 100+400*random.Float64(), 300*random.Float64()
		for i := range points {
			points[i] = Point{Flow: quantity.Of(flow, quantity.LitrePerHour), Pressure: quantity.Of(pressure, quantity.KilopascalDiff)}
			if random.IntN(4) > 0 {
				flow *= random.Float64()
			}
			pressure += 0.01 + 200*random.Float64()*random.Float64()
		}
		c, err := NewCurve(points, 0)
		if err != nil {
			t.Fatal(err)
		}
		// No cubic between monotone points with Fritsch and Butland's slopes is
		// steeper than three times its chord.
		steepest := 0.0
		for i := 1; i < len(points); i++ {
			steepest = max(steepest, float64(points[i-1].Flow-points[i].Flow)/float64(points[i].Pressure-points[i-1].Pressure))
		}
		last := c.Flow(0)
		const step = 50 * quantity.PascalDiff
		for dp := quantity.PressureDiff(0); dp < 1.5*points[len(points)-1].Pressure; dp += step {
			q := c.Flow(dp)
			if !(q <= last*(1+1e-14) && q >= 0) {
				t.Fatalf("%v: flow rises from %v to %v at %v", points, last, q, dp)
			}
			if float64(last-q) > 3.01*steepest*float64(step)+1e-15 {
				t.Fatalf("%v: flow jumps from %v to %v at %v", points, last, q, dp)
			}
			last = q
		}
	}
}

func TestCurveCovers(t *testing.T) {
	c := mustCurve(t, madeUp12, 12*quantity.Volt)
	for kPa, want := range map[float64]bool{0: false, 199.9: false, 200: true, 350: true, 500: true, 500.1: false} {
		if got := c.Covers(quantity.Of(kPa, quantity.KilopascalDiff)); got != want {
			t.Errorf("covers %g kPa: %v, want %v", kPa, got, want)
		}
	}
	if (Curve{}).Covers(0) {
		t.Error("no curve covers something")
	}
}

func TestNewCurveRefuses(t *testing.T) {
	tests := []struct {
		name, points string
		volts        quantity.Voltage
		want         string
	}{
		{"one point", "340 L/h at 300 kPa", 0, `points: "340 L/h at 300 kPa": a curve has at least two points`},
		{"falling pressure", "340 L/h at 300 kPa; 300 L/h at 200 kPa", 0, `point 2: "300 L/h at 200 kPa": the pressure must exceed that of the point before, 340 L/h at 300 kPa`},
		{"same pressure", "340 L/h at 300 kPa; 300 L/h at 400 kPa; 290 L/h at 400 kPa", 0, `point 3: "290 L/h at 400 kPa": the pressure must exceed`},
		{"rising flow", "340 L/h at 300 kPa; 350 L/h at 400 kPa", 0, `point 2: "350 L/h at 400 kPa": the flow must not exceed that of the point before, 340 L/h at 300 kPa`},
		{"no flow at all", "0 L/h at 300 kPa; 0 L/h at 400 kPa", 0, "point 1: "},
		{"negative voltage", madeUp12, -12 * quantity.Volt, `voltage: "-12 V": must not be negative`},
		{"voltage not a number", madeUp12, quantity.Voltage(math.NaN()), "voltage: "},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c, err := NewCurve(mustPoints(t, tt.points), tt.volts)
			var pe *quantity.ParseError
			if !errors.As(err, &pe) || !errors.Is(err, quantity.ErrRange) || !strings.HasPrefix(err.Error(), tt.want) || pe.Accepted == "" {
				t.Errorf("error %v, want %q and what is accepted", err, tt.want)
			}
			if c.Flow(0) != 0 {
				t.Errorf("a curve came back with the error")
			}
		})
	}
	if _, err := NewCurve(nil, 0); err == nil {
		t.Error("made a curve of no points")
	}
	if _, err := NewCurve([]Point{{Flow: quantity.VolumeFlow(math.NaN())}, {Pressure: 1 * quantity.KilopascalDiff}}, 0); err == nil {
		t.Error("made a curve of a flow that is no number")
	}
}

// TestCurveKeepsItsPoints: neither the slice given nor the one returned is a way in.
func TestCurveKeepsItsPoints(t *testing.T) {
	points := mustPoints(t, madeUp12)
	c, err := NewCurve(points, 0)
	if err != nil {
		t.Fatal(err)
	}
	before := c.Flow(0)
	points[0].Flow = 0
	c.Points()[0].Flow = 0
	if got := c.Flow(0); got != before {
		t.Errorf("flow became %v", got)
	}
}

func BenchmarkCurve(b *testing.B) {
	c := mustCurve(b, madeUp135, 13.5*quantity.Volt)
	b.ReportAllocs()
	for b.Loop() {
		c.Flow(430 * quantity.KilopascalDiff)
	}
}
