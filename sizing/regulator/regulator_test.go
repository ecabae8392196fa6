package regulator

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

const (
	base    = 300 * quantity.KilopascalDiff
	ambient = 98 * quantity.Kilopascal
)

// TestSetpoint works by hand from the definitions.
func TestSetpoint(t *testing.T) {
	tests := []struct {
		name         string
		regulator    Regulator
		manifold     quantity.Pressure // kPa absolute
		want         float64           // kPa absolute
		differential float64           // kPa
	}{
		{"manifold-referenced, open hose", Regulator{Kind: ManifoldReferenced, BasePressure: base}, ambient, 398, 300},
		{"manifold-referenced, boost", Regulator{Kind: ManifoldReferenced, BasePressure: base}, 198 * quantity.Kilopascal, 498, 300},
		{"manifold-referenced, vacuum", Regulator{Kind: ManifoldReferenced, BasePressure: base}, 38 * quantity.Kilopascal, 338, 300},
		{"rate 1 said", Regulator{Kind: ManifoldReferenced, BasePressure: base, RisingRate: 1}, 198 * quantity.Kilopascal, 498, 300},
		{"rising rate, boost", Regulator{Kind: ManifoldReferenced, BasePressure: base, RisingRate: 3}, 198 * quantity.Kilopascal, 698, 500},
		{"rising rate, vacuum", Regulator{Kind: ManifoldReferenced, BasePressure: base, RisingRate: 3}, 38 * quantity.Kilopascal, 338, 300},
		{"fixed, open throttle", Regulator{Kind: Fixed, BasePressure: base}, ambient, 398, 300},
		{"fixed, boost", Regulator{Kind: Fixed, BasePressure: base}, 198 * quantity.Kilopascal, 398, 200},
		{"fixed, vacuum", Regulator{Kind: Fixed, BasePressure: base}, 38 * quantity.Kilopascal, 398, 360},
		{"fixed, too much boost", Regulator{Kind: Fixed, BasePressure: base}, 450 * quantity.Kilopascal, 398, -52},
		{"returnless, boost", Regulator{Kind: Returnless, BasePressure: base}, 198 * quantity.Kilopascal, 398, 200},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if err := tt.regulator.Validate(); err != nil {
				t.Fatal(err)
			}
			if got := tt.regulator.Setpoint(tt.manifold, ambient).In(quantity.Kilopascal); math.Abs(got-tt.want) > 1e-9 {
				t.Errorf("set point %g kPa, want %g", got, tt.want)
			}
			if got := tt.regulator.Differential(tt.manifold, ambient).In(quantity.KilopascalDiff); math.Abs(got-tt.differential) > 1e-9 {
				t.Errorf("differential %g kPa, want %g", got, tt.differential)
			}
		})
	}
}

// TestSetpointMonotone: the set point never falls as the manifold pressure rises,
// and nowhere jumps, least of all at ambient.
func TestSetpointMonotone(t *testing.T) {
	for _, r := range []Regulator{
		{Kind: ManifoldReferenced, BasePressure: base},
		{Kind: ManifoldReferenced, BasePressure: base, RisingRate: 0.5},
		{Kind: ManifoldReferenced, BasePressure: base, RisingRate: 8},
		{Kind: Fixed, BasePressure: base},
		{Kind: Returnless, BasePressure: base},
	} {
		const step = 10 * quantity.Pascal
		last := r.Setpoint(0, ambient)
		for m := step; m < 400*quantity.Kilopascal; m += step {
			now := r.Setpoint(m, ambient)
			if rise := float64((now - last) / step); !(rise >= 0 && rise <= max(1, float64(r.Rate()))+1e-9) {
				t.Fatalf("%+v: set point goes from %v to %v at %v", r, last, now, m)
			}
			last = now
		}
	}
}

func TestRate(t *testing.T) {
	for _, tt := range []struct {
		regulator Regulator
		want      quantity.Ratio
	}{
		{Regulator{Kind: ManifoldReferenced}, 1},
		{Regulator{Kind: ManifoldReferenced, RisingRate: 1.7}, 1.7},
		{Regulator{Kind: Fixed, RisingRate: 1.7}, 0},
		{Regulator{Kind: Returnless}, 0},
	} {
		if got := tt.regulator.Rate(); got != tt.want {
			t.Errorf("%+v: rate %v, want %v", tt.regulator, got, tt.want)
		}
	}
}

func TestCanReturn(t *testing.T) {
	r := Regulator{MaxReturn: 200 * quantity.LitrePerHour}
	if !r.CanReturn(200*quantity.LitrePerHour) || r.CanReturn(201*quantity.LitrePerHour) {
		t.Error("the greatest return flow is not the limit")
	}
	if !(Regulator{}).CanReturn(1e6 * quantity.LitrePerHour) {
		t.Error("a limit that is not stated limits")
	}
}

func TestValidate(t *testing.T) {
	tests := []struct {
		name      string
		regulator Regulator
		want      []string
	}{
		{"good", Regulator{Kind: Fixed, BasePressure: base, MaxReturn: 200 * quantity.LitrePerHour}, nil},
		{"nothing", Regulator{}, []string{
			`kind: "?": is not a kind of regulator; want one of "manifold-referenced", "fixed", "returnless"`,
			`base pressure: "0 kPa": must be greater than zero`,
		}},
		{"negative", Regulator{Kind: ManifoldReferenced, BasePressure: -base, RisingRate: -1, MaxReturn: -1 * quantity.LitrePerHour}, []string{
			"base pressure: ", `rising rate: "-1": must not be negative`, `greatest return flow: "-1 L/h": must not be negative`,
		}},
		{"rate on a fixed one", Regulator{Kind: Fixed, BasePressure: base, RisingRate: 2}, []string{
			`rising rate: "2": only a manifold-referenced regulator has one`,
		}},
		{"no numbers", Regulator{Kind: Kind(9), BasePressure: quantity.PressureDiff(math.NaN()), RisingRate: quantity.Ratio(math.Inf(1))}, []string{
			"kind: ", "base pressure: ", "rising rate: ",
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			err := tt.regulator.Validate()
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
	r := Regulator{Kind: ManifoldReferenced, BasePressure: base, RisingRate: 3}
	n := testing.AllocsPerRun(100, func() {
		_ = r.Setpoint(198*quantity.Kilopascal, ambient)
		_ = r.Differential(198*quantity.Kilopascal, ambient)
	})
	if n != 0 {
		t.Errorf("%v allocations, want none", n)
	}
}

func BenchmarkSetpoint(b *testing.B) {
	r := Regulator{Kind: ManifoldReferenced, BasePressure: base, RisingRate: 3}
	b.ReportAllocs()
	for b.Loop() {
		r.Setpoint(198*quantity.Kilopascal, ambient)
	}
}
