package injector

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestFitNorris fits the Norris data of NIST's Statistical Reference Datasets
// (linear regression, 36 points) and compares with the certified coefficients. Pulse
// and fuel stand for its x and y.
func TestFitNorris(t *testing.T) {
	x := []float64{0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5}
	y := []float64{0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2}
	points := make([]PulseFlow, len(x))
	for i := range x {
		points[i] = PulseFlow{quantity.Time(x[i]), quantity.Mass(y[i])}
	}
	l, err := FitFlowLine(points...)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "slope", float64(l.Slope), 1.00211681802045, 1e-13)
	near(t, "intercept", float64(l.FlowOffset()), -0.262323073774029, 1e-11)
}

// bench is a made-up injector on a bench: pulses in ms, fuel in mg.
func bench(rows ...[2]float64) []PulseFlow {
	points := make([]PulseFlow, len(rows))
	for i, r := range rows {
		points[i] = PulseFlow{quantity.Of(r[0], quantity.Millisecond), quantity.Of(r[1]*1e-3, quantity.Gram)}
	}
	return points
}

// TestFlowLine: two points make a line exactly; its offset is where no fuel is left.
func TestFlowLine(t *testing.T) {
	l, err := FitFlowLine(bench([2]float64{2.5, 15}, [2]float64{7.5, 65})...)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "slope", l.Slope.In(quantity.GramPerSecond), 10, 1e-13)
	near(t, "time offset", l.Offset.In(quantity.Millisecond), 1, 1e-12)
	near(t, "flow offset", l.FlowOffset().In(quantity.Gram), -0.010, 1e-12)
	for fuel := 0.0; fuel < 100; fuel += 1.7 {
		m := quantity.Of(fuel*1e-3, quantity.Gram)
		near(t, "fuel back", float64(l.Fuel(l.Pulse(m))), float64(m), 1e-12)
		// It is the pulse of an injector with that static flow and dead time.
		i := Injector{DeadTime: mustDeadTime(t, "1 ms")}
		near(t, "pulse", float64(l.Pulse(m)), float64(i.Pulse(m, l.Slope, 12*quantity.Volt)), 1e-12)
	}
	if l.Fuel(0.9*quantity.Millisecond) != 0 || !math.IsInf(float64((FlowLine{}).Pulse(1*quantity.Gram)), 1) {
		t.Error("fuel before the offset, or a pulse without slope")
	}
}

func TestLinearRange(t *testing.T) {
	l := FlowLine{Slope: 10 * quantity.GramPerSecond, Offset: 1 * quantity.Millisecond}
	points := bench([2]float64{1.2, 1}, [2]float64{1.5, 4.6}, [2]float64{2, 9.6}, [2]float64{4, 30.3}, [2]float64{8, 70}, [2]float64{9.5, 88}, [2]float64{9.9, 99})
	near(t, "deviation", float64(l.Deviation(points[1])), -0.08, 1e-12)
	first, last, ratio := l.LinearRange(LinearityLimit, points...)
	if first != points[2] || last != points[5] {
		t.Errorf("from %+v to %+v", first, last)
	}
	near(t, "linear flow range", float64(ratio), 88/9.6, 1e-12)
	if _, _, none := l.LinearRange(LinearityLimit, points[0]); none != 0 {
		t.Errorf("no point is linear, range %v", none)
	}
	if _, _, wide := l.LinearRange(1, points...); math.Abs(float64(wide)-99) > 1e-9 {
		t.Errorf("with no limit to speak of %v", wide)
	}
	if d := l.Deviation(bench([2]float64{0.5, 1})[0]); !math.IsInf(float64(d), 1) {
		t.Errorf("fuel before the offset deviates by %v", d)
	}
}

func TestFitRefuses(t *testing.T) {
	for want, points := range map[string][]PulseFlow{
		`points: "": fewer than two pulse widths`: nil,
		"points: ": bench([2]float64{2, 9}, [2]float64{2, 9.1}),
		`point 2: pulse: "0 ms": must be greater`: bench([2]float64{2, 9}, [2]float64{0, 9.1}),
		"point 1: fuel: ":                         bench([2]float64{2, math.Inf(1)}, [2]float64{3, 9.1}),
		"slope: ":                                 bench([2]float64{2, 9}, [2]float64{3, 8}),
	} {
		if l, err := FitFlowLine(points...); !errors.Is(err, quantity.ErrRange) || !strings.HasPrefix(err.Error(), want) || l != (FlowLine{}) {
			t.Errorf("%v, %v; want %q", l, err, want)
		}
	}
}
