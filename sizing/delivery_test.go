package sizing_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

// TestOperatingPoint closes the balances of volume and pressure of every arrangement:
// what the pumps bring at the rise over them is what goes through, what is not returned
// is injected, and every pressure is the one before it less what is lost between them.
// Independent arithmetic, but for the interpolation in the pumps' curves.
func TestOperatingPoint(t *testing.T) {
	for name, b := range arrangements(t) {
		t.Run(name, func(t *testing.T) {
			a := assess(t, b)
			b, d := a.Build, a.Delivery
			used := float64(d.Delivered) / float64(a.Demand.Density)
			if got := float64(d.PumpFlow - d.Return); !near(got, used, 1e-6) {
				t.Errorf("pumps less return %v, injectors %v m³/s", got, used)
			}
			if d.Delivered > a.Demand.Total*(1+1e-9) {
				t.Errorf("delivered %v of a demand of %v", d.Delivered, a.Demand.Total)
			}
			through := d.PumpFlow
			if !atRail(b) {
				through -= d.Return
			}
			if !near(float64(d.LineFlow), float64(through), 1e-6) {
				t.Errorf("line flow %v, want %v", d.LineFlow, through)
			}
			loss := lost(t, a, []sizing.Segment{b.FeedLine}, through)
			if got := float64(d.PumpOutlet.Above(d.Rail)); math.Abs(got-loss) > 1e-6*(math.Abs(loss)+float64(d.PumpRise)) {
				t.Errorf("outlet over rail %v, lost between them %v Pa", got, loss)
			}
			if d.PumpRise != d.PumpOutlet.Above(d.PumpInlet) {
				t.Errorf("rise %v, outlet %v over inlet %v", d.PumpRise, d.PumpOutlet, d.PumpInlet)
			}
			if d.Sags != (d.Rail < d.SetRail) {
				t.Errorf("sags %v, rail %v of %v", d.Sags, d.Rail, d.SetRail)
			}
			if d.Return < 0 || d.Sags && d.Return != 0 {
				t.Errorf("sags %v, and %v are returned", d.Sags, d.Return)
			}
			pumpsMeet(t, a)
		})
	}
}

// pumpsMeet wants the pumps to bring, by their curves at the voltage at their terminals
// or by their displacement, what goes through them. Main pumps that a lift pump starves
// could bring more and are held to what it brings.
func pumpsMeet(t *testing.T, a *sizing.Assessment) {
	t.Helper()
	b, d := a.Build, a.Delivery
	brought := map[sizing.Role]float64{}
	rises := map[sizing.Role]float64{}
	for i, p := range b.Pumps {
		l := a.Loads.Pumps[i]
		rises[p.Role] = float64(l.Rise)
		full := 0.0
		if m := p.Mechanical; m != nil {
			full = driven(m, float64(b.Engine.Speed), float64(l.Rise)) * (1 - float64(p.Wear)) * float64(p.Count)
		} else {
			h, err := p.Hardware()
			if err != nil {
				t.Fatal(err)
			}
			full = float64(h.Flow(l.Rise, l.Voltage))
		}
		if b.Regulator.Control == sizing.ByPumpSpeed && p.Role == sizing.Main && !d.Sags {
			if full < float64(d.PumpFlow) || l.Speed > 1 || !near(float64(l.Flow), float64(d.PumpFlow), 1e-6) {
				t.Errorf("%s brings %v at speed %v and %v at full speed; %v are needed", p.Part, l.Flow, l.Speed, full, d.PumpFlow)
			}
			full = float64(l.Flow)
		} else if p.Role == sizing.Main && b.SurgeTank == nil && warning(a, sizing.LiftShort) != nil {
			if full < float64(l.Flow) {
				t.Errorf("%s could bring %v m³/s, said to bring %v", p.Part, full, l.Flow)
			}
			full = float64(l.Flow)
		} else if !near(full, float64(l.Flow), 1e-6) {
			t.Errorf("%s brings %v m³/s, said to be %v", p.Part, full, l.Flow)
		}
		brought[p.Role] += full
	}
	if !near(brought[sizing.Main], float64(d.PumpFlow), 1e-6) {
		t.Errorf("main pumps bring %v, %v go through", brought[sizing.Main], d.PumpFlow)
	}
	lift, lifts := brought[sizing.Lift]
	switch {
	case !lifts:
		if !near(rises[sizing.Main], float64(d.PumpRise), 1e-9) {
			t.Errorf("rise %v over the pumps, want %v", rises[sizing.Main], d.PumpRise)
		}
	case b.SurgeTank != nil:
		if !near(lift, float64(a.Inlet.Flow), 1e-6) {
			t.Errorf("lift pumps bring %v, drawn from the tank %v", lift, a.Inlet.Flow)
		}
	default: // in series
		if !near(lift, float64(d.PumpFlow), 1e-6) {
			t.Errorf("lift pumps bring %v, %v go through both", lift, d.PumpFlow)
		}
		if sum := rises[sizing.Lift] + rises[sizing.Main]; !near(sum, float64(d.PumpRise), 1e-9) {
			t.Errorf("the rises add up to %v, want %v", sum, d.PumpRise)
		}
	}
}

