package pump

import (
	"errors"
	"math"
	"testing"

	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/wiring"
)

func slowable(t testing.TB) map[string]Electric {
	single := drawn(t)
	single.Curves = single.Curves[1:]
	worn := drawn(t)
	worn.Count, worn.Derate, worn.Relief = 2, 0.1, 550*quantity.KilopascalDiff
	return map[string]Electric{
		"two curves": {Pump: drawn(t), Circuit: wires(t, "12 AWG", 5*quantity.Metre)},
		"one curve":  {Pump: single, Circuit: wires(t, "12 AWG", 5*quantity.Metre)},
		"two worn":   {Pump: worn, Circuit: wires(t, "10 AWG", 4*quantity.Metre), Shared: true},
		"no wires":   {Pump: drawn(t)},
	}
}

// TestHoldInverts: slowed down as told, the pumps bring the flow that was asked for,
// and with more flow they run faster and take more.
func TestHoldInverts(t *testing.T) {
	for name, e := range slowable(t) {
		for _, dp := range []quantity.PressureDiff{50 * quantity.KilopascalDiff, 300 * quantity.KilopascalDiff, 450 * quantity.KilopascalDiff} {
			full, err := e.At(dp, 13.5*quantity.Volt)
			if err != nil {
				t.Fatal(err)
			}
			last := PartLoad{}
			for part := 0.02; part <= 1; part += 0.02 {
				q := quantity.VolumeFlow(part * float64(full.Flow))
				p, err := e.Hold(q, dp, 13.5*quantity.Volt, 0)
				if err != nil {
					t.Fatalf("%s: %v of %v: %v", name, q, full.Flow, err)
				}
				near(t, name+" flow", float64(p.Flow), float64(q), 1e-7)
				if !(p.Share > last.Share && p.Share <= 1 && p.Motor <= full.Voltage && p.Supply.Power() > last.Supply.Power()) {
					t.Fatalf("%s: %+v after %+v", name, p, last)
				}
				if p.Supply.Power() > full.Power()*(1+1e-9) || p.Supply.Voltage < full.Voltage-1e-6*quantity.Volt {
					t.Fatalf("%s: part load %+v takes more than full %+v", name, p, full)
				}
				last = p
			}
		}
	}
}

// TestHoldBalance: the motors take what the wiring brings.
func TestHoldBalance(t *testing.T) {
	e := slowable(t)["two curves"]
	p, err := e.Hold(150*quantity.LitrePerHour, 350*quantity.KilopascalDiff, 13.8*quantity.Volt, 0)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "power", float64(p.Supply.Power()), float64(e.Pump.Power(350*quantity.KilopascalDiff, p.Motor)), 1e-8)
	near(t, "drop", float64(13.8*quantity.Volt-p.Supply.Voltage), float64(e.Circuit.Drop(p.Supply.Current)), 1e-7)
	if p.Supply.Flow != p.Flow || p.Covered {
		t.Errorf("%+v: slowed far below the curves it counts as measured", p)
	}
	// Less is lost in the wires than by throttling at full voltage and returning.
	full, err := e.At(350*quantity.KilopascalDiff, 13.8*quantity.Volt)
	if err != nil || !(p.Supply.Current < full.Current) {
		t.Errorf("%v at part load, %v at full, %v", p.Supply.Current, full.Current, err)
	}
}

// TestHoldSimilar: a single curve slowed to the share r follows the affinity rules:
// flow r Q(Δp/r²).
func TestHoldSimilar(t *testing.T) {
	e := Electric{Pump: Pump{Curves: drawn(t).Curves[1:]}}
	const r, dp = 0.7, 450 * quantity.KilopascalDiff
	low := quantity.PressureDiff(float64(dp) * r * r)
	want := quantity.VolumeFlow(r * float64(e.Pump.Curves[0].Flow(dp)))
	p, err := e.Hold(want, low, 13.5*quantity.Volt, 0)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "share", float64(p.Share), r, 1e-9)
	near(t, "power", float64(p.Supply.Power()), r*r*r*13.5*float64(e.Pump.Curves[0].Current(dp)), 1e-9)
	if p.Covered {
		t.Error("the affinity rules count as measured")
	}
	full, err := e.Hold(e.Pump.Curves[0].Flow(dp), dp, 13.5*quantity.Volt, 0)
	if err != nil || full.Share != 1 || !full.Covered {
		t.Errorf("at full speed: %+v, %v", full, err)
	}
}

