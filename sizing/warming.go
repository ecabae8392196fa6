package sizing

import (
	"example.com/railbook/sizing/internal/root"
	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/quantity"
)

// Warming is the heat that the fuel picks up on its way round, and what it does to
// rail and tank. All that the pumps take up ends in the fuel.
type Warming struct {
	Pump     quantity.Power           `json:"pump"`      // taken up by the pumps at the target
	RailRise quantity.TemperatureDiff `json:"rail_rise"` // from tank to rail at the target
	LapRise  quantity.TemperatureDiff `json:"lap_rise"`  // once round, of what comes back, at the target; zero where nothing does

	// At idle, where the least is burnt and the most comes back. Of the rail only where
	// fuel returns from there: the little that an engine burns at idle takes on the
	// warmth of its bay, whatever heat that is.
	IdlePump     quantity.Power           `json:"idle_pump"`
	IdleRailRise quantity.TemperatureDiff `json:"idle_rail_rise"`
	IdleLapRise  quantity.TemperatureDiff `json:"idle_lap_rise"`
	HotRail      quantity.Temperature     `json:"hot_rail"`   // the tank as it is
	HotMargin    quantity.PressureDiff    `json:"hot_margin"` // of the rail over the vapour pressure there; below zero the fuel boils

	// Of the tank, at idle; zero where its fuel is not stated.
	AfterHour quantity.Temperature `json:"after_hour"` // zero too where it is dry before
	Boils     quantity.Time        `json:"boils"`      // until the inlet has not the margin asked for; zero where it always has, or never had
}

// warming finds the heat that the fuel picks up, nil where nothing is known of it.
// What returns to a surge tank overflows from there to the main tank and is counted
// as if it went there.
func (s *system) warming(a *Assessment) *Warming {
	c := s.liquid.heat
	w := &Warming{}
	for _, l := range a.Loads.Pumps {
		w.Pump += l.Power
	}
	if w.Pump == 0 && s.hardware.heat == (Heat{}) {
		return nil
	}
	// Where the regulator sits at the pump, what returns has not been at the rail.
	fromRail := !s.bySpeed && s.regAtRail()
	loop := func(pump quantity.Power, flow quantity.VolumeFlow, burnt quantity.MassFlow) plumbing.Loop {
		l := plumbing.Loop{Flow: flow.Mass(s.density), Burnt: burnt, Pump: pump, SpecificHeat: c}
		if fromRail {
			l.Feed = s.hardware.heat.Feed
		}
		if s.bySpeed {
			l.Burnt = l.Flow
		} else {
			l.Return = s.hardware.heat.Return
		}
		return l
	}
	target := loop(w.Pump, a.Delivery.PumpFlow, a.Delivery.Delivered)
	w.RailRise, w.LapRise = orZero(target.AtRail()), orZero(target.Lap())
	if !fromRail {
		w.RailRise += orZero(plumbing.Warmed(s.hardware.heat.Feed, a.Delivery.Delivered, c))
	}
	if s.bySpeed {
		w.LapRise = 0
	}

	p := s.atIdle()
	r, ok := s.rest(p, s.brought(p))
	if !ok {
		return w
	}
	rise := r.outlet.Above(s.inlet(r.through))
	w.IdlePump = s.idlePower(p, r, rise)
	idle := loop(w.IdlePump, r.through, p.carried)
	if fromRail {
		w.IdleRailRise = orZero(idle.AtRail())
		w.HotRail = s.tank.Temperature.Plus(w.IdleRailRise)
		w.HotMargin = r.rail.Above(s.blend.VapourPressure(w.HotRail))
	}
	if !s.bySpeed {
		w.IdleLapRise = orZero(idle.Lap())
	}
	if s.tank.Fuel == 0 {
		return w
	}
	tank := plumbing.Tank{Mass: quantity.Mass(float64(s.tank.Fuel) * float64(s.density)), Draw: p.carried, SpecificHeat: c, Cooling: s.tank.Cooling}
	ambient := s.breath.temperature
	if tank.Empty() > 1*quantity.Hour {
		w.AfterHour = tank.After(1*quantity.Hour, s.tank.Temperature, ambient, idle.ToTank())
	}
	drawn := r.through
	if s.pumps.surge != nil {
		drawn = s.refill(p.drive)
	}
	if hot, ok := s.boilsAt(drawn); ok {
		if t := tank.Until(hot, s.tank.Temperature, ambient, idle.ToTank()); t < tank.Empty() {
			w.Boils = orZero(t)
		}
	}
	return w
}

// idlePower is what the pumps take up at idle.
func (s *system) idlePower(p point, r rest, rise quantity.PressureDiff) quantity.Power {
	lift, main := s.rises(rise, p.drive)
	var sum quantity.Power
	for i := range s.pumps.units {
		u := &s.pumps.units[i]
		switch {
		case u.role == Lift:
			sum += u.Power(lift, p.drive)
		case s.bySpeed:
			sum += s.slowed(u, r.through, main, p.drive).Power
		default:
			sum += u.Power(main, p.drive)
		}
	}
	return sum
}

// boilsAt is the temperature in the tank at which the inlet has just the margin asked
// for as the pumps draw q; ok is false where there is none up to 150 °C.
func (s *system) boilsAt(q quantity.VolumeFlow) (t quantity.Temperature, ok bool) {
	inlet := s.suction.Inlet(s.ambient, s.stream(q))
	found, err := root.Find(func(t float64) float64 {
		return float64(inlet.Above(s.blend.VapourPressure(quantity.Temperature(t))) - s.inletMargin)
	}, float64(s.tank.Temperature), float64(quantity.Celsius(150)), 1e-6)
	return quantity.Temperature(found), err == nil
}

// warnOfHeat tells of fuel that gets hot.
func (s *system) warnOfHeat(a *Assessment, warn warnFunc) {
	w, sys := a.Warming, a.Build.Job.Units
	if w == nil {
		return
	}
	if w.HotRail != 0 && w.HotMargin < 0 {
		warn(true, Boiling, "At idle the fuel reaches the rail at %s and boils there.", quantity.Format(w.HotRail, sys))
	}
	if w.Boils != 0 {
		warn(false, Boiling, "Idling with %s in it, the tank is so warm after %s that the pumps' inlet no longer has the margin over the vapour pressure asked for.",
			tankText(a.Build.Tank.Fuel, sys), minutes(w.Boils))
	}
}

// minutes prints a time of minutes or hours.
func minutes(t quantity.Time) string {
	if t >= 2*quantity.Hour {
		return quantity.FormatIn(t, quantity.Hour)
	}
	return quantity.FormatIn(t, quantity.Minute)
}
