package regulator

import (
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/internal/root"
	"example.com/railbook/sizing/quantity"
)

// A made-up regulator: it holds to 200 L/h and creeps up beyond.
var creeping = Regulator{
	Kind: ManifoldReferenced, BasePressure: base, LeastReturn: 15 * quantity.LitrePerHour, MaxReturn: 200 * quantity.LitrePerHour,
	Slope: Slope{Rise: 8 * quantity.KilopascalDiff, Per: 100 * quantity.LitrePerHour}, OpenDrop: 40 * quantity.KilopascalDiff,
}

// TestSetpointAt works by hand.
func TestSetpointAt(t *testing.T) {
	if err := creeping.Validate(); err != nil {
		t.Fatal(err)
	}
	whole := creeping
	whole.SetFlow = 15 * quantity.LitrePerHour
	fromNone := Regulator{Kind: Fixed, BasePressure: base, Slope: creeping.Slope}
	for _, tt := range []struct {
		name string
		r    Regulator
		flow float64 // L/h
		want float64 // kPa over the set point
	}{
		{"within its range", creeping, 150, 0}, {"at its end", creeping, 200, 0}, {"beyond", creeping, 450, 20}, {"nothing returned", creeping, 0, 0},
		{"over the whole range, least", whole, 15, 0}, {"over the whole range", whole, 115, 8}, {"no range stated", fromNone, 50, 4},
		{"ideal", Regulator{Kind: Fixed, BasePressure: base}, 9999, 0},
	} {
		q := quantity.Of(tt.flow, quantity.LitrePerHour)
		over := tt.r.SetpointAt(150*quantity.Kilopascal, ambient, q).Above(tt.r.Setpoint(150*quantity.Kilopascal, ambient))
		if got := over.In(quantity.KilopascalDiff); math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("%s: %g kPa more, want %g", tt.name, got, tt.want)
		}
	}
}

// TestHold: a return line that needs little changes nothing; one that needs more than
// the set point takes over.
func TestHold(t *testing.T) {
	const manifold = 40 * quantity.Kilopascal
	set := creeping.SetpointAt(manifold, ambient, 150*quantity.LitrePerHour)
	if got := creeping.Hold(manifold, ambient, ambient.Plus(20*quantity.KilopascalDiff), 150*quantity.LitrePerHour); got != set {
		t.Errorf("an easy return moves the set point from %v to %v", set, got)
	}
	// By hand: 98 + 240 behind, and 40 × (150/200)² = 22.5 kPa across the valve.
	got := creeping.Hold(manifold, ambient, ambient.Plus(240*quantity.KilopascalDiff), 150*quantity.LitrePerHour)
	if math.Abs(got.In(quantity.Kilopascal)-360.5) > 1e-9 {
		t.Errorf("a tight return leaves %v, want 360.5 kPa", got)
	}
	free := creeping
	free.OpenDrop = 0
	if got := free.Hold(manifold, ambient, ambient.Plus(300*quantity.KilopascalDiff), 150*quantity.LitrePerHour); got != ambient.Plus(300*quantity.KilopascalDiff) {
		t.Errorf("without loss in the valve %v", got)
	}
}

// TestHoldMonotone: it rises with the return flow and with the pressure behind
// without a break.
func TestHoldMonotone(t *testing.T) {
	for _, manifold := range []quantity.Pressure{30 * quantity.Kilopascal, ambient, 200 * quantity.Kilopascal} {
		for _, back := range []quantity.PressureDiff{0, 150 * quantity.KilopascalDiff, 280 * quantity.KilopascalDiff} {
			last := creeping.Hold(manifold, ambient, back.Above(ambient), 0)
			for q := quantity.VolumeFlow(0); q < 900*quantity.LitrePerHour; q += 0.5 * quantity.LitrePerHour {
				now := creeping.Hold(manifold, ambient, back.Above(ambient), q)
				if !(now >= last && now-last < 1.5*quantity.Kilopascal) {
					t.Fatalf("from %v to %v at %v", last, now, q)
				}
				last = now
			}
		}
		last := creeping.Hold(manifold, ambient, ambient, 300*quantity.LitrePerHour)
		for back := quantity.PressureDiff(0); back < 500*quantity.KilopascalDiff; back += 100 * quantity.PascalDiff {
			now := creeping.Hold(manifold, ambient, back.Above(ambient), 300*quantity.LitrePerHour)
			if !(now >= last && now-last < 101*quantity.Pascal) {
				t.Fatalf("from %v to %v with %v behind", last, now, back)
			}
			last = now
		}
	}
}

