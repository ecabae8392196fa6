package sizing

import (
	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/pump"
	"example.com/railbook/sizing/quantity"
)

// Inlet is the state at the inlet of the pumps that draw from the tank, at the
// target.
type Inlet struct {
	Flow     quantity.VolumeFlow   `json:"flow"`     // drawn from the tank
	Pressure quantity.Pressure     `json:"pressure"` // absolute; zero where there is no such flow
	Vapour   quantity.Pressure     `json:"vapour"`   // absolute, of the fuel as warm as in the tank
	Margin   quantity.PressureDiff `json:"margin"`   // Pressure over Vapour; below zero the fuel boils
	NPSH     quantity.Length       `json:"npsh"`     // Margin as a height of fuel: the net positive suction head available
	Velocity quantity.Velocity     `json:"velocity"` // in the narrowest line of the suction side
	Capacity quantity.VolumeFlow   `json:"capacity"` // flow up to which the margin asked for is kept; 1e6 L/h stands for any
	RailHot  quantity.PressureDiff `json:"rail_hot"` // rail pressure over the vapour pressure of the fuel there
}

// inletState finds the state at the inlet.
func (s *system) inletState(d Delivery) Inlet {
	in := Inlet{Flow: d.PumpFlow, Vapour: s.vapour}
	if s.pumps.surge != nil {
		in.Flow = s.refill(s.at(1).drive)
	}
	f := s.stream(in.Flow)
	in.Pressure = max(0, s.suction.Inlet(s.ambient, f))
	in.Margin = in.Pressure.Above(in.Vapour)
	in.NPSH = quantity.Length(float64(in.Margin) / (float64(s.density) * float64(quantity.StandardGravity)))
	in.Velocity, _ = s.suction.Run.Fastest(in.Flow)
	if capacity, err := s.suction.Capacity(s.ambient, in.Vapour, s.inletMargin, f); err == nil {
		in.Capacity = min(capacity, unlimitedFlow)
	}
	in.RailHot = d.Rail.Above(s.railVapour)
	return in
}

// warnOfInlet tells of fuel that boils, or might, before the pumps and at the rail.
func (s *system) warnOfInlet(a *Assessment, warn warnFunc) {
	sys, in, fuel := a.Build.Job.Units, a.Inlet, a.Build.Fuel
	wanted := a.Build.Policy.InletMargin
	switch {
	case in.Margin < 0 || float64(in.Flow) >= (1-1e-9)*float64(s.drawable):
		warn(true, Boiling, "The fuel boils before the pumps: %s at their inlet, where its vapour pressure at %s is %s. Pumps that draw vapour starve the rail, and the engine goes lean.",
			quantity.Format(in.Pressure, sys), quantity.Format(a.Build.Tank.Temperature, sys), quantity.Format(in.Vapour, sys))
	case in.Margin < wanted:
		warn(false, Boiling, "At the pumps' inlet %s are left over the fuel's vapour pressure at %s where %s are wanted. Hot, winter-grade or aerated fuel starves the pumps sooner.",
			quantity.Format(in.Margin, sys), quantity.Format(a.Build.Tank.Temperature, sys), quantity.Format(wanted, sys))
	}
	if in.RailHot < 0 {
		warn(true, Boiling, "At %s the fuel boils in the rail: its vapour pressure is above the rail's.", quantity.Format(fuel.Temperature, sys))
	}
	if in.Velocity > plumbing.SuctionVelocityHigh {
		warn(false, LineVelocity, "Fuel moves at %s in the suction line; MIL-HDBK-1022, 9.1.1.1, advises no more than %s before a pump.",
			quantity.Format(in.Velocity, sys), quantity.Format(plumbing.SuctionVelocityHigh, sys))
	}
	if s.pumps.surge != nil {
		s.warnOfSurge(a, warn)
	} else if series, ok := s.pumps.rail.(interface {
		Starved(quantity.PressureDiff, pump.Conditions) bool
	}); ok && series.Starved(a.Delivery.PumpRise, s.at(1).drive) {
		warn(false, LiftShort, "The lift pumps bring less than the main pumps could pass, which then draw their inlet down: the lift pumps set the flow.")
	}
}

// warnOfSurge tells how long a surge tank lasts that empties.
func (s *system) warnOfSurge(a *Assessment, warn warnFunc) {
	sys := a.Build.Job.Units
	p, ok := a.Part(LiftPart)
	if !ok || p.Capability >= p.Demand {
		return
	}
	lasts := quantity.Time(float64(s.pumps.surge.Volume) / float64(p.Demand-p.Capability))
	warn(true, LiftShort, "The lift pumps bring %s and %s are taken out of the surge tank: full, it lasts %s at the target, and then the engine goes lean.",
		quantity.Format(p.Capability, sys), quantity.Format(p.Demand, sys), quantity.FormatIn(lasts, quantity.Second))
}