func TestHoldEdges(t *testing.T) {
	e := slowable(t)["two curves"]
	const dp, supply = 300 * quantity.KilopascalDiff, 13.5 * quantity.Volt
	full, err := e.At(dp, supply)
	if err != nil {
		t.Fatal(err)
	}
	if p, err := e.Hold(full.Flow+1*quantity.LitrePerHour, dp, supply, 0); !errors.Is(err, ErrShort) || p.Share != 1 || p.Flow != full.Flow || p.Supply != full {
		t.Errorf("too much asked: %+v, %v", p, err)
	}
	if p, err := e.Hold(quantity.VolumeFlow(math.NaN()), dp, supply, 0); !errors.Is(err, ErrShort) || p.Share != 1 {
		t.Errorf("no number asked: %+v, %v", p, err)
	}
	p, err := e.Hold(20*quantity.LitrePerHour, dp, supply, 0.9)
	if err != nil || math.Abs(float64(p.Share)-0.9) > 1e-12 || !(p.Flow > 20*quantity.LitrePerHour) {
		t.Errorf("slowed no further than 0.9: %+v, %v", p, err)
	}
	if p, err := e.Hold(0, dp, supply, 0); err != nil || p.Flow != 0 || p.Supply.Power() != 0 {
		t.Errorf("nothing asked: %+v, %v", p, err)
	}
	stalled := Electric{Pump: drawn(t), Circuit: wiring.Circuit{Contacts: 3 * quantity.Ohm}}
	if _, err := stalled.Hold(1*quantity.LitrePerHour, 500*quantity.KilopascalDiff, 12*quantity.Volt, 0); !errors.Is(err, wiring.ErrCollapse) {
		t.Errorf("stalled: %v", err)
	}
	blind := Electric{Pump: twoVoltages(t)}
	if p, err := blind.Hold(100*quantity.LitrePerHour, dp, supply, 0); err != nil || p.Supply.Current != 0 || p.Supply.Voltage != supply {
		t.Errorf("current not known: %+v, %v", p, err)
	}
}

func TestHoldAllocations(t *testing.T) {
	e := slowable(t)["two worn"]
	n := testing.AllocsPerRun(50, func() {
		if _, err := e.Hold(200*quantity.LitrePerHour, 350*quantity.KilopascalDiff, 13.5*quantity.Volt, 0.2); err != nil {
			t.Fatal(err)
		}
	})
	if n != 0 {
		t.Errorf("%v allocations, want none", n)
	}
}

func BenchmarkHold(b *testing.B) {
	e := slowable(b)["two curves"]
	b.ReportAllocs()
	for b.Loop() {
		_, _ = e.Hold(200*quantity.LitrePerHour, 350*quantity.KilopascalDiff, 13.5*quantity.Volt, 0)
	}
}

// TestHoldAtFull: asked for just what the pumps bring at full speed, they run at it,
// whatever the rounding; and a least share beyond full speed is full speed.
func TestHoldAtFull(t *testing.T) {
	single := drawn(t)
	single.Curves = single.Curves[1:]
	for derate := quantity.Ratio(0); derate < 0.5; derate += 0.013 {
		single.Derate, single.Count, single.Relief = derate, 3, 500*quantity.KilopascalDiff
		e := Electric{Pump: single, Circuit: wires(t, "8 AWG", 3*quantity.Metre)}
		for dp := 310 * quantity.KilopascalDiff; dp < 540*quantity.KilopascalDiff; dp += 17 * quantity.KilopascalDiff {
			full, err := e.At(dp, 13.5*quantity.Volt)
			if err != nil {
				t.Fatal(err)
			}
			p, err := e.Hold(full.Flow, dp, 13.5*quantity.Volt, 0)
			if err != nil || math.Abs(float64(p.Share-1)) > 1e-8 {
				t.Fatalf("worn by %v at %v: %+v, %v", derate, dp, p, err)
			}
			for _, least := range []quantity.Ratio{1, 1.5} {
				if p, err := e.Hold(full.Flow/2, dp, 13.5*quantity.Volt, least); err != nil || p.Share != 1 {
					t.Fatalf("slowed to no less than %v: %+v, %v", least, p, err)
				}
			}
		}
	}
}
