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
	Added     Added                        `json:"added"`     // on top of it, or credited against it
	Injected  quantity.MassFlow            `json:"injected"`  // allowance and added demand included: through the injectors
	Total     quantity.MassFlow            `json:"total"`     // the same through pumps and line, where a nozzle on the rail may add to it
	Volume    quantity.VolumeFlow          `json:"volume"`    // Total at the rail
	BSFC      quantity.SpecificConsumption `json:"bsfc"`      // Needed over power
	Air       quantity.MassFlow            `json:"air"`       // drawn by the engine, by the air route
	Density   quantity.Density             `json:"density"`   // of the fuel at the rail
	AFR       quantity.Ratio               `json:"afr"`       // stoichiometric air-fuel ratio of the blend

	allowance quantity.Ratio
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
	Secondary    *SecondSet            `json:"secondary,omitempty"` // nil without a second set; the numbers above are then the first set's
	Pulse        quantity.Time         `json:"pulse"`               // of the weakest injector, dead time counted; 0 where nothing flows
	Duty         quantity.Ratio        `json:"duty"`                // Pulse over Interval; above 1 the demand cannot be met
}

// SecondSet is what each injector of the second set does at the target.
type SecondSet struct {
	PerInjector  quantity.MassFlow   `json:"per_injector"`
	Static       quantity.MassFlow   `json:"static"`
	StaticVolume quantity.VolumeFlow `json:"static_volume"`
	Pulse        quantity.Time       `json:"pulse"` // 0 where the set does not open
	Duty         quantity.Ratio      `json:"duty"`
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
		Manifold:    b.manifold(),
		Assumptions: assumptions,
	}
	a.Demand = b.demand()
	s, err := newSystem(b, a.Demand)
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
	air := b.airFlow()
	routes, band := b.routes(air)
	needed, governing := routes.By(b.Policy.Route)
	d := Demand{
		Band: band, Routes: routes, Governing: governing, Spread: routes.Spread(), Needed: needed,
		allowance: b.Target.Allowance,
		Added:     b.added(needed),
		BSFC:      quantity.SpecificConsumption(float64(needed) / float64(b.CrankPower())),
		Air:       air,
		Density:   b.Fuel.Blend.Density(b.Fuel.Temperature),
		AFR:       b.Fuel.Blend.StoichiometricAFR(),
	}
	d.Injected = d.engine() + d.Added.Circuit.Injectors
	d.Total = d.engine() + d.Added.Circuit.Pumps
	d.Volume = d.Total.Volume(d.Density)
	return d
}

// engine is the demand that moves with power.
func (d Demand) engine() quantity.MassFlow {
	return quantity.MassFlow(float64(d.Needed-d.Added.Credited) * (1 + float64(d.allowance)))
}

// injection says what each injector has to do at the target.
func (s *system) injection() Injection {
	p := s.at(1)
	rail, first := s.rail(p), s.sets[0]
	share := s.shares(p, rail)
	each := quantity.MassFlow(float64(share.Primary.Flow) / float64(first.count))
	nominal := first.Rating.Flow(s.density, rail.Above(p.manifold))
	in := Injection{
		PerInjector: each, PerPulse: quantity.Mass(float64(each) * float64(s.interval)), Interval: s.interval,
		Differential: rail.Above(p.manifold),
		Static:       nominal, StaticVolume: nominal.Volume(s.density),
		StaticNeeded: orZero(injector.StaticFlowNeededOpen(p.injected, s.count, s.maxDuty, s.interval, s.dead(first))),
		RuleOfThumb:  injector.StaticFlowNeeded(p.injected, s.count, s.maxDuty),
		DeadTime:     s.dead(first),
		Pulse:        orZero(share.Primary.Pulse), Duty: orZero(share.Primary.Duty),
	}
	if len(s.sets) > 1 {
		second := s.sets[1]
		nominal := second.Rating.Flow(s.density, rail.Above(p.manifold))
		in.Secondary = &SecondSet{
			PerInjector: quantity.MassFlow(float64(share.Secondary.Flow) / float64(second.count)),
			Static:      nominal, StaticVolume: nominal.Volume(s.density),
			Pulse: orZero(share.Secondary.Pulse), Duty: orZero(share.Secondary.Duty),
		}
	}
	return in
}

// shares says how the sets share what is injected at p. Where they are too small
// for it within the duty allowed, the duties are those that it would take.
func (s *system) shares(p point, rail quantity.Pressure) demand.StagedDemand {
	first := s.sets[0]
	if len(s.sets) == 1 {
		each := quantity.Mass(float64(p.injected) / float64(first.count) * float64(s.interval))
		width := first.Pulse(each, s.static(first, rail, p.manifold), s.volts)
		return demand.StagedDemand{Primary: demand.SetDemand{Flow: p.injected, Pulse: width, Duty: injector.Duty(width, s.interval)}}
	}
	staged := s.staging
	for i, to := range []*demand.InjectorSet{&staged.Primary, &staged.Secondary} {
		*to = demand.InjectorSet{Static: s.static(s.sets[i], rail, p.manifold), Count: s.sets[i].count, Dead: s.dead(s.sets[i])}
	}
	share := staged.At(p.injected)
	if share.Short > 0 {
		staged.MaxDuty = unboundedDuty
		share = staged.At(p.injected)
	}
	return share
}

// unboundedDuty is beyond any duty that a demand could ask for.
const unboundedDuty quantity.Ratio = 1000

// orZero returns q, or zero where it is infinite: where nothing can flow.
func orZero[Q quantity.Quantity](q Q) Q {
	if math.IsInf(float64(q), 0) {
		return 0
	}
	return q
}

// idle finds the pulse at idle: fuel for the air the engine draws there, at the
// idle speed and manifold pressure, the mixture stoichiometric. A second set of
// injectors is at rest.
func (s *system) idle(b Build) Idle {
	breathing := b.breathing()
	breathing.VolumetricEfficiency = idleVolumetricEfficiency
	air := breathing.AirFlow(b.Engine.IdleSpeed, b.Engine.IdlePressure, b.idleChargeTemperature())
	fuel := demand.FuelForAir(b.Fuel.Blend, air, 1)
	p, first := s.pointOf(fuel, 0, b.Engine.IdlePressure), s.sets[0]
	interval := b.injectionInterval(b.Engine.IdleSpeed)
	each := quantity.Mass(float64(fuel) / float64(first.count) * float64(interval))
	static := first.Rating.Flow(s.density, s.rail(p).Above(p.manifold))
	return Idle{Fuel: fuel, Pulse: orZero(first.Pulse(each, first.Strongest(static), s.volts))}
}

// idleChargeTemperature is that of the ambient air where the compressor is
// described, which idles too, and else that of full load.
func (b Build) idleChargeTemperature() quantity.Temperature {
	if b.Induction.ChargeTemperature == 0 {
		return b.ambient().Temperature
	}
	return b.Induction.ChargeTemperature
}

// idleVolumetricEfficiency, by manifold density, is lower than at full load since
// exhaust at ambient pressure stays behind: common practice, no source.
const idleVolumetricEfficiency quantity.Ratio = 0.6
