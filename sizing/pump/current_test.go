package pump

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// The curves of these tests are made up, with currents as electric fuel pumps have
// them.
const (
	drawn12  = "300 L/h at 200 kPa at 6.8 A; 270 L/h at 300 kPa at 7.9 A; 225 L/h at 400 kPa at 9.2 A; 160 L/h at 500 kPa at 10.8 A"
	drawn135 = "360 L/h at 200 kPa at 7.4 A; 340 L/h at 300 kPa at 8.6 A; 300 L/h at 400 kPa at 10 A; 245 L/h at 500 kPa at 11.7 A; 170 L/h at 600 kPa at 13.6 A"
)

func drawn(t testing.TB) Pump {
	return Pump{Part: "made up", Curves: []Curve{mustCurve(t, drawn12, 12*quantity.Volt), mustCurve(t, drawn135, 13.5*quantity.Volt)}}
}

func TestCurveCurrent(t *testing.T) {
	c := mustCurve(t, drawn135, 13.5*quantity.Volt)
	if !c.HasCurrent() {
		t.Fatal("the curve has no current")
	}
	for _, p := range c.Points() {
		near(t, "current at "+p.Pressure.String(), float64(c.Current(p.Pressure)), float64(p.Current), 1e-15)
	}
	if got := c.Current(0); got != 7.4*quantity.Ampere {
		t.Errorf("below the points: %v, want the first", got)
	}
	// The current changes neither flow nor what is covered.
	bare := mustCurve(t, madeUp135, 13.5*quantity.Volt)
	for dp := quantity.PressureDiff(0); dp < 1*quantity.MegapascalDiff; dp += 7 * quantity.KilopascalDiff {
		if c.Flow(dp) != bare.Flow(dp) || c.Covers(dp) != bare.Covers(dp) {
			t.Fatalf("at %v: %v with current, %v without", dp, c.Flow(dp), bare.Flow(dp))
		}
	}
	if bare.HasCurrent() || bare.Current(300*quantity.KilopascalDiff) != 0 || (Curve{}).Current(0) != 0 {
		t.Error("a current that nobody gave")
	}
	line := mustCurve(t, "300 L/h at 200 kPa at 8 A; 200 L/h at 400 kPa at 10 A", 0)
	for kPa, want := range map[float64]float64{100: 8, 250: 8.5, 300: 9, 400: 10, 500: 11, 800: 14} {
		near(t, "current of two points on their line", float64(line.Current(quantity.Of(kPa, quantity.KilopascalDiff))), want, 1e-13)
	}
}

// TestCurrentMonotone makes curves of random points, some of them level: the current
// never falls, does not jump, and stays between its points.
func TestCurrentMonotone(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 12))
	for range 200 {
		points := make([]Point, 2+random.IntN(6))
		pressure, current := 300*random.Float64(), 2+10*random.Float64()
		for i := range points {
			points[i] = Point{Flow: quantity.Of(300-30*float64(i), quantity.LitrePerHour), Pressure: quantity.Of(pressure, quantity.KilopascalDiff), Current: quantity.Of(current, quantity.Ampere)}
			pressure += 1 + 200*random.Float64()
			if random.IntN(4) > 0 {
				current += 5 * random.Float64()
			}
		}
		c, err := NewCurve(points, 0)
		if err != nil {
			t.Fatal(err)
		}
		steepest := c.m.draw.tail
		for i := 1; i < len(points); i++ {
			steepest = max(steepest, float64(points[i].Current-points[i-1].Current)/float64(points[i].Pressure-points[i-1].Pressure))
		}
		last := c.Current(0)
		const step = 200 * quantity.PascalDiff
		for dp := quantity.PressureDiff(0); dp < 1.3*points[len(points)-1].Pressure; dp += step {
			i := c.Current(dp)
			if !(i >= last*(1-1e-14) && float64(i-last) <= 3.01*steepest*float64(step)+1e-12) {
				t.Fatalf("%v: current goes from %v to %v at %v", points, last, i, dp)
			}
			last = i
		}
	}
}

