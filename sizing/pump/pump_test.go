package pump

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func twoVoltages(t testing.TB) Pump {
	return Pump{Part: "made up", Curves: []Curve{mustCurve(t, madeUp12, 12*quantity.Volt), mustCurve(t, madeUp135, 13.5*quantity.Volt)}}
}

// TestFlowParallel: at a pressure, equal pumps in parallel add up, and wear takes
// its share.
func TestFlowParallel(t *testing.T) {
	p := Pump{Curves: []Curve{mustCurve(t, madeUp135, 13.5*quantity.Volt)}}
	const dp = 430 * quantity.KilopascalDiff
	one := p.Flow(dp, 0)
	if one != p.Curves[0].Flow(dp) {
		t.Errorf("one new pump delivers %v, its curve says %v", one, p.Curves[0].Flow(dp))
	}
	p.Count, p.Derate = 3, 0.05
	near(t, "three worn pumps", float64(p.Flow(dp, 0)), 3*0.95*float64(one), 1e-15)
	if got := (Pump{}).Flow(dp, 12*quantity.Volt); got != 0 {
		t.Errorf("no pump delivers %v", got)
	}
}

func TestFlowVoltage(t *testing.T) {
	p := twoVoltages(t)
	const dp = 300 * quantity.KilopascalDiff
	for volts, want := range map[float64]float64{12: 270, 13.5: 340, 12.75: 305, 13.2: 326} {
		near(t, fmt.Sprintf("flow at %g V", volts), p.Flow(dp, quantity.Of(volts, quantity.Volt)).In(quantity.LitrePerHour), want, 1e-13)
	}
	if !p.HasVoltages() {
		t.Error("two curves depend on no voltage")
	}
	single := Pump{Curves: p.Curves[:1]}
	for _, volts := range []quantity.Voltage{0, 9 * quantity.Volt, 16 * quantity.Volt} {
		if got := single.Flow(dp, volts); got != p.Curves[0].Flow(dp) || single.HasVoltages() {
			t.Errorf("a single curve gives %v at %v", got, volts)
		}
	}
}

// TestAffinity is example 7.33 of Crane TP-410, as the documentation of fluids has
// it and confirms it: 400 gpm at 126 ft and 3500 rpm is 194.3 gpm at 29.7 ft and
// 1700 rpm. Voltage stands for speed.
func TestAffinity(t *testing.T) {
	points := []Point{
		{Flow: 500 * quantity.GallonPerMinute, Pressure: foot(80)},
		{Flow: 400 * quantity.GallonPerMinute, Pressure: foot(126)},
		{Flow: 200 * quantity.GallonPerMinute, Pressure: foot(150)},
	}
	lower, err := NewCurve(points, 3.5*quantity.Volt)
	if err != nil {
		t.Fatal(err)
	}
	p := Pump{Curves: []Curve{lower, mustCurve(t, "200000 L/h at 100 kPa; 150000 L/h at 600 kPa", 7*quantity.Volt)}}
	got := p.Flow(foot(29.725714), 1.7*quantity.Volt)
	near(t, "flow in gpm", got.In(quantity.GallonPerMinute), 194.2857, 1e-6)
	if p.Covers(foot(29.725714), 1.7*quantity.Volt) {
		t.Error("extrapolated voltage counts as covered")
	}
}

// TestFlowMonotone: whatever the voltage, wear and relief, flow never rises with
// pressure and does not jump; and at any pressure it does not fall or jump with
// the voltage.
func TestFlowMonotone(t *testing.T) {
	p := twoVoltages(t)
	p.Count, p.Derate, p.Relief = 2, 0.1, 550*quantity.KilopascalDiff
	const jump = 3 * quantity.LitrePerHour
	for v := 4 * quantity.Volt; v < 18*quantity.Volt; v += 0.25 * quantity.Volt {
		last := p.Flow(0, v)
		for dp := quantity.PressureDiff(0); dp < 1*quantity.MegapascalDiff; dp += 100 * quantity.PascalDiff {
			q := p.Flow(dp, v)
			if !(q <= last && last-q < jump && q >= 0) {
				t.Fatalf("at %v flow goes from %v to %v at %v", v, last, q, dp)
			}
			last = q
		}
		if last != 0 {
			t.Errorf("at %v flow is still %v far above relief", v, last)
		}
	}
	for dp := quantity.PressureDiff(0); dp < 600*quantity.KilopascalDiff; dp += 10 * quantity.KilopascalDiff {
		last := p.Flow(dp, 0)
		for v := quantity.Voltage(0); v < 18*quantity.Volt; v += 5 * quantity.Millivolt {
			q := p.Flow(dp, v)
			if !(q >= last && q-last < jump) {
				t.Fatalf("at %v flow goes from %v to %v at %v", dp, last, q, v)
			}
			last = q
		}
	}
	for _, v := range []quantity.Voltage{-1 * quantity.Volt, 0, quantity.Voltage(math.NaN())} {
		if got := p.Flow(100*quantity.KilopascalDiff, v); got != 0 {
			t.Errorf("flow at %v = %v, want none", v, got)
		}
	}
}

