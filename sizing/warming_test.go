package sizing_test

import (
	"encoding/json"
	"math"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

// idleFlow is what goes through the pumps at idle, by mass.
func idleFlow(a *sizing.Assessment) float64 {
	return float64(a.Demand.Density)*float64(a.Idle.Return) + float64(a.Idle.Fuel)
}

// TestWarming: the pumps' power and what the engine bay gives warm the flow through the
// pumps by P/(ṁ c), and the return gives the rest to what comes back.
func TestWarming(t *testing.T) {
	a := assess(t, open(t, "surge.toml"))
	w, d := a.Warming, a.Delivery
	c, _ := plumbing.SpecificHeatOf(a.Build.Fuel.Blend)
	pumps := 0.0
	for _, l := range a.Loads.Pumps {
		pumps += float64(l.Voltage) * float64(l.Current)
	}
	if !near(float64(w.Pump), pumps, 1e-9) {
		t.Errorf("the pumps take up %v, want %v W", w.Pump, pumps)
	}
	flow := float64(a.Demand.Density) * float64(d.PumpFlow)
	rail := (pumps + 220) / (flow * float64(c))
	lap := rail + 60/((flow-float64(d.Delivered))*float64(c))
	idleRail := (float64(w.IdlePump) + 220) / (idleFlow(a) * float64(c))
	idleLap := idleRail + 60/((idleFlow(a)-float64(a.Idle.Fuel))*float64(c))
	for _, tt := range []struct {
		name string
		got  quantity.TemperatureDiff
		want float64
	}{
		{"to the rail", w.RailRise, rail}, {"once round", w.LapRise, lap},
		{"to the rail at idle", w.IdleRailRise, idleRail}, {"once round at idle", w.IdleLapRise, idleLap},
	} {
		if !near(float64(tt.got), tt.want, 1e-6) {
			t.Errorf("%s: %v, want %v K", tt.name, tt.got, tt.want)
		}
	}
	if got, want := float64(w.HotRail), 273.15+28+idleRail; !near(got, want, 1e-9) {
		t.Errorf("hot rail %v, want %v K", got, want)
	}
	if got, want := float64(w.HotMargin), float64(a.Idle.Rail)-float64(a.Build.Fuel.Blend.VapourPressure(w.HotRail)); !near(got, want, 1e-9) {
		t.Errorf("margin there %v, want %v Pa", got, want)
	}
	if w.IdlePump >= w.Pump {
		t.Errorf("the pumps take up %v at the target and %v at the lower pressure of idle", w.Pump, w.IdlePump)
	}
}

// warmed follows the tank in small steps, by Heun's rule: it gets the heat, loses it to
// the air around in proportion to its excess, and what is burnt leaves it. It stops
// after an hour or at the temperature until.
func warmed(a *sizing.Assessment, until float64) (temperature, seconds float64) {
	b := a.Build
	cc, _ := plumbing.SpecificHeatOf(b.Fuel.Blend)
	c, rho := float64(cc), float64(a.Demand.Density)
	mass, draw := rho*float64(b.Tank.Fuel), float64(a.Idle.Fuel)
	loss := 0.0
	if b.Tank.Cooling != 0 {
		loss = mass * c / float64(b.Tank.Cooling) // W/K
	}
	heat := float64(a.Warming.IdleLapRise) * rho * float64(a.Idle.Return) * c
	ambient := float64(b.Induction.AmbientTemperature)
	slope := func(at, x float64) float64 { return (heat - loss*(x-ambient)) / ((mass - draw*at) * c) }
	const step = 0.5
	x := float64(b.Tank.Temperature)
	for at := 0.0; ; at += step {
		if at >= 3600 && until == 0 || until != 0 && x >= until || at > 1e5 {
			return x, at
		}
		k := slope(at, x)
		x += step / 2 * (k + slope(at+step, x+step*k))
	}
}

// TestTankAfterAnHour holds the tank after an hour of idling against an integration of
// its balance of heat in small steps.
func TestTankAfterAnHour(t *testing.T) {
	for name, change := range map[string]func(*sizing.Build){
		"cooled":         func(*sizing.Build) {},
		"keeps its heat": func(b *sizing.Build) { b.Tank.Cooling = 0 },
		"little in it":   func(b *sizing.Build) { b.Tank.Fuel = 6 * quantity.Litre },
		"hot day":        func(b *sizing.Build) { b.Induction.AmbientTemperature = quantity.Celsius(42) },
	} {
		b := open(t, "surge.toml")
		change(&b)
		a := assess(t, b)
		want, _ := warmed(a, 0)
		if got := float64(a.Warming.AfterHour); math.Abs(got-want) > 1e-4 || got <= float64(b.Tank.Temperature) {
			t.Errorf("%s: %v after an hour, want %v K", name, got, want)
		}
	}
}

// TestTankBoils: the time of idling after which the inlet of what draws from the tank
// has just the margin asked for over the vapour pressure.
func TestTankBoils(t *testing.T) {
	for _, name := range []string{"surge", "series of the surge pumps"} {
		b := arrangements(t)[name]
		a := assess(t, b)
		b = a.Build
		drawn := a.Idle.Return + a.Idle.Fuel.Volume(a.Demand.Density)
		if b.SurgeTank != nil {
			drawn = a.Inlet.Flow // of the lift pumps, which run on as they do
		}
		inlet := inletByHand(t, a, drawn)
		hot := float64(b.Tank.Temperature)
		for step := 64.0; step > 1e-9; step /= 2 {
			if float64(b.Fuel.Blend.VapourPressure(quantity.Temperature(hot+step))) < inlet-float64(b.Policy.InletMargin) {
				hot += step
			}
		}
		_, want := warmed(a, hot)
		if got := float64(a.Warming.Boils); math.Abs(got-want) > 1 {
			t.Errorf("%s: %v until it boils, want %v s", name, got, want)
		}
	}
}

// TestSmallTank: a tank that runs dry within the hour has a temperature to show for as
// long as it lasts, or none, but no infinite one.
func TestSmallTank(t *testing.T) {
	for _, litres := range []float64{0.2, 0.5, 1, 2} {
		b := open(t, "surge.toml")
		b.Tank.Fuel, b.Tank.Cooling = quantity.Of(litres, quantity.Litre), 0
		a := assess(t, b)
		if got := float64(a.Warming.AfterHour); math.IsInf(got, 0) || math.IsNaN(got) || got > 1000 {
			t.Errorf("%v L: %v K after an hour", litres, got)
		}
		if _, err := json.Marshal(a); err != nil {
			t.Errorf("%v L: %v", litres, err)
		}
	}
}

// TestNothingWarms: without heat, and pumps whose power is not known, nothing is said.
func TestNothingWarms(t *testing.T) {
	if w := assess(t, open(t, "natural.toml")).Warming; w != nil {
		t.Errorf("%+v", w)
	}
	b := open(t, "natural.toml")
	b.Heat.Feed = 100 * quantity.WattPower
	if w := assess(t, b).Warming; w == nil || w.RailRise <= 0 || w.AfterHour != 0 {
		t.Errorf("%+v", w)
	}
}

// TestHeatOfReturnless: with the regulator at the pump only what is burnt goes through
// the engine bay, and nothing of the bay's heat comes back to the tank.
func TestHeatOfReturnless(t *testing.T) {
	b := open(t, "natural.toml")
	b.Regulator.Kind = regulator.Returnless
	b.Heat.Feed = 100 * quantity.WattPower
	b.Tank.Fuel = 40 * quantity.Litre
	a := assess(t, b)
	c, _ := plumbing.SpecificHeatOf(b.Fuel.Blend)
	if want := 100 / (float64(a.Delivery.Delivered) * float64(c)); !near(float64(a.Warming.RailRise), want, 1e-9) {
		t.Errorf("to the rail %v, want %v K", a.Warming.RailRise, want)
	}
	if a.Warming.AfterHour > a.Build.Tank.Temperature {
		t.Errorf("the tank warms to %v by heat that does not come back", a.Warming.AfterHour)
	}
}

// TestHeatOfPumpSpeed: nothing comes back, so nothing warms the tank; and of the little
// that idle burns no temperature is made up.
func TestHeatOfPumpSpeed(t *testing.T) {
	b := open(t, "speed.toml")
	b.Tank.Cooling = 0
	a := assess(t, b)
	w := a.Warming
	c, _ := plumbing.SpecificHeatOf(b.Fuel.Blend)
	if want := (float64(a.Loads.Pumps[0].Power) + 90) / (float64(a.Delivery.Delivered) * float64(c)); !near(float64(w.RailRise), want, 1e-9) {
		t.Errorf("to the rail %v, want %v K", w.RailRise, want)
	}
	if w.LapRise != 0 || w.IdleLapRise != 0 || w.IdleRailRise != 0 || w.HotRail != 0 || w.AfterHour != b.Tank.Temperature || w.Boils != 0 {
		t.Errorf("%+v", w)
	}
	if warning(a, sizing.Boiling) != nil {
		t.Error("warned of fuel that boils")
	}
}