func TestPumpCurrent(t *testing.T) {
	p := drawn(t)
	const dp = 300 * quantity.KilopascalDiff
	for volts, want := range map[float64]float64{12: 7.9, 13.5: 8.6, 12.75: 8.25} {
		near(t, "current", float64(p.Current(dp, quantity.Of(volts, quantity.Volt))), want, 1e-13)
	}
	p.Count, p.Derate = 3, 0.1
	near(t, "of three", float64(p.Current(dp, 12*quantity.Volt)), 3*7.9, 1e-13)
	near(t, "power of three", float64(p.Power(dp, 12*quantity.Volt)), 12*3*7.9, 1e-13)
	single := Pump{Curves: p.Curves[:1]}
	if got := single.Current(dp, 16*quantity.Volt); got != p.Curves[0].Current(dp) {
		t.Errorf("a single curve gives %v", got)
	}
	bare := twoVoltages(t)
	if bare.HasCurrent() || bare.Current(dp, 12*quantity.Volt) != 0 || bare.Efficiency(dp, 12*quantity.Volt) != 0 || (Pump{}).HasCurrent() {
		t.Error("a current that nobody gave")
	}
	if err := p.Validate(); err != nil {
		t.Errorf("with currents: %v", err)
	}
}

// TestAffinityPower: beyond the voltages measured, power goes as the cube of the
// speed at flow as the speed and pressure as its square (the affinity rules, Crane
// TP-410, as the documentation of fluids has them), and so efficiency stays.
func TestAffinityPower(t *testing.T) {
	p := drawn(t)
	for _, r := range []float64{0.3, 0.6, 0.9} {
		for _, dp := range []quantity.PressureDiff{250 * quantity.KilopascalDiff, 430 * quantity.KilopascalDiff, 700 * quantity.KilopascalDiff} {
			v, low := 12*quantity.Volt, quantity.PressureDiff(float64(dp)*r*r)
			slow := quantity.Voltage(r * float64(v))
			near(t, "power", float64(p.Power(low, slow)), r*r*r*float64(p.Power(dp, v)), 1e-12)
			near(t, "efficiency", float64(p.Efficiency(low, slow)), float64(p.Efficiency(dp, v)), 1e-12)
		}
	}
}

// TestEfficiency works by hand: 340 L/h at 300 kPa are 28.33 W of 13.5 V and 8.6 A.
func TestEfficiency(t *testing.T) {
	p := drawn(t)
	near(t, "efficiency", float64(p.Efficiency(300*quantity.KilopascalDiff, 13.5*quantity.Volt)), 300e3*340e-3/3600/(13.5*8.6), 1e-13)
}

// TestCurrentContinuous: at any pressure the current has no break in voltage, down to
// a stalled motor.
func TestCurrentContinuous(t *testing.T) {
	p := drawn(t)
	for dp := quantity.PressureDiff(0); dp < 700*quantity.KilopascalDiff; dp += 50 * quantity.KilopascalDiff {
		last := p.Current(dp, 0)
		for v := quantity.Voltage(0); v < 18*quantity.Volt; v += 1 * quantity.Millivolt {
			i := p.Current(dp, v)
			if math.Abs(float64(i-last)) > 0.02 || !(i >= 0) {
				t.Fatalf("at %v current goes from %v to %v at %v", dp, last, i, v)
			}
			last = i
		}
	}
}

func TestCurrentRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"340 L/h at 300 kPa at 9 A; 300 L/h at 400 kPa":                                   `point 2: "300 L/h at 400 kPa": the current has to be given at every point or at none`,
		"340 L/h at 300 kPa; 300 L/h at 400 kPa at 9 A":                                   "point 2: ",
		"340 L/h at 300 kPa at 9 A; 300 L/h at 400 kPa at 8.9 A":                          `point 2: "300 L/h at 400 kPa at 8.9 A": the current must not be less than that of the point before, 340 L/h at 300 kPa at 9 A`,
		"340 L/h at 300 kPa at 9 A; 300 L/h at 400 kPa at 9 A; 250 L/h at 500 kPa at 7 A": "point 3: ",
	} {
		if _, err := NewCurve(mustPoints(t, text), 0); err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%s: error %v, want %q", text, err, want)
		}
	}
	mixed := Pump{Curves: []Curve{mustCurve(t, drawn12, 12*quantity.Volt), mustCurve(t, madeUp135, 13.5*quantity.Volt)}}
	if err := mixed.Validate(); err == nil || !strings.Contains(err.Error(), "curve 2: ") || !strings.Contains(err.Error(), "on every curve or on none") {
		t.Errorf("current on one curve of two: %v", err)
	}
}
