package sizing

import (
	"fmt"
	"math"

	"example.com/railbook/sizing/internal/root"
	"example.com/railbook/sizing/pump"
	"example.com/railbook/sizing/quantity"
)

// unit is the pumps of one entry of the sheet, at the voltage that reaches them.
type unit struct {
	role     Role
	source   pump.Supply    // the pumps themselves: electric, or driven by the engine
	electric *pump.Electric // nil for engine-driven ones
	// terminals is the voltage of electric pumps that have no wiring; zero for
	// those that have some, which work from the supply.
	terminals quantity.Voltage
}

// at returns the conditions that the unit works in.
func (u *unit) at(c pump.Conditions) pump.Conditions {
	if u.terminals != 0 {
		c.Voltage = u.terminals
	}
	return c
}

func (u *unit) Flow(dp quantity.PressureDiff, c pump.Conditions) quantity.VolumeFlow {
	return u.source.Flow(dp, u.at(c))
}

func (u *unit) Current(dp quantity.PressureDiff, c pump.Conditions) quantity.Current {
	return u.source.Current(dp, u.at(c))
}

func (u *unit) Power(dp quantity.PressureDiff, c pump.Conditions) quantity.Power {
	return u.source.Power(dp, u.at(c))
}

func (u *unit) Covers(dp quantity.PressureDiff, c pump.Conditions) bool {
	return u.source.Covers(dp, u.at(c))
}

func (u *unit) Validate() error { return u.source.Validate() }

// pumps is the arrangement of all pumps of a build.
type pumps struct {
	units []unit // in the order of the sheet
	main  pump.Supply
	lift  pump.Supply // nil without lift pumps
	rail  pump.Supply // what feeds the rail: main, or lift and main in series
	surge *SurgeTank
}

// pumps makes the arrangement; the error says what is wrong with an entry.
func (b *Build) pumps() (pumps, error) {
	var p pumps
	p.units = make([]unit, len(b.Pumps))
	var main, lift pump.Parallel
	for i, entry := range b.Pumps {
		u := &p.units[i]
		u.role = entry.Role
		if entry.Mechanical != nil {
			one := entry.driven()
			all := make(pump.Parallel, entry.Count)
			for k := range all {
				all[k] = one
			}
			u.source = all
		} else {
			h, err := b.electric(i)
			if err != nil {
				return pumps{}, fmt.Errorf("pumps[%d]: %w", i+1, err)
			}
			u.electric = &pump.Electric{Pump: h, Circuit: entry.Wiring.circuit()}
			u.source = u.electric
			if entry.Wiring == nil {
				u.terminals = b.Electrical.PumpVoltage
			} else {
				u.electric.Shared = entry.Wiring.Feeds == AllOfIt
			}
		}
		if entry.Role == Lift {
			lift = append(lift, u)
		} else {
			main = append(main, u)
		}
	}
	p.main, p.rail = alone(main), alone(main)
	if len(lift) > 0 {
		p.lift = alone(lift)
	}
	if p.surge = b.SurgeTank; p.surge == nil && p.lift != nil {
		p.rail = pump.Series{Lift: p.lift, Main: p.main}
	}
	return p, nil
}

// alone takes the only one out of an arrangement of one.
func alone(p pump.Parallel) pump.Supply {
	if len(p) == 1 {
		return p[0]
	}
	return p
}

// settle finds what can be drawn before the fuel boils at the inlet, and the rise over
// lift pumps that fill a surge tank, at which what they bring and what the suction side
// and the way up lose agree.
func (s *system) settle() {
	s.drawable = unlimitedFlow
	if len(s.suction.Run) > 0 {
		q, err := s.suction.Capacity(s.ambient, s.vapour, 0, s.stream(0))
		if err != nil {
			q = 0
		}
		s.drawable = min(q, unlimitedFlow)
	}
	surge := s.pumps.surge
	if surge == nil {
		return
	}
	s.liftRise = surge.LiftRise
	if len(s.suction.Run) == 0 {
		return
	}
	drive := pump.Conditions{Voltage: s.supply, Speed: s.speed}
	rise := func(q quantity.VolumeFlow) quantity.PressureDiff {
		return surge.LiftRise + s.ambient.Above(s.suction.Inlet(s.ambient, s.stream(q)))
	}
	most := s.pumps.lift.Flow(rise(0), drive)
	over := func(q float64) float64 { return float64(s.pumps.lift.Flow(rise(quantity.VolumeFlow(q)), drive)) - q }
	q := float64(most)
	if over(q) < 0 { // else level, but for rounding
		var err error
		if q, err = root.Find(over, 0, q, flowTolerance); err != nil {
			q = 0
		}
	}
	s.liftRise = rise(quantity.VolumeFlow(q))
}

// mains is the unit of the only entry of main pumps, where a controller slows it.
func (p *pumps) mains() *unit {
	u, _ := p.main.(*unit)
	return u
}

// refill is the flow that the lift pumps bring into the surge tank.
func (s *system) refill(at pump.Conditions) quantity.VolumeFlow {
	return min(s.pumps.lift.Flow(s.liftRise, at), s.drawable)
}

// rises tells the differential pressure over the lift and the main pumps where the
// whole stands against dp.
func (s *system) rises(dp quantity.PressureDiff, at pump.Conditions) (lift, main quantity.PressureDiff) {
	if s.pumps.surge != nil {
		return s.liftRise, dp
	}
	if series, ok := s.pumps.rail.(pump.Series); ok {
		lift, main, _ = series.Split(dp, at)
		return lift, main
	}
	return 0, dp
}

