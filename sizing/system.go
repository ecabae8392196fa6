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

// hardware makes the pump that the entry describes, its curves in order of
// voltage.
func (p Pump) hardware() (pump.Pump, error) {
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

// system is a build made ready to compute with: parts as hardware, the fuel's
// properties at the rail, and the demand at the target.
type system struct {
	pumps    []pump.Pump
	line     plumbing.Line
	filter   plumbing.Filter
	reg      regulator.Regulator
	inj      injector.Injector
	count    int
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
	demand   quantity.MassFlow   // at the target, allowance included
}

// newSystem makes a system of a build whose defaults are filled in and which is
// valid; need is its demand at the target.
func newSystem(b Build, need quantity.MassFlow) (*system, error) {
	s := &system{
		line: plumbing.Line{
			Bore: b.FeedLine.Bore, Length: b.FeedLine.Length, Roughness: b.FeedLine.Roughness,
			LossCoefficient: b.FeedLine.LossCoefficient, Rise: b.FeedLine.Rise,
		},
		filter: b.FeedLine.Filter,
		reg: regulator.Regulator{
			Kind: b.Regulator.Kind, BasePressure: b.Regulator.BasePressure,
			RisingRate: b.Regulator.Rise, MaxReturn: b.Regulator.MaxReturn,
		},
		count:    b.Injectors.Count,
		interval: b.injectionInterval(b.Engine.Speed),
		maxDuty:  b.Policy.MaxDuty,
		volts:    b.Electrical.Voltage,
		pumpV:    b.Electrical.PumpVoltage,
		ambient:  b.Induction.Barometer,
		manifold: b.Induction.Boost.Above(b.Induction.Barometer),
		boosted:  b.Induction.Kind.Boosted(),
		density:  b.Fuel.Blend.Density(b.Fuel.Temperature),
		visc:     b.Fuel.Blend.Viscosity(b.Fuel.Temperature),
		power:    b.CrankPower(),
		demand:   need,
	}
	var err error
	if s.inj, err = b.injector(); err != nil {
		return nil, err
	}
	for _, p := range b.Pumps {
		h, err := p.hardware()
		if err != nil {
			return nil, err
		}
		s.pumps = append(s.pumps, h)
	}
	return s, nil
}

func (b Build) injector() (injector.Injector, error) {
	dead, err := injector.NewDeadTime(b.Injectors.DeadTime...)
	return injector.Injector{
		Part: b.Injectors.Part, Rating: b.Injectors.Flow, DeadTime: dead,
		MinimumPulse: b.Injectors.MinimumPulse, Spread: b.Injectors.Spread,
	}, err
}

// injectionInterval is the time between two openings of one injector.
func (b Build) injectionInterval(speed quantity.AngularSpeed) quantity.Time {
	return injector.Interval(speed, b.Engine.Strokes, b.Injectors.Firing.Injections(b.Engine.Strokes))
}

// CrankPower returns the target as power at the crank.
func (b Build) CrankPower() quantity.CrankPower {
	switch t := b.Target; {
	case t.WheelPower != 0:
		return t.WheelPower.Crank(t.DrivetrainLoss)
	case t.Torque != 0:
		return t.Torque.Power(b.Engine.Speed)
	default:
		return t.Power
	}
}

// routes finds the fuel demand at the target by each route.
func (b Build) routes() (demand.Routes, demand.Band) {
	band := demand.BSFC(b.Induction.Kind, b.Fuel.Blend)
	if b.Fuel.BSFC != 0 {
		band = demand.Band{Low: b.Fuel.BSFC, High: b.Fuel.BSFC}
	}
	power := b.CrankPower()
	air := b.airFlow()
	return demand.Routes{
		Power:  band.At(b.Policy.Band).Flow(power),
		Energy: demand.EnergyBSFC(b.Fuel.Blend, b.Engine.BrakeEfficiency, b.Target.Lambda).Flow(power),
		Air:    demand.FuelForAir(b.Fuel.Blend, air, b.Target.Lambda),
	}, band
}

func (b Build) breathing() demand.Breathing {
	return demand.Breathing{Displacement: b.Engine.Displacement, Strokes: b.Engine.Strokes, VolumetricEfficiency: b.Engine.VolumetricEfficiency}
}

func (b Build) airFlow() quantity.MassFlow {
	return b.breathing().AirFlow(b.Engine.Speed, b.Induction.Boost.Above(b.Induction.Barometer), b.Induction.ChargeTemperature)
}

// point is the operating point at a power other than the target.
type point struct {
	fuel     quantity.MassFlow
	flow     quantity.VolumeFlow // the same fuel by volume at the rail
	manifold quantity.Pressure
	setpoint quantity.Pressure // absolute, where the regulator sits
}

// at returns the operating point at the share x of the target power.
func (s *system) at(x float64) point {
	m := s.manifold
	if s.boosted {
		m = quantity.Pressure(x * float64(m))
	}
	f := quantity.MassFlow(x * float64(s.demand))
	return point{fuel: f, flow: f.Volume(s.density), manifold: m, setpoint: s.reg.Setpoint(m, s.ambient)}
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

// static returns the flow of the weakest injector held open at a rail pressure.
func (s *system) static(rail, manifold quantity.Pressure) quantity.MassFlow {
	return s.inj.Weakest(s.inj.Rating.Flow(s.density, rail.Above(manifold)))
}

// injectable returns the most fuel that the injectors pass at p within a duty,
// the rail at its set pressure and every injector as weak as the weakest.
func (s *system) injectable(p point, duty quantity.Ratio) quantity.MassFlow {
	return injector.Delivered(s.static(s.rail(p), p.manifold), s.count, duty, s.interval, s.dead())
}

func (s *system) dead() quantity.Time { return s.inj.DeadTime.At(s.volts) }
