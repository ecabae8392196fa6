package sizing

import (
	"math"

	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/pump"
	"example.com/railbook/sizing/quantity"
)

// system is a build made ready to compute with: its stages, and the demand at the
// target.
type system struct {
	*hardware
	*liquid
	*breath
	*aim
	engine   quantity.MassFlow     // demand that moves with power: allowance included, credit taken off
	injected quantity.MassFlow     // added demand through the injectors, at any power
	nozzle   quantity.MassFlow     // added demand from the rail past the injectors, at any power
	liftRise quantity.PressureDiff // over lift pumps that fill a surge tank
	drawable quantity.VolumeFlow   // out of the tank before the fuel boils at the pumps' inlet
}

// newSystem makes a system of a build whose defaults are filled in and which is valid,
// and finds its demand at the target. Stages that are there already are taken as they
// are; those that are nil are made.
func newSystem(b *Build, h *hardware, l *liquid, br *breath, t *aim) (system, Demand, error) {
	if h == nil {
		var err error
		if h, err = b.hardware(); err != nil {
			return system{}, Demand{}, err
		}
	}
	if l == nil {
		l = b.liquid()
	}
	if br == nil {
		br = b.breath()
	}
	if t == nil {
		t = b.aim()
	}
	s, d := join(h, l, br, t)
	return s, d, nil
}

// join makes a system of its stages, and finds its demand at the target.
func join(h *hardware, l *liquid, br *breath, t *aim) (system, Demand) {
	s := system{hardware: h, liquid: l, breath: br, aim: t}
	d := s.demand()
	s.engine = d.engine()
	s.injected = d.Added.Circuit.Injectors
	s.nozzle = d.Added.Circuit.Pumps - d.Added.Circuit.Injectors
	s.settle()
	return s, d
}

// sets returns the injectors, the second set behind the first where there is one.
func (b *Build) sets() ([]set, error) {
	dead, err := b.deadTime(0)
	if err != nil {
		return nil, err
	}
	list := []set{{injector.Injector{
		Part: b.Injectors.Part, Rating: b.Injectors.Flow, DeadTime: dead, LowPulse: b.Injectors.LowPulse,
		MinimumPulse: b.Injectors.MinimumPulse, Spread: b.Injectors.Spread, Coil: b.Injectors.Coil,
	}, b.Injectors.Count}}
	if b.Secondary == nil {
		return list, nil
	}
	if dead, err = b.deadTime(1); err != nil {
		return nil, err
	}
	return append(list, set{injector.Injector{
		Part: b.Secondary.Part, Rating: b.Secondary.Flow, DeadTime: dead, Spread: b.Secondary.Spread,
	}, b.Secondary.Count}), nil
}

// injectorVoltage is the voltage at the injectors: what their wiring leaves of the
// supply with all of the first set at the largest duty allowed, or what the build
// states.
func (b *Build) injectorVoltage(first set, interval quantity.Time) quantity.Voltage {
	if b.Injectors.Wiring == nil {
		return b.Electrical.Voltage
	}
	open := quantity.Time(float64(b.Policy.MaxDuty) * float64(interval))
	state, err := b.Injectors.Wiring.circuit().Feed(b.Electrical.Supply, func(v quantity.Voltage) quantity.Current {
		return quantity.Current(float64(first.count) * float64(first.Coil.Average(v, open, interval)))
	})
	if err != nil {
		return 0
	}
	return state.Voltage
}

// injectionInterval is the time between two openings of one injector.
func (b *Build) injectionInterval(speed quantity.AngularSpeed) quantity.Time {
	return injector.Interval(speed, b.Engine.Strokes, b.Injectors.Firing.Injections(b.Engine.Strokes))
}

// point is an operating point: the target, another power, or idle.
type point struct {
	injected quantity.MassFlow   // through the injectors
	carried  quantity.MassFlow   // through pumps and line
	flow     quantity.VolumeFlow // the same by volume at the rail
	manifold quantity.Pressure
	setpoint quantity.Pressure // absolute, where the regulator sits, as it returns no more than it is set at
	drive    pump.Conditions
}

