package sizing

import (
	"math"

	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
)

// Assessment is what a build's fuel system can do at the target. It is made by
// [Assess] and holds quantities in SI; the methods that print take a unit system.
type Assessment struct {
	Build       Build               `json:"build"`    // as assessed, defaults filled in
	Power       quantity.CrankPower `json:"power"`    // the target at the crank
	Manifold    quantity.Pressure   `json:"manifold"` // absolute, at the target
	Demand      Demand              `json:"demand"`
	Delivery    Delivery            `json:"delivery"`
	Injection   Injection           `json:"injection"`
	Idle        Idle                `json:"idle"`
	Parts       []Part              `json:"parts"` // in the order fuel meets them
	Assumptions []Assumption        `json:"assumptions"`
	Warnings    []Warning           `json:"warnings"`
}

// Demand is the fuel that the engine needs at the target.
type Demand struct {
	Band      demand.Band                  `json:"band"`      // of consumption, for the power route
	Routes    demand.Routes                `json:"routes"`    // by each route
	Governing demand.Route                 `json:"governing"` // the route that sizes the system
	Spread    quantity.Ratio               `json:"spread"`    // of the highest route over the lowest
	Needed    quantity.MassFlow            `json:"needed"`    // by the governing route
	Total     quantity.MassFlow            `json:"total"`     // allowance included: what the parts must carry
	Volume    quantity.VolumeFlow          `json:"volume"`    // Total at the rail
	BSFC      quantity.SpecificConsumption `json:"bsfc"`      // Needed over power
	Air       quantity.MassFlow            `json:"air"`       // drawn by the engine, by the air route
	Density   quantity.Density             `json:"density"`   // of the fuel at the rail
	AFR       quantity.Ratio               `json:"afr"`       // stoichiometric air-fuel ratio of the blend
}

// Injection is what each injector has to do at the target and what it can do,
// the rail at its set pressure.
type Injection struct {
	PerInjector  quantity.MassFlow     `json:"per_injector"`  // fuel each must deliver
	PerPulse     quantity.Mass         `json:"per_pulse"`     // the same per opening
	Interval     quantity.Time         `json:"interval"`      // between openings
	Differential quantity.PressureDiff `json:"differential"`  // rail over manifold
	Static       quantity.MassFlow     `json:"static"`        // flow of one held open on this fuel
	StaticVolume quantity.VolumeFlow   `json:"static_volume"` // the same by volume
	StaticNeeded quantity.MassFlow     `json:"static_needed"` // least static flow that meets the demand within the duty, dead time counted; 0 where dead time leaves no time
	RuleOfThumb  quantity.MassFlow     `json:"rule_of_thumb"` // the same with the dead time left out, as is common practice
	DeadTime     quantity.Time         `json:"dead_time"`
	Pulse        quantity.Time         `json:"pulse"` // of the weakest injector, dead time counted; 0 where nothing flows
	Duty         quantity.Ratio        `json:"duty"`  // Pulse over Interval; above 1 the demand cannot be met
}

// Idle is the injectors' pulse at idle, where too large an injector is a fault.
type Idle struct {
	Fuel  quantity.MassFlow `json:"fuel"`  // of the whole engine, by the air route at lambda 1
	Pulse quantity.Time     `json:"pulse"` // dead time counted
}

// Assess finds what b's fuel system can do. The error is a [*BuildError] where b
// is not valid; a system that falls short is a result, not an error.
func Assess(b Build) (*Assessment, error) {
	if err := b.Validate(); err != nil {
		return nil, err
	}
	b, assumptions := b.withDefaults()
	a := &Assessment{
		Build: b, Power: b.CrankPower(),
		Manifold:    b.Induction.Boost.Above(b.Induction.Barometer),
		Assumptions: assumptions,
	}
	a.Demand = b.demand()
	s, err := newSystem(b, a.Demand.Total)
	if err != nil {
		return nil, err
	}
	a.Delivery = s.deliver()
	a.Injection = s.injection()
	a.Idle = s.idle(b)
	a.Parts = s.parts(b, a)
	a.Warnings = s.warnings(a)
	return a, nil
}

// demand finds the fuel that b needs at the target.
func (b Build) demand() Demand {
	routes, band := b.routes()
	needed, governing := routes.By(b.Policy.Route)
	total := quantity.MassFlow(float64(needed) * (1 + float64(b.Target.Allowance)))
	density := b.Fuel.Blend.Density(b.Fuel.Temperature)
	return Demand{
		Band: band, Routes: routes, Governing: governing, Spread: routes.Spread(),
		Needed: needed, Total: total, Volume: total.Volume(density),
		BSFC:    quantity.SpecificConsumption(float64(needed) / float64(b.CrankPower())),
		Air:     b.airFlow(),
		Density: density, AFR: b.Fuel.Blend.StoichiometricAFR(),
	}
}

// injection says what each injector has to do at the target.
func (s *system) injection() Injection {
	p := s.at(1)
	rail := s.rail(p)
	each := quantity.MassFlow(float64(p.fuel) / float64(s.count))
	pulse := quantity.Mass(float64(each) * float64(s.interval))
	static := s.static(rail, p.manifold)
	width := s.inj.Pulse(pulse, static, s.volts)
	nominal := s.inj.Rating.Flow(s.density, rail.Above(p.manifold))
	return Injection{
		PerInjector: each, PerPulse: pulse, Interval: s.interval,
		Differential: rail.Above(p.manifold),
		Static:       nominal, StaticVolume: nominal.Volume(s.density),
		StaticNeeded: orZero(injector.StaticFlowNeededOpen(p.fuel, s.count, s.maxDuty, s.interval, s.dead())),
		RuleOfThumb:  injector.StaticFlowNeeded(p.fuel, s.count, s.maxDuty),
		DeadTime:     s.dead(),
		Pulse:        orZero(width), Duty: orZero(injector.Duty(width, s.interval)),
	}
}

// orZero returns q, or zero where it is infinite: where nothing can flow.
func orZero[Q quantity.Quantity](q Q) Q {
	if math.IsInf(float64(q), 0) {
		return 0
	}
	return q
}

// idle finds the pulse at idle: fuel for the air the engine draws there, at the
// idle speed and manifold pressure, the mixture stoichiometric, the charge at the
// full-load temperature.
func (s *system) idle(b Build) Idle {
	breathing := b.breathing()
	breathing.VolumetricEfficiency = idleVolumetricEfficiency
	air := breathing.AirFlow(b.Engine.IdleSpeed, b.Engine.IdlePressure, b.Induction.ChargeTemperature)
	fuel := demand.FuelForAir(b.Fuel.Blend, air, 1)
	p := point{fuel: fuel, flow: fuel.Volume(s.density), manifold: b.Engine.IdlePressure, setpoint: s.reg.Setpoint(b.Engine.IdlePressure, s.ambient)}
	interval := b.injectionInterval(b.Engine.IdleSpeed)
	each := quantity.Mass(float64(fuel) / float64(s.count) * float64(interval))
	static := s.inj.Rating.Flow(s.density, s.rail(p).Above(p.manifold))
	return Idle{Fuel: fuel, Pulse: orZero(s.inj.Pulse(each, s.inj.Strongest(static), s.volts))}
}

// idleVolumetricEfficiency, by manifold density, is lower than at full load since
// exhaust at ambient pressure stays behind: common practice, no source.
const idleVolumetricEfficiency quantity.Ratio = 0.6
