package sizing

import (
	"cmp"
	"slices"

	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/internal/root"
	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/pump"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

// Hardware makes the pump that the entry describes, its curves in order of
// voltage. The error says what is wrong with a curve.
func (p Pump) Hardware() (pump.Pump, error) {
	h := pump.Pump{Part: p.Part, Count: p.Count, Derate: p.Wear, Relief: p.Relief}
	for _, c := range p.Curves {
		curve, err := pump.NewCurve(c.Points, c.Voltage)
		if err != nil {
			return pump.Pump{}, err
		}
		h.Curves = append(h.Curves, curve)
	}
	slices.SortStableFunc(h.Curves, func(a, b pump.Curve) int { return cmp.Compare(a.Voltage(), b.Voltage()) })
	return h, h.Validate()
}

// Line makes the line that the entry describes, without its filter.
func (l FeedLine) Line() plumbing.Line {
	return plumbing.Line{Bore: l.Bore, Length: l.Length, Roughness: l.Roughness, LossCoefficient: l.LossCoefficient, Rise: l.Rise}
}

// system is a build made ready to compute with: parts as hardware, the fuel's
// properties at the rail, and the demand at the target.
type system struct {
	pumps    []pump.Pump
	line     plumbing.Line
	filter   plumbing.Filter
	reg      regulator.Regulator
	sets     []set         // of injectors; the first works at every load
	count    int           // of injectors in all sets
	staging  demand.Staged // how two sets share, without the sets themselves
	interval quantity.Time // between two openings of one injector
	maxDuty  quantity.Ratio
	volts    quantity.Voltage // at the injectors
	pumpV    quantity.Voltage
	ambient  quantity.Pressure
	manifold quantity.Pressure // at the target
	boosted  bool
	density  quantity.Density
	visc     quantity.Viscosity
	power    quantity.CrankPower // the target
	engine   quantity.MassFlow   // demand that moves with power: allowance included, credit taken off
	injected quantity.MassFlow   // added demand through the injectors, at any power
	nozzle   quantity.MassFlow   // added demand from the rail past the injectors, at any power
}

// set is a number of like injectors.
type set struct {
	injector.Injector
	count int
}

// newSystem makes a system of a build whose defaults are filled in and which is
// valid; d is its demand at the target.
func newSystem(b Build, d Demand) (*system, error) {
	s := &system{
		line:   b.FeedLine.Line(),
		filter: b.FeedLine.Filter,
		reg: regulator.Regulator{
			Kind: b.Regulator.Kind, BasePressure: b.Regulator.BasePressure,
			RisingRate: b.Regulator.Rise, MaxReturn: b.Regulator.MaxReturn,
		},
		count:    b.injectorCount(),
		interval: b.injectionInterval(b.Engine.Speed),
		maxDuty:  b.Policy.MaxDuty,
		volts:    b.Electrical.Voltage,
		pumpV:    b.Electrical.PumpVoltage,
		ambient:  b.ambient().Pressure,
		manifold: b.manifold(),
		boosted:  b.Induction.Kind.Boosted(),
		density:  b.Fuel.Blend.Density(b.Fuel.Temperature),
		visc:     b.Fuel.Blend.Viscosity(b.Fuel.Temperature),
		power:    b.CrankPower(),
		engine:   d.engine(),
		injected: d.Added.Circuit.Injectors,
		nozzle:   d.Added.Circuit.Pumps - d.Added.Circuit.Injectors,
	}
	var err error
	if s.sets, err = b.sets(); err != nil {
		return nil, err
	}
	if second := b.Secondary; second != nil {
		s.staging = demand.Staged{Interval: s.interval, Start: second.Start, MaxDuty: s.maxDuty, Staging: second.Staging}
	}
	for _, p := range b.Pumps {
		h, err := p.Hardware()
		if err != nil {
			return nil, err
		}
		s.pumps = append(s.pumps, h)
	}
	return s, nil
}

// sets returns the injectors, the second set behind the first where there is one.
func (b Build) sets() ([]set, error) {
	dead, err := injector.NewDeadTime(b.Injectors.DeadTime...)
	if err != nil {
		return nil, err
	}
	list := []set{{injector.Injector{
		Part: b.Injectors.Part, Rating: b.Injectors.Flow, DeadTime: dead,
		MinimumPulse: b.Injectors.MinimumPulse, Spread: b.Injectors.Spread,
	}, b.Injectors.Count}}
	if b.Secondary == nil {
		return list, nil
	}
	if dead, err = injector.NewDeadTime(b.Secondary.DeadTime...); err != nil {
		return nil, err
	}
	return append(list, set{injector.Injector{
		Part: b.Secondary.Part, Rating: b.Secondary.Flow, DeadTime: dead, Spread: b.Secondary.Spread,
	}, b.Secondary.Count}), nil
}

// injectionInterval is the time between two openings of one injector.
func (b Build) injectionInterval(speed quantity.AngularSpeed) quantity.Time {
	return injector.Interval(speed, b.Engine.Strokes, b.Injectors.Firing.Injections(b.Engine.Strokes))
}

// routes finds the fuel demand at the target by each route, the last from the air
// that the engine draws.
func (b Build) routes(air quantity.MassFlow) (demand.Routes, demand.Band) {
	band := demand.BSFC(b.Induction.Kind, b.Fuel.Blend)
	if b.Fuel.BSFC != 0 {
		band = demand.Band{Low: b.Fuel.BSFC, High: b.Fuel.BSFC}
	}
	power := b.CrankPower()
	return demand.Routes{
		Power:  band.At(b.Policy.Band).Flow(power),
		Energy: demand.EnergyBSFC(b.Fuel.Blend, b.Engine.BrakeEfficiency, b.Target.Lambda).Flow(power),
		Air:    demand.FuelForAir(b.Fuel.Blend, air, b.Target.Lambda),
	}, band
}

// point is the operating point at a power other than the target.
type point struct {
	injected quantity.MassFlow   // through the injectors
	carried  quantity.MassFlow   // through pumps and line
	flow     quantity.VolumeFlow // the same by volume at the rail
	manifold quantity.Pressure
	setpoint quantity.Pressure // absolute, where the regulator sits
}

// at returns the operating point at the share x of the target power.
func (s *system) at(x float64) point {
	m := s.manifold
	if s.boosted {
		m = quantity.Pressure(x * float64(m))
	}
	return s.pointOf(quantity.MassFlow(x*float64(s.engine))+s.injected, s.nozzle, m)
}

// pointOf is the point at which the injectors pass one flow and a nozzle on the
// rail another.
func (s *system) pointOf(injected, nozzle quantity.MassFlow, manifold quantity.Pressure) point {
	carried := injected + nozzle
	return point{
		injected: injected, carried: carried, flow: carried.Volume(s.density),
		manifold: manifold, setpoint: s.reg.Setpoint(manifold, s.ambient),
	}
}

// rail returns the rail pressure at p as long as the regulator is in control.
func (s *system) rail(p point) quantity.Pressure {
	if s.reg.Kind.AtRail() {
		return p.setpoint
	}
	return p.setpoint.Plus(-s.lineLoss(p.flow))
}

// lineLoss is the pressure lost between pump and rail, filter included.
func (s *system) lineLoss(q quantity.VolumeFlow) quantity.PressureDiff {
	return s.line.Drop(q, s.density, s.visc) + s.filter.Loss(q)
}

// supply is what the pumps bring against an outlet pressure.
func (s *system) supply(outlet quantity.Pressure) quantity.VolumeFlow {
	var sum quantity.VolumeFlow
	for _, p := range s.pumps {
		sum += p.Flow(outlet.Above(s.ambient), s.pumpV)
	}
	return sum
}

// reach returns the flow at which the pumps' supply and the line's loss meet at
// the given rail pressure: the most that can come to the rail.
func (s *system) reach(rail quantity.Pressure) quantity.VolumeFlow {
	excess := func(q float64) float64 {
		outlet := rail.Plus(s.lineLoss(quantity.VolumeFlow(q)))
		return float64(s.supply(outlet)) - q
	}
	most := float64(s.supply(rail.Plus(s.lineLoss(0))))
	if most <= 0 {
		return 0
	}
	// excess is most at no flow and at most zero at that flow, and it falls.
	q, err := root.Find(excess, 0, most, flowTolerance)
	if err != nil {
		return 0
	}
	return quantity.VolumeFlow(q)
}

// flowTolerance in m³/s is 0.004 mL/h, far below what any part resolves;
// pressureTolerance is in pascals.
const (
	flowTolerance     = 1e-12
	pressureTolerance = 1e-3
)

// carried returns the most fuel by volume that the pumps bring to the rail while
// the regulator still holds its set point.
func (s *system) carried(p point) quantity.VolumeFlow {
	if s.reg.Kind.AtRail() {
		return s.reach(p.setpoint)
	}
	return s.supply(p.setpoint)
}

// static returns the flow of the weakest injector of a set held open at a rail
// pressure.
func (s *system) static(i set, rail, manifold quantity.Pressure) quantity.MassFlow {
	return i.Weakest(i.Rating.Flow(s.density, rail.Above(manifold)))
}

// injectable returns the most fuel that the injectors pass at p within a duty,
// the rail at its set pressure and every injector as weak as the weakest.
func (s *system) injectable(p point, duty quantity.Ratio) quantity.MassFlow {
	rail := s.rail(p)
	var sum quantity.MassFlow
	for _, i := range s.sets {
		sum += injector.Delivered(s.static(i, rail, p.manifold), i.count, duty, s.interval, s.dead(i))
	}
	return sum
}

func (s *system) dead(i set) quantity.Time { return i.DeadTime.At(s.volts) }

// injectorCount counts the injectors of all sets.
func (b Build) injectorCount() int {
	if b.Secondary == nil {
		return b.Injectors.Count
	}
	return b.Injectors.Count + b.Secondary.Count
}
