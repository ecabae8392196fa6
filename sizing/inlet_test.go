package sizing_test

import (
	"math"
	"slices"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/pump"
	"example.com/railbook/sizing/quantity"
)

// inletByHand is the pressure at the inlet that draws q from the tank: ambient, the
// fuel standing over the pickup, less what the way takes off.
func inletByHand(t *testing.T, a *sizing.Assessment, q quantity.VolumeFlow) float64 {
	t.Helper()
	head := float64(a.Demand.Density) * gravity * float64(a.Build.Tank.Head)
	return float64(a.Build.Induction.Barometer) + head - lost(t, a, a.Build.Suction, q)
}

// TestInlet follows the way of the fuel from the tank by hand, turbulent in these
// sheets: pressure, margin over the vapour pressure, its height, and velocity.
func TestInlet(t *testing.T) {
	for name, b := range arrangements(t) {
		t.Run(name, func(t *testing.T) {
			a := assess(t, b)
			in, b := a.Inlet, a.Build
			want := inletByHand(t, a, in.Flow)
			if !near(float64(in.Pressure), want, 1e-9) {
				t.Errorf("%v at the inlet, want %v Pa", in.Pressure, want)
			}
			drawn := a.Delivery.PumpFlow
			if b.SurgeTank != nil {
				drawn = a.Loads.Pumps[0].Flow
			} else if a.Delivery.PumpInlet != in.Pressure {
				t.Errorf("%v at the inlet, the pumps have %v", in.Pressure, a.Delivery.PumpInlet)
			}
			if !near(float64(in.Flow), float64(drawn), 1e-9) {
				t.Errorf("%v drawn from the tank, the pumps draw %v", in.Flow, drawn)
			}
			vapour := float64(b.Fuel.Blend.VapourPressure(b.Tank.Temperature))
			if !near(float64(in.Margin), want-vapour, 1e-9) {
				t.Errorf("margin %v, want %v Pa", in.Margin, want-vapour)
			}
			if height := (want - vapour) / (float64(a.Demand.Density) * gravity); !near(float64(in.NPSH), height, 1e-9) {
				t.Errorf("suction head %v, want %v m", in.NPSH, height)
			}
			if hot := float64(a.Delivery.Rail) - float64(b.Fuel.Blend.VapourPressure(b.Fuel.Temperature)); !near(float64(in.RailHot), hot, 1e-9) {
				t.Errorf("at the rail %v, want %v Pa", in.RailHot, hot)
			}
			fastest := 0.0
			for _, s := range b.Suction {
				if d := float64(s.Line().Bore); d != 0 {
					fastest = max(fastest, 4*float64(in.Flow)/(math.Pi*d*d))
				}
			}
			if !near(float64(in.Velocity), fastest, 1e-9) {
				t.Errorf("velocity %v, want %v m/s", in.Velocity, fastest)
			}
		})
	}
}

// TestSizesByHand reads the lines that sheets tell by a dash number: sixteenths of an
// inch inside for a hose, outside for a tube, from which the wall comes off twice.
func TestSizesByHand(t *testing.T) {
	surge, driven := open(t, "surge.toml"), open(t, "driven.toml")
	for _, tt := range []struct {
		segment sizing.Segment
		bore    float64 // mm
	}{
		{surge.FeedLine, 8 * 25.4 / 16}, {surge.Suction[2], 10 * 25.4 / 16}, {surge.Suction[0], 16},
		{driven.FeedLine, 12*25.4/16 - 2*0.049*25.4}, {surge.Suction[1], 0},
	} {
		if got := tt.segment.Line().Bore.In(quantity.Millimetre); math.Abs(got-tt.bore) > 1e-9 {
			t.Errorf("%s: bore %v mm, want %v", tt.segment.Part, got, tt.bore)
		}
	}
}

// TestLaminarInlet: a small engine draws so little that the fuel moves smoothly, and
// the loss is Poiseuille's, 128 µ L q/(π D⁴). 5 mm by 2 m, no fittings.
func TestLaminarInlet(t *testing.T) {
	b := open(t, "natural.toml")
	b.Engine.Displacement, b.Engine.Cylinders, b.Target.Power = 125*quantity.CubicCentimetre, 1, 8*quantity.Kilowatt
	curve := b.Pumps[0].Curves[0]
	curve.Points = []pump.Point{
		{Flow: 16 * quantity.LitrePerHour, Pressure: 300 * quantity.KilopascalDiff}, {Flow: 10 * quantity.LitrePerHour, Pressure: 600 * quantity.KilopascalDiff},
	}
	b.Pumps = []sizing.Pump{{Curves: []sizing.PumpCurve{curve}}}
	b.Suction = []sizing.Segment{{Bore: 5 * quantity.Millimetre, Length: 2 * quantity.Metre, Rise: 0.4 * quantity.Metre}}
	a := assess(t, b)
	rho, mu := float64(a.Demand.Density), float64(a.Build.Fuel.Blend.Viscosity(a.Build.Fuel.Temperature))
	const bore = 5e-3
	q := float64(a.Inlet.Flow)
	if re := 4 * rho * q / (math.Pi * bore * mu); re > 2000 || re < 500 {
		t.Fatalf("Reynolds number %v", re)
	}
	want := 101325 - 128*mu*2*q/(math.Pi*math.Pow(bore, 4)) - rho*gravity*0.4
	if got := float64(a.Inlet.Pressure); !near(got, want, 1e-9) {
		t.Errorf("%v at the inlet, want %v Pa", a.Inlet.Pressure, want)
	}
}