// driven is the flow of an engine-driven pump with the crankshaft at speed, rad/s,
// against rise: displaced, less the leakage of its test in proportion to the pressure.
func driven(m *sizing.Mechanical, speed, rise float64) float64 {
	displaced := float64(m.Displacement) * float64(m.Drive) * speed / (2 * math.Pi)
	tested := float64(m.Displacement) * float64(m.TestSpeed) / (2 * math.Pi)
	return max(0, displaced-(1-float64(m.Efficiency))*tested*rise/float64(m.TestPressure))
}

// TestSetPressure follows the set pressure of each kind of regulator, where it sits.
func TestSetPressure(t *testing.T) {
	for name, b := range arrangements(t) {
		a := assess(t, b)
		r, d := a.Build.Regulator, a.Delivery
		want := float64(a.Build.Induction.Barometer) + float64(r.BasePressure)
		if r.Kind == regulator.ManifoldReferenced {
			want = float64(a.Manifold) + float64(r.BasePressure)
		}
		if !atRail(a.Build) {
			want -= lost(t, a, []sizing.Segment{a.Build.FeedLine}, a.Demand.Volume)
		}
		if !near(float64(d.SetRail), want, 1e-9) {
			t.Errorf("%s: set pressure at the rail %v, want %v Pa", name, d.SetRail, want)
		}
	}
}

// TestCreep: with a slope the rail stands over its set pressure by the slope times what
// is returned beyond the set flow; at the target, at idle, and for a regulator at the
// pump there. 9 kPa per 100 L/h over 80 L/h.
func TestCreep(t *testing.T) {
	const slope = 9e3 / (100e-3 / 3600) // Pa per m³/s
	const setFlow = 80e-3 / 3600
	for _, kind := range []regulator.Kind{regulator.ManifoldReferenced, regulator.Fixed, regulator.Returnless} {
		t.Run(kind.String(), func(t *testing.T) {
			b := open(t, "surge.toml")
			b.Regulator.Kind = kind
			if kind != regulator.ManifoldReferenced {
				b.Regulator.BasePressure = 60 * quantity.PSI
			}
			a := assess(t, b)
			d := a.Delivery
			if d.Return < 85*quantity.LitrePerHour {
				t.Fatalf("only %v are returned", d.Return)
			}
			creep := slope * (float64(d.Return) - setFlow)
			if got := float64(d.Rail.Above(d.SetRail)); !near(got, creep, 1e-6) {
				t.Errorf("rail over its set pressure %v, want %v Pa", got, creep)
			}
			if got := float64(a.Injection.Differential); !near(got, float64(d.Rail.Above(a.Manifold)), 1e-6) {
				t.Errorf("differential %v, the rail has %v over the manifold", got, d.Rail.Above(a.Manifold))
			}
			set := float64(b.Regulator.BasePressure) + float64(a.Build.Induction.Barometer)
			if kind == regulator.ManifoldReferenced {
				set = float64(b.Regulator.BasePressure) + float64(b.Engine.IdlePressure)
			}
			creep = slope * (float64(a.Idle.Return) - setFlow)
			rail := set + creep
			if kind == regulator.Returnless { // the little that idle burns moves slowly through the line
				rail -= lost(t, a, []sizing.Segment{b.FeedLine}, a.Idle.Fuel.Volume(a.Demand.Density))
			}
			if got := float64(a.Idle.Rail); !near(got, rail, 1e-6) {
				t.Errorf("rail at idle %v, want %v Pa", got, rail)
			}
		})
	}
}