// TestHoldCouples balances the regulator against a pump that brings less as the
// pressure rises, the way a solver does, and checks the balance.
func TestHoldCouples(t *testing.T) {
	supply := func(p quantity.Pressure) quantity.VolumeFlow { // made up: 600 L/h at ambient, none at 1 MPa above
		return quantity.VolumeFlow(float64(600*quantity.LitrePerHour) * (1 - float64(p.Above(ambient))/1e6))
	}
	for burnt := quantity.VolumeFlow(0); burnt < 400*quantity.LitrePerHour; burnt += 10 * quantity.LitrePerHour {
		p, err := root.Find(func(p float64) float64 {
			returned := supply(quantity.Pressure(p)) - burnt
			return p - float64(creeping.Hold(ambient, ambient, ambient, returned))
		}, float64(ambient), 2e6, 1e-6)
		if err != nil {
			t.Fatalf("%v burnt: %v", burnt, err)
		}
		returned := supply(quantity.Pressure(p)) - burnt
		if want := float64(creeping.Hold(ambient, ambient, ambient, returned)); math.Abs(p-want) > 1e-3 {
			t.Errorf("%v burnt: %g Pa, the regulator holds %g", burnt, p, want)
		}
	}
}

func TestControls(t *testing.T) {
	for flow, want := range map[float64]bool{0: false, 14.9: false, 15: true, 200: true, 200.1: false} {
		if got := creeping.Controls(quantity.Of(flow, quantity.LitrePerHour)); got != want {
			t.Errorf("controls at %g L/h: %v", flow, got)
		}
	}
	if !(Regulator{}).Controls(0) {
		t.Error("limits that are not stated limit")
	}
}

func TestResponseValidate(t *testing.T) {
	for name, r := range map[string]Regulator{
		"least return flow: ":                  {Kind: Fixed, BasePressure: base, LeastReturn: 300 * quantity.LitrePerHour, MaxReturn: 200 * quantity.LitrePerHour},
		`least return flow: "-1 L/h": `:        {Kind: Fixed, BasePressure: base, LeastReturn: -1 * quantity.LitrePerHour},
		"flow of the slope: ":                  {Kind: Fixed, BasePressure: base, Slope: Slope{Rise: 1 * quantity.PascalDiff}},
		"set flow: ":                           {Kind: Fixed, BasePressure: base, SetFlow: quantity.VolumeFlow(math.NaN())},
		`open drop: "-0.001 kPa": must not be`: {Kind: Fixed, BasePressure: base, MaxReturn: 200 * quantity.LitrePerHour, OpenDrop: -1 * quantity.PascalDiff},
		`open drop: "1 kPa": needs the great`:  {Kind: Fixed, BasePressure: base, OpenDrop: 1 * quantity.KilopascalDiff},
	} {
		if err := r.Validate(); err == nil || !strings.HasPrefix(err.Error(), name) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%+v: %v, want one error on %q", r, err, name)
		}
	}
}

func TestResponseAllocations(t *testing.T) {
	c := Control{Target: base, Reference: ManifoldReferenced, RisingRate: 1.2}
	n := testing.AllocsPerRun(100, func() {
		_ = creeping.Hold(150*quantity.Kilopascal, ambient, ambient, 250*quantity.LitrePerHour)
		_ = creeping.Controls(250 * quantity.LitrePerHour)
		_ = c.Setpoint(150*quantity.Kilopascal, ambient)
	})
	if n != 0 {
		t.Errorf("%v allocations, want none", n)
	}
}

func BenchmarkHold(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		creeping.Hold(150*quantity.Kilopascal, ambient, ambient, 250*quantity.LitrePerHour)
	}
}