func TestRelief(t *testing.T) {
	p := Pump{Curves: []Curve{mustCurve(t, madeUp135, 0)}, Relief: 400 * quantity.KilopascalDiff}
	for kPa, part := range map[float64]float64{300: 1, 400: 1, 410: 0.75, 420: 0.5, 440: 0, 500: 0} {
		dp := quantity.Of(kPa, quantity.KilopascalDiff)
		got, want := float64(p.Flow(dp, 0)), part*float64(p.Curves[0].Flow(dp))
		if math.Abs(got-want) > 1e-18 {
			t.Errorf("flow at %g kPa = %g, want %g", kPa, got, want)
		}
		if covered := p.Covers(dp, 0); covered != (kPa <= 400) {
			t.Errorf("covers %g kPa: %v", kPa, covered)
		}
	}
}

func TestPumpCovers(t *testing.T) {
	p := twoVoltages(t)
	tests := []struct {
		kPa, volts float64
		want       bool
	}{
		{300, 12, true}, {300, 13, true}, {300, 13.5, true},
		{300, 11.99, false}, {300, 13.51, false},
		{550, 13.5, true}, // only the upper curve is used, and reaches there
		{550, 13, false},  // the lower does not
		{500, 12, true}, {500.1, 12, false}, {199, 13, false},
		{300, math.NaN(), false}, {math.NaN(), 13, false},
	}
	for _, tt := range tests {
		got := p.Covers(quantity.Of(tt.kPa, quantity.KilopascalDiff), quantity.Of(tt.volts, quantity.Volt))
		if got != tt.want {
			t.Errorf("covers %g kPa at %g V: %v, want %v", tt.kPa, tt.volts, got, tt.want)
		}
	}
	single := Pump{Curves: p.Curves[:1]}
	if !single.Covers(300*quantity.KilopascalDiff, 99*quantity.Volt) || single.Covers(600*quantity.KilopascalDiff, 12*quantity.Volt) {
		t.Error("a single curve covers by pressure alone")
	}
	if (Pump{}).Covers(0, 0) {
		t.Error("no pump covers something")
	}
}

func TestPumpValidate(t *testing.T) {
	low, high := mustCurve(t, madeUp12, 12*quantity.Volt), mustCurve(t, madeUp135, 13.5*quantity.Volt)
	unknown := mustCurve(t, madeUp135, 0)
	crossing := mustCurve(t, "310 L/h at 200 kPa; 100 L/h at 500 kPa", 13.5*quantity.Volt)
	elsewhere := mustCurve(t, "100 L/h at 600 kPa; 50 L/h at 700 kPa", 13.5*quantity.Volt)
	tests := []struct {
		name string
		pump Pump
		want []string
	}{
		{"good", Pump{Count: 2, Curves: []Curve{low, high}, Derate: 0.1, Relief: 600 * quantity.KilopascalDiff}, nil},
		{"one curve without voltage", Pump{Curves: []Curve{unknown}}, nil},
		{"curves of different pressures", Pump{Curves: []Curve{low, elsewhere}}, nil},
		{"same curve twice", Pump{Curves: []Curve{low, mustCurve(t, madeUp12, 13*quantity.Volt)}}, nil},
		{"nothing", Pump{}, []string{"curves: "}},
		{"all wrong", Pump{Count: -1, Derate: 1, Relief: -1 * quantity.PascalDiff, Curves: []Curve{{}}},
			[]string{`count: "-1": must not be negative`, `derate: "1": must lie between`, "relief: ", "curve 1: "}},
		{"unknown voltage", Pump{Curves: []Curve{unknown, high}}, []string{`curve 1: voltage: "0 V": each of several curves needs`}},
		{"falling voltage", Pump{Curves: []Curve{high, low}}, []string{`curve 2: voltage: "12 V": must exceed that of the curve before, 13.5 V`}},
		{"crossing", Pump{Curves: []Curve{low, crossing}}, []string{`curve 2: "240 L/h at 300 kPa": less flow at 13.5 V than at 12 V, 270 L/h`}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			err := tt.pump.Validate()
			if err == nil {
				if tt.want != nil {
					t.Errorf("no error, want %q", tt.want)
				}
				return
			}
			if !errors.Is(err, quantity.ErrRange) {
				t.Errorf("%v does not wrap ErrRange", err)
			}
			lines := strings.Split(err.Error(), "\n")
			if len(lines) != len(tt.want) {
				t.Fatalf("error %q, want %d lines", err, len(tt.want))
			}
			for i, line := range lines {
				if !strings.HasPrefix(line, tt.want[i]) {
					t.Errorf("line %d is %q, want it to start %q", i+1, line, tt.want[i])
				}
			}
		})
	}
}

func TestAllocations(t *testing.T) {
	p := twoVoltages(t)
	p.Relief = 600 * quantity.KilopascalDiff
	n := testing.AllocsPerRun(100, func() {
		for _, v := range []quantity.Voltage{10 * quantity.Volt, 12.7 * quantity.Volt, 15 * quantity.Volt} {
			p.Flow(430*quantity.KilopascalDiff, v)
			p.Covers(430*quantity.KilopascalDiff, v)
		}
	})
	if n != 0 {
		t.Errorf("%v allocations, want none", n)
	}
}

func BenchmarkFlow(b *testing.B) {
	p := twoVoltages(b)
	b.ReportAllocs()
	for b.Loop() {
		p.Flow(430*quantity.KilopascalDiff, 12.7*quantity.Volt)
	}
}
