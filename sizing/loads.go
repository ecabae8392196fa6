package sizing

import (
	"example.com/railbook/sizing/pump"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/wiring"
)

// Loads is what pumps and injectors take from the electric supply at the target.
type Loads struct {
	Pumps     []PumpLoad       `json:"pumps"`     // by entry of the sheet
	Injectors quantity.Current `json:"injectors"` // mean, of all sets together; zero where no coil is described
	Total     quantity.Current `json:"total"`     // of what is known
}

// PumpLoad is what the pumps of one entry do at the target.
type PumpLoad struct {
	Rise    quantity.PressureDiff `json:"rise"`    // outlet over inlet
	Flow    quantity.VolumeFlow   `json:"flow"`    // of all of them
	Voltage quantity.Voltage      `json:"voltage"` // at their terminals, or their controllers'; zero where the engine drives them
	Current quantity.Current      `json:"current"` // of all of them; zero where it is not known
	Drop    quantity.Voltage      `json:"drop"`    // lost in their wiring
	Power   quantity.Power        `json:"power"`   // taken up, at terminals or shaft; zero where it is not known
	Speed   quantity.Ratio        `json:"speed"`   // of full motor voltage; 1 where nothing slows them
	Covered bool                  `json:"covered"` // within the points of the curves
}

// loads finds the electric loads at the target. It uses room, which is empty, for the
// list.
func (s *system) loads(d Delivery, in Injection, room []PumpLoad) Loads {
	l := Loads{Pumps: room}
	drive := s.at(1).drive
	lift, main := s.rises(d.PumpRise, drive)
	for i := range s.pumps.units {
		u := &s.pumps.units[i]
		rise := main
		if u.role == Lift {
			rise = lift
		}
		load := u.load(rise, drive)
		if s.bySpeed && u.role == Main && !d.Sags {
			load = s.slowed(u, d.PumpFlow, rise, drive)
		}
		l.Pumps = append(l.Pumps, load)
		l.Total += load.Current
	}
	s.sameFlow(l.Pumps, d.PumpFlow)
	l.Injectors = s.coils(s.sets[0], in.Pulse)
	if in.Secondary != nil {
		l.Injectors += s.coils(s.sets[1], in.Secondary.Pulse)
	}
	l.Total += l.Injectors
	return l
}

// sameFlow holds what pumps bring to what goes through them, where they could bring
// more: than those in series with them pass, or than can be drawn before the fuel boils.
func (s *system) sameFlow(list []PumpLoad, through quantity.VolumeFlow) {
	most := [2]quantity.VolumeFlow{Main: through, Lift: through}
	switch {
	case s.pumps.surge != nil:
		most[Main], most[Lift] = unlimitedFlow, s.drawable
	case s.bySpeed: // what a controller may not slow down any further is told as it is
		most[Main] = s.drawable
	}
	for _, role := range []Role{Lift, Main} {
		var sum quantity.VolumeFlow
		for i := range list {
			if s.pumps.units[i].role == role {
				sum += list[i].Flow
			}
		}
		for i := range list {
			if s.pumps.units[i].role == role && sum > most[role] {
				list[i].Flow = quantity.VolumeFlow(float64(list[i].Flow) * float64(most[role]/sum))
			}
		}
	}
}

// coils is the mean current of a set of injectors.
func (s *system) coils(i set, pulse quantity.Time) quantity.Current {
	return quantity.Current(float64(i.count) * float64(i.Coil.Average(s.volts, pulse, s.interval)))
}

// load is what the unit does at full speed.
func (u *unit) load(rise quantity.PressureDiff, c pump.Conditions) PumpLoad {
	l := PumpLoad{Rise: rise, Flow: u.Flow(rise, c), Power: u.Power(rise, c), Speed: 1, Covered: u.Covers(rise, c)}
	if u.electric != nil {
		head := u.at(c).Voltage
		state, _ := u.electric.At(rise, head)
		l.Voltage, l.Current, l.Drop = state.Voltage, state.Current, head-state.Voltage
	}
	return l
}

// slowed is what the unit does as a controller slows it down to the flow q.
func (s *system) slowed(u *unit, q quantity.VolumeFlow, rise quantity.PressureDiff, c pump.Conditions) PumpLoad {
	head := u.at(c).Voltage
	part, err := u.electric.Hold(q, rise, head, s.leastSpeed)
	if err != nil {
		return u.load(rise, c)
	}
	return PumpLoad{
		Rise: rise, Flow: part.Flow, Voltage: part.Supply.Voltage, Current: part.Supply.Current, Drop: head - part.Supply.Voltage,
		Power: part.Supply.Power(), Speed: part.Share, Covered: part.Covered,
	}
}

// warnOfLoads tells of wiring that starves what it feeds.
func (s *system) warnOfLoads(a *Assessment, warn warnFunc) {
	sys := a.Build.Job.Units
	for i, l := range a.Loads.Pumps {
		w := a.Build.Pumps[i].Wiring
		if w == nil {
			continue
		}
		name := a.Build.Pumps[i].name(i)
		if _, err := s.pumps.units[i].electric.At(l.Rise, s.supply); err != nil || l.Drop > s.supply/2 {
			warn(true, Wired, "The wiring of %s cannot bring the current that it draws (%v): it stalls.", name, wiring.ErrCollapse)
			continue
		}
		if l.Drop > allowedDrop*s.supply {
			warn(false, Wired, "The wiring of %s loses %s of %s, more than %s: a pump's flow at pressure falls faster than its voltage. Thicker or shorter wire, a better earth or a relay near the pump.",
				name, quantity.Format(l.Drop, sys), quantity.Format(s.supply, sys), quantity.Ratio(allowedDrop).Percent(0))
		}
	}
	if a.Build.Injectors.Wiring != nil && s.volts == 0 {
		warn(true, Wired, "The injectors' wiring cannot bring the current that they draw.")
	}
}

// allowedDrop is the share of the supply voltage that wiring may lose before it is
// worth a word: common practice, no source.
const allowedDrop = 0.04