// TestInletCapacity: at the flow that the suction side is said to carry, the inlet has
// just the margin asked for, by hand.
func TestInletCapacity(t *testing.T) {
	for _, name := range []string{"surge.toml", "driven.toml", "lift.toml"} {
		a := assess(t, open(t, name))
		margin := inletByHand(t, a, a.Inlet.Capacity) - float64(a.Inlet.Vapour)
		if want := float64(a.Build.Policy.InletMargin); math.Abs(margin-want) > 0.01 {
			t.Errorf("%s: margin %v Pa at %v, want %v", name, margin, a.Inlet.Capacity, want)
		}
		p, _ := a.Part(sizing.SuctionPart)
		if got := float64(a.Inlet.Capacity)/float64(a.Inlet.Flow) - 1; p.Capability != a.Inlet.Capacity || p.Demand != a.Inlet.Flow || !near(float64(p.Margin), got, 1e-9) {
			t.Errorf("%s: %+v, want a margin of %v", name, p, got)
		}
	}
}

// TestHotTank: fuel too hot for its margin is warned of, and boiling fuel gravely.
func TestHotTank(t *testing.T) {
	b := open(t, "lift.toml")
	if warning(assess(t, b), sizing.Boiling) != nil {
		t.Fatal("warned of without cause")
	}
	var last quantity.PressureDiff
	for i, tt := range []struct {
		celsius float64
		grave   bool
	}{{50, false}, {75, true}} {
		b.Tank.Temperature = quantity.Celsius(tt.celsius)
		a := assess(t, b)
		w := warning(a, sizing.Boiling)
		if w == nil || w.Grave != tt.grave || tt.grave != (a.Inlet.Margin < 0) || a.Inlet.Margin >= b.Policy.InletMargin+10*quantity.KilopascalDiff {
			t.Errorf("%v °C: margin %v, %+v", tt.celsius, a.Inlet.Margin, w)
		}
		p, _ := a.Part(sizing.SuctionPart)
		if (p.Status == sizing.Short) != (a.Inlet.Margin < 10*quantity.KilopascalDiff) {
			t.Errorf("%v °C: margin %v, yet the suction side is %s", tt.celsius, a.Inlet.Margin, p.Status)
		}
		if i > 0 && a.Inlet.Margin >= last {
			t.Error("hotter fuel has more margin")
		}
		last = a.Inlet.Margin
	}
}

// TestAcceleration: fuel that has to be drawn ahead costs ρ a x at the inlet, and fuel
// that has to be pushed ahead the same before the rail; braking gives it back.
func TestAcceleration(t *testing.T) {
	still := open(t, "surge.toml")
	still.Vehicle.Acceleration = 0
	at := assess(t, still)
	rho := float64(at.Demand.Density)
	for _, accel := range []quantity.Acceleration{5 * quantity.MetrePerSecondSquared, -9 * quantity.MetrePerSecondSquared} {
		moving := still
		moving.Vehicle.Acceleration = accel
		a := assess(t, moving)
		// The flows differ a little; what each loses to its own is taken out.
		friction := func(x *sizing.Assessment, way []sizing.Segment, q quantity.VolumeFlow) float64 {
			way = slices.Clone(way)
			for i := range way {
				way[i].Ahead = 0
			}
			return lost(t, x, way, q)
		}
		got := float64(at.Inlet.Pressure) + friction(at, at.Build.Suction, at.Inlet.Flow) - float64(a.Inlet.Pressure) - friction(a, a.Build.Suction, a.Inlet.Flow)
		if want := rho * float64(accel) * 0.3; math.Abs(got-want) > 1e-3 {
			t.Errorf("%v: costs %v Pa at the inlet, want %v", accel, got, want)
		}
		feed := func(x *sizing.Assessment) float64 {
			return float64(x.Delivery.LineLoss) - friction(x, []sizing.Segment{x.Build.FeedLine}, x.Delivery.LineFlow)
		}
		if got, want := feed(a)-feed(at), rho*float64(accel)*2.2; math.Abs(got-want) > 1e-3 {
			t.Errorf("%v: costs %v Pa in the feed line, want %v", accel, got, want)
		}
	}
}

// TestBoilingStarves: pumps that would draw their inlet down to the vapour pressure get
// no more than what brings it just there, and the rail sags.
func TestBoilingStarves(t *testing.T) {
	b := open(t, "turbo.toml")
	b.Suction = []sizing.Segment{{Bore: 9 * quantity.Millimetre, Length: 4 * quantity.Metre, LossCoefficient: 8}}
	b.Tank.Temperature = quantity.Celsius(52)
	a := assess(t, b)
	d, in := a.Delivery, a.Inlet
	if !d.Sags || math.Abs(float64(in.Margin)) > 1 {
		t.Errorf("sags %v, margin to boiling %v, want a starved rail and none", d.Sags, in.Margin)
	}
	if w := warning(a, sizing.Boiling); w == nil || !w.Grave {
		t.Errorf("no grave warning of boiling: %v", w)
	}
	if p, _ := a.Part(sizing.PumpsPart); p.Status != sizing.Short || !near(float64(p.Capability), float64(d.PumpFlow), 1e-6) {
		t.Errorf("pumps %v with %v, %v go through", p.Status, p.Capability, d.PumpFlow)
	}
	b.Tank.Temperature = quantity.Celsius(20)
	if cold := assess(t, b); cold.Delivery.PumpFlow <= d.PumpFlow {
		t.Errorf("cold fuel: %v, hot %v", cold.Delivery.PumpFlow, d.PumpFlow)
	}
}