// TestTightReturn: a return line too narrow, with the valve wide open, takes the rail
// out of the regulator's hands; the rail then is what line and valve need.
func TestTightReturn(t *testing.T) {
	b := open(t, "surge.toml")
	b.Regulator.Slope, b.Regulator.SetFlow = regulator.Slope{}, 0
	b.ReturnLine = slices.Clone(b.ReturnLine)
	b.ReturnLine[0].Dash, b.ReturnLine[0].Bore = plumbing.Dash{}, 4*quantity.Millimetre
	a := assess(t, b)
	i := a.Idle
	valve := 40e3 * math.Pow(float64(i.Return)/(620e-3/3600), 2)
	want := float64(b.Induction.Barometer) + lost(t, a, a.Build.ReturnLine, i.Return) + valve
	if set := float64(b.Engine.IdlePressure) + float64(b.Regulator.BasePressure); want < set+1e3 {
		t.Fatalf("the return needs %v Pa, the regulator is set to %v", want, set)
	}
	if !near(float64(i.Rail), want, 1e-6) {
		t.Errorf("rail at idle %v, want %v Pa", i.Rail, want)
	}
	if warning(a, sizing.RailCreeps) == nil {
		t.Error("no warning")
	}
	wide := assess(t, open(t, "surge.toml"))
	if wide.Idle.Return <= i.Return || wide.Idle.Rail >= i.Rail {
		t.Errorf("a wide return passes %v at %v, a tight one %v at %v", wide.Idle.Return, wide.Idle.Rail, i.Return, i.Rail)
	}
}

// TestSagEverywhere: wherever the rail sags, injectors opened for the set pressure pass
// the square root of the differential pressures' ratio.
func TestSagEverywhere(t *testing.T) {
	sagged := 0
	for name, b := range arrangements(t) {
		for _, share := range []float64{1.3, 2} {
			b := b.AtPower(quantity.Of(share, b.CrankPower()))
			if b.Engine.VolumetricEfficiency > 1.6 {
				continue
			}
			a := assess(t, b)
			d := a.Delivery
			if !d.Sags || d.Saturated || d.Delivered == 0 || d.Rail <= a.Manifold {
				continue
			}
			sagged++
			ratio := math.Sqrt(float64(d.Rail.Above(a.Manifold)) / float64(d.SetRail.Above(a.Manifold)))
			if got := float64(d.Delivered) / float64(a.Demand.Total); math.Abs(got-ratio) > 1e-6 {
				t.Errorf("%s at %v of its power: delivered share %v, square-root law %v", name, share, got, ratio)
			}
			if got, want := float64(d.Supported)/float64(a.Power), float64(d.Delivered)/float64(a.Demand.Total); !near(got, want, 1e-9) {
				t.Errorf("%s: supported share %v, delivered share %v", name, got, want)
			}
		}
	}
	if sagged < 10 {
		t.Errorf("only %d rails sag", sagged)
	}
}

// TestBalanceCurves: what the pumps bring and what it takes cross where the pumps work,
// as long as the regulator holds its set pressure.
func TestBalanceCurves(t *testing.T) {
	crossed := 0
	for name, b := range arrangements(t) {
		a := assess(t, b)
		d := a.Delivery
		if d.Sags || d.Saturated || d.Rail != d.SetRail || b.Regulator.Control == sizing.ByPumpSpeed {
			continue
		}
		balance, err := a.Balance(801)
		if err != nil || len(balance.Supply) != 801 || len(balance.System) < 100 {
			t.Fatalf("%s: %d and %d points, %v", name, len(balance.Supply), len(balance.System), err)
		}
		for i, p := range balance.Supply[1:] {
			if q := balance.Supply[i]; p.Rise <= q.Rise || float64(p.Flow) > float64(q.Flow)*(1+1e-9) {
				t.Fatalf("%s: from %v to %v", name, q, p)
			}
		}
		// The flow at which the straight lines between the points of both cross.
		supply := func(rise float64) float64 {
			for i, p := range balance.Supply[1:] {
				if q := balance.Supply[i]; rise <= float64(p.Rise) {
					return float64(q.Flow) + (rise-float64(q.Rise))/float64(p.Rise-q.Rise)*float64(p.Flow-q.Flow)
				}
			}
			return 0
		}
		for _, p := range balance.System {
			if supply(float64(p.Rise)) > float64(p.Flow) {
				continue
			}
			crossed++
			if !near(float64(p.Flow), float64(d.PumpFlow), 0.005) || !near(float64(p.Rise), float64(d.PumpRise), 0.005) {
				t.Errorf("%s: the curves cross at %v and %v, the pumps work at %v and %v", name, p.Flow, p.Rise, d.PumpFlow, d.PumpRise)
			}
			break
		}
	}
	if crossed < 10 {
		t.Errorf("only %d crossings", crossed)
	}
}

func ExampleAssessment_SupplyTable() {
	b, err := sizing.Open("../testdata/sheets/natural.toml")
	if err != nil {
		fmt.Println(err)
		return
	}
	a, err := sizing.Assess(b)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, row := range a.SupplyTable(quantity.SI).Rows[1:4] {
		fmt.Println(row[0]+":", row[1])
	}
	// Output:
	// Pressure at the pumps' inlet, absolute: 101.3 kPa
	// Vapour pressure at 30 °C: 51.76 kPa
	// Margin to boiling at the inlet, wanted 10 kPa: 49.57 kPa
}