// inlet is the absolute pressure at the inlet of what feeds the rail, as it draws q;
// zero where there is no such flow. A surge tank is vented and stands beside its pumps.
func (s *system) inlet(q quantity.VolumeFlow) quantity.Pressure {
	if s.pumps.surge != nil {
		return s.ambient
	}
	return max(0, s.suction.Inlet(s.ambient, s.stream(q)))
}

// flowTolerance in m³/s is 0.004 mL/h, far below what any part resolves;
// pressureTolerance is in pascals.
const (
	flowTolerance     = 1e-12
	pressureTolerance = 1e-3
)

// reach returns the most that the pumps bring to a point at the given pressure: the
// rail behind the feed line, or where line is false their own outlet. It is the flow
// at which pumps, suction side and feed line agree.
func (s *system) reach(pressure quantity.Pressure, line bool, drive pump.Conditions) quantity.VolumeFlow {
	brought := func(q quantity.VolumeFlow) quantity.VolumeFlow { return s.supplied(pressure, q, line, drive) }
	most := brought(0)
	if most <= 0 {
		return 0
	}
	if !(most < quantity.VolumeFlow(math.Inf(1))) {
		return unlimitedFlow
	}
	// What is brought is most at no flow and falls as the flow rises.
	over := func(q float64) float64 { return float64(brought(quantity.VolumeFlow(q))) - q }
	left := over(float64(most))
	if left >= 0 {
		return most // level: what is lost on the way takes nothing off, but for rounding
	}
	q, err := root.Within(over, 0, float64(most), float64(most), left, flowTolerance)
	if err != nil {
		return 0
	}
	return quantity.VolumeFlow(q)
}

// supplied is what the pumps bring to a pressure, as [system.reach] has it, while
// suction side and line lose what the flow q loses there.
func (s *system) supplied(pressure quantity.Pressure, q quantity.VolumeFlow, line bool, drive pump.Conditions) quantity.VolumeFlow {
	outlet := pressure
	if line {
		outlet = pressure.Plus(s.lineLoss(q))
	}
	flow := s.pumps.rail.Flow(outlet.Above(s.inlet(q)), drive)
	if s.pumps.surge != nil {
		return flow
	}
	return min(flow, s.drawable)
}

// brought returns the most that the pumps bring to where the regulator sits with the
// pressure there at p's set point.
func (s *system) brought(p point) quantity.VolumeFlow {
	return s.reach(p.setpoint, s.regAtRail(), p.drive)
}

// regAtRail reports whether pressure is held at the rail: by a regulator there, or by
// a controller that has its sensor there.
func (s *system) regAtRail() bool { return s.bySpeed || s.reg.Kind.AtRail() }

// rest is the steady state at a point where the pumps bring enough.
type rest struct {
	through  quantity.VolumeFlow // the pumps
	returned quantity.VolumeFlow
	outlet   quantity.Pressure
	rail     quantity.Pressure
	line     quantity.VolumeFlow // through the feed line
}

// rest finds the steady state at p, where the pumps can bring most at the set point; ok
// is false where that is less than what is drawn.
//
// What the regulator returns raises its pressure, by its slope and by what the return
// line needs, and that lowers what the pumps bring, so there is one return flow at
// which both agree.
func (s *system) rest(p point, most quantity.VolumeFlow) (r rest, ok bool) {
	if most < p.flow {
		return rest{}, false
	}
	held := p.setpoint
	switch {
	case s.bySpeed:
	case !s.creeps:
		r.returned = most - p.flow
	default:
		r.returned = s.creep(p, most-p.flow)
		held = s.hold(p, r.returned)
	}
	r.through = p.flow + r.returned
	if s.regAtRail() {
		r.line = r.through
		r.rail, r.outlet = held, held.Plus(s.lineLoss(r.line))
	} else {
		r.line = p.flow
		r.outlet, r.rail = held, max(0, held.Plus(-s.lineLoss(r.line)))
	}
	return r, true
}

// hold is the pressure where the regulator sits as it returns a flow.
func (s *system) hold(p point, returned quantity.VolumeFlow) quantity.Pressure {
	behind := s.back.Upstream(s.ambient, s.stream(returned))
	return s.reg.Hold(p.manifold, s.ambient, behind, returned)
}

// creep finds the return flow, at most as much as most, at which regulator and pumps
// agree.
func (s *system) creep(p point, most quantity.VolumeFlow) quantity.VolumeFlow {
	line := s.regAtRail()
	spare := func(x float64) float64 {
		returned := quantity.VolumeFlow(x)
		q := p.flow + returned
		return float64(s.supplied(s.hold(p, returned), q, line, p.drive) - q)
	}
	found, err := root.Find(spare, 0, float64(most), flowTolerance)
	if err != nil {
		// A return line that is closed at no flow already, or a regulator that holds its
		// set point up to the whole of it.
		if spare(0) <= 0 {
			return 0
		}
		return most
	}
	return quantity.VolumeFlow(found)
}

// differential returns the rail pressure over that in the manifold at p as the
// regulator has it: where the pumps do not bring enough, the one that it is set to.
func (s *system) differential(p point) quantity.PressureDiff {
	if s.creeps {
		if r, ok := s.rest(p, s.brought(p)); ok {
			return r.rail.Above(p.manifold)
		}
	}
	set := s.reg.Differential(p.manifold, s.ambient)
	if s.regAtRail() {
		return set
	}
	return set - s.lineLoss(p.flow)
}