// at returns the operating point at the share x of the target power, the speed
// unchanged.
func (s *system) at(x float64) point {
	m := s.manifold
	if s.boosted {
		m = quantity.Pressure(x * float64(m))
	}
	return s.pointOf(quantity.MassFlow(x*float64(s.engine))+s.injected, s.nozzle, m, s.speed)
}

// pointOf is the point at which the injectors pass one flow and a nozzle on the
// rail another.
func (s *system) pointOf(injected, nozzle quantity.MassFlow, manifold quantity.Pressure, speed quantity.AngularSpeed) point {
	carried := injected + nozzle
	return point{
		injected: injected, carried: carried, flow: s.volume(carried),
		manifold: manifold, setpoint: s.reg.Setpoint(manifold, s.ambient),
		drive: pump.Conditions{Voltage: s.supply, Speed: speed},
	}
}

// stream is the fuel at a flow, in the accelerating vehicle.
func (s *system) stream(q quantity.VolumeFlow) plumbing.Stream {
	return plumbing.Stream{Flow: q, Density: s.density, Viscosity: s.visc, Acceleration: s.accel}
}

// volume is a flow by volume at the rail.
func (l *liquid) volume(m quantity.MassFlow) quantity.VolumeFlow {
	return quantity.VolumeFlow(float64(m) * l.specific)
}

// lineLoss is the pressure lost between pump and rail, filter included.
func (s *system) lineLoss(q quantity.VolumeFlow) quantity.PressureDiff {
	return s.feed.Drop(s.stream(q))
}

// static returns the flow of the weakest injector of a set held open at a
// differential pressure.
func (s *system) static(i set, dp quantity.PressureDiff) quantity.MassFlow {
	return i.Weakest(i.Rating.Flow(s.density, dp))
}

// injectable returns the most fuel that the injectors pass at p within a duty,
// with the rail as the regulator has it and every injector as weak as the weakest.
func (s *system) injectable(p point, duty quantity.Ratio) quantity.MassFlow {
	return s.passed(s.differential(p), duty)
}

// passed is what the injectors pass within a duty under a differential pressure.
func (s *system) passed(dp quantity.PressureDiff, duty quantity.Ratio) quantity.MassFlow {
	open := quantity.Time(float64(duty) * float64(s.interval))
	var sum quantity.MassFlow
	for k := range s.sets {
		i := &s.sets[k]
		each := i.FuelAt(open, s.static(*i, dp), s.volts, dp)
		sum += quantity.MassFlow(float64(i.count) * float64(each) / float64(s.interval))
	}
	return sum
}

// meter is what the first set of injectors does under a differential pressure, whatever
// is asked of it.
type meter struct {
	differential quantity.PressureDiff
	dead         quantity.Time
	perFlow      float64 // net open time over the flow of the whole set, the weakest injector's; +Inf where none flows
}

func (s *system) meter(dp quantity.PressureDiff) meter {
	first := s.sets[0]
	m := meter{differential: dp, dead: s.dead(first, dp), perFlow: math.Inf(1)}
	if static := s.static(first, dp); static > 0 {
		m.perFlow = float64(s.interval) / (float64(first.count) * float64(static))
	}
	return m
}

// pulse is the pulse width at which the set passes a flow.
func (m meter) pulse(short injector.LowPulse, flow quantity.MassFlow) quantity.Time {
	// The conversion keeps processors that could from joining both operations.
	return short.Open(quantity.Time(float64(float64(flow)*m.perFlow))) + m.dead
}

// dead is the dead time of a set at a differential pressure.
func (s *system) dead(i set, dp quantity.PressureDiff) quantity.Time {
	return i.DeadTime.AtPressure(s.volts, dp)
}

// injectorCount counts the injectors of all sets.
func (b *Build) injectorCount() int {
	if b.Secondary == nil {
		return b.Injectors.Count
	}
	return b.Injectors.Count + b.Secondary.Count
}

// orZero returns q, or zero where it is not finite: where nothing can flow.
func orZero[Q quantity.Quantity](q Q) Q {
	if math.IsInf(float64(q), 0) || math.IsNaN(float64(q)) {
		return 0
	}
	return q
}
