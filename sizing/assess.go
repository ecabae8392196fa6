package sizing

import (
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
	Inlet       Inlet               `json:"inlet"`
	Loads       Loads               `json:"loads"`
	Warming     *Warming            `json:"warming,omitempty"` // nil where nothing is known to warm the fuel
	Parts       []Part              `json:"parts"`             // in the order fuel meets them
	Assumptions []Assumption        `json:"assumptions"`
	Warnings    []Warning           `json:"warnings"`
}

// Section is a set of the parts of an [Assessment] that hold results.
type Section uint16

const (
	DeliverySection  Section = 1 << iota // Delivery
	InjectionSection                     // Injection
	IdleSection                          // Idle
	InletSection                         // Inlet; finds Delivery too
	LoadsSection                         // Loads; finds Delivery and Injection too
	WarmingSection                       // Warming; finds Delivery, Injection and Loads too
	MarginsSection                       // Parts without Limit and Keeps, which take longest; finds all of the above too but Warming
	WeakestSection                       // Parts with Limit and Keeps of those that run out or lose their margin first, and maybe of others; finds the same
	PartsSection                         // Parts; finds all of the others too but Warming

	EverySection Section = 1<<iota - 1
)

// needs adds the sections that others are found from.
func (x Section) needs() Section {
	if x&(PartsSection|WeakestSection|MarginsSection) != 0 {
		x |= DeliverySection | InjectionSection | IdleSection | InletSection
	}
	if x&WarmingSection != 0 {
		x |= LoadsSection
	}
	if x&LoadsSection != 0 {
		x |= DeliverySection | InjectionSection
	}
	if x&InletSection != 0 {
		x |= DeliverySection
	}
	return x
}

// find finds some sections of a, whose demand is that of s. Those that are not asked
// for are left alone.
func (s *system) find(a *Assessment, x Section) {
	x = x.needs()
	if x&DeliverySection != 0 {
		a.Delivery = s.deliver()
	}
	if x&InjectionSection != 0 {
		a.Injection = s.injection()
	}
	if x&IdleSection != 0 {
		a.Idle = s.idle()
	}
	if x&InletSection != 0 {
		a.Inlet = s.inletState(a.Delivery)
	}
	if x&LoadsSection != 0 {
		a.Loads = s.loads(a.Delivery, a.Injection, a.Loads.Pumps[:0])
	}
	if x&WarmingSection != 0 {
		a.Warming = s.warming(a)
	}
	if x&(PartsSection|WeakestSection|MarginsSection) != 0 {
		a.Parts = s.parts(a, x, a.Parts[:0])
	}
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

// Injection is what each injector has to do at the target and what it can do, the
// rail where the regulator keeps it as long as the pumps bring enough.
type Injection struct {
	PerInjector  quantity.MassFlow     `json:"per_injector"`  // fuel each must deliver
	PerPulse     quantity.Mass         `json:"per_pulse"`     // the same per opening
	Interval     quantity.Time         `json:"interval"`      // between openings
	Differential quantity.PressureDiff `json:"differential"`  // rail over manifold
	Static       quantity.MassFlow     `json:"static"`        // flow of one held open on this fuel
	StaticVolume quantity.VolumeFlow   `json:"static_volume"` // the same by volume
	Capability   quantity.VolumeFlow   `json:"capability"`    // most that all sets pass within the duty allowed, every injector as weak as the weakest
	Margin       quantity.Ratio        `json:"margin"`        // of that over what they have to pass, less one
	StaticNeeded quantity.MassFlow     `json:"static_needed"` // least static flow that meets the demand within the duty, dead time counted; 0 where dead time leaves no time
	RuleOfThumb  quantity.MassFlow     `json:"rule_of_thumb"` // the same with the dead time left out, as is common practice
	Voltage      quantity.Voltage      `json:"voltage"`       // at the injectors
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

// Idle is the state at idle, where too large an injector is a fault and the regulator
// returns the most.
type Idle struct {
	Fuel   quantity.MassFlow   `json:"fuel"`   // of the whole engine, by the air route at lambda 1
	Pulse  quantity.Time       `json:"pulse"`  // of the strongest injector, dead time counted
	Rail   quantity.Pressure   `json:"rail"`   // absolute
	Return quantity.VolumeFlow `json:"return"` // given back by the regulator
	Sags   bool                `json:"sags"`   // the pumps cannot hold the rail there
	Speed  quantity.Ratio      `json:"speed"`  // of full motor voltage, where the pumps' speed holds the rail; else 0
	Excess quantity.VolumeFlow `json:"excess"` // that pumps slowed down all the way bring too much
}

// Assess finds what b's fuel system can do. The error is a [*BuildError] where b
// is not valid; a system that falls short is a result, not an error.
func Assess(b Build) (*Assessment, error) {
	if err := b.Validate(); err != nil {
		return nil, err
	}
	given := b
	b = b.filled()
	a := &Assessment{Build: b, Power: b.CrankPower(), Manifold: b.manifold()}
	s, d, err := newSystem(&b, nil, nil, nil, nil)
	if err != nil {
		return nil, err
	}
	a.Demand = d
	s.find(a, EverySection)
	a.Assumptions = b.assumptions(given)
	a.Warnings = s.warnings(a)
	return a, nil
}

// demand finds the fuel needed at the target.
func (s *system) demand() Demand {
	routes := demand.Routes{
		Power: s.powerBSFC.Flow(s.power), Energy: s.energyBSFC.Flow(s.power),
		Air: quantity.MassFlow(float64(s.air) * float64(s.perAir)),
	}
	needed, governing := routes.By(s.route)
	d := Demand{
		Band: s.band, Routes: routes, Governing: governing, Spread: routes.Spread(), Needed: needed,
		allowance: s.allowance,
		Added:     s.additions(needed),
		BSFC:      quantity.SpecificConsumption(float64(needed) * s.perPower),
		Air:       s.air,
		Density:   s.density,
		AFR:       s.afr,
	}
	d.Injected = d.engine() + d.Added.Circuit.Injectors
	d.Total = d.engine() + d.Added.Circuit.Pumps
	d.Volume = s.volume(d.Total)
	return d
}

// engine is the demand that moves with power.
func (d Demand) engine() quantity.MassFlow {
	return quantity.MassFlow(float64(d.Needed-d.Added.Credited) * (1 + float64(d.allowance)))
}

// injection says what each injector has to do at the target.
func (s *system) injection() Injection {
	p, first := s.at(1), s.sets[0]
	m := s.meter(s.differential(p))
	dp := m.differential
	share := s.shares(p, m)
	each := quantity.MassFlow(float64(share.Primary.Flow) / float64(first.count))
	nominal := first.Rating.Flow(s.density, dp)
	in := Injection{
		PerInjector: each, PerPulse: quantity.Mass(float64(each) * float64(s.interval)), Interval: s.interval,
		Differential: dp, Voltage: s.volts,
		Static: nominal, StaticVolume: nominal.Volume(s.density),
		Capability:   s.volume(s.passed(dp, s.maxDuty)),
		StaticNeeded: orZero(injector.StaticFlowNeededOpen(p.injected, s.count, s.maxDuty, s.interval, m.dead)),
		RuleOfThumb:  injector.StaticFlowNeeded(p.injected, s.count, s.maxDuty),
		DeadTime:     m.dead,
		Pulse:        orZero(share.Primary.Pulse), Duty: orZero(share.Primary.Duty),
	}
	in.Margin = quantity.Ratio(over(in.Capability, s.volume(p.injected)) - 1)
	if len(s.sets) > 1 {
		second := s.sets[1]
		nominal := second.Rating.Flow(s.density, dp)
		in.Secondary = &SecondSet{
			PerInjector: quantity.MassFlow(float64(share.Secondary.Flow) / float64(second.count)),
			Static:      nominal, StaticVolume: nominal.Volume(s.density),
			Pulse: orZero(share.Secondary.Pulse), Duty: orZero(share.Secondary.Duty),
		}
	}
	return in
}

// shares says how the sets share what is injected at p. Where they are too small for it
// within the duty allowed, the duties are those that it would take. Sets that share it
// work at long pulses, where nothing is corrected.
func (s *system) shares(p point, m meter) demand.StagedDemand {
	if len(s.sets) == 1 {
		width := m.pulse(s.sets[0].LowPulse, p.injected)
		return demand.StagedDemand{Primary: demand.SetDemand{Flow: p.injected, Pulse: width, Duty: quantity.Ratio(float64(width) * s.rate)}}
	}
	dp := m.differential
	staged := demand.Staged{Interval: s.interval, Start: s.start, MaxDuty: s.maxDuty, Staging: s.staging}
	for i, to := range []*demand.InjectorSet{&staged.Primary, &staged.Secondary} {
		*to = demand.InjectorSet{Static: s.static(s.sets[i], dp), Count: s.sets[i].count, Dead: s.dead(s.sets[i], dp)}
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

// atIdle is the operating point at idle: fuel for the air the engine draws there, at
// the idle speed and manifold pressure, the mixture stoichiometric. A nozzle on the
// rail is shut.
func (s *system) atIdle() point {
	fuel := quantity.MassFlow(float64(s.idleAir) / float64(s.afr))
	return s.pointOf(fuel, 0, s.idlePressure, s.idleSpeed)
}

// idle finds the pulse at idle, where a second set of injectors is at rest, and what
// the regulator has to return there.
func (s *system) idle() Idle {
	p, first := s.atIdle(), s.sets[0]
	idle := Idle{Fuel: p.injected, Rail: p.setpoint}
	if r, ok := s.rest(p, s.brought(p)); ok {
		idle.Rail, idle.Return = r.rail, r.returned
		if s.bySpeed {
			load := s.slowed(s.pumps.mains(), r.through, r.outlet.Above(s.inlet(r.through)), p.drive)
			idle.Speed, idle.Excess = load.Speed, load.Flow-r.through
			if float64(idle.Excess) < 1e-6*float64(r.through) {
				idle.Excess = 0
			}
		}
	} else {
		idle.Sags = true
	}
	dp := idle.Rail.Above(p.manifold)
	each := quantity.Mass(float64(p.injected) / float64(first.count) * float64(s.idleInterval))
	idle.Pulse = orZero(first.PulseAt(each, first.Strongest(first.Rating.Flow(s.density, dp)), s.volts, dp))
	return idle
}

// idleChargeTemperature is that of the ambient air where the compressor is
// described, which idles too, and else that of full load.
func (b *Build) idleChargeTemperature() quantity.Temperature {
	if b.Induction.ChargeTemperature == 0 {
		return b.ambient().Temperature
	}
	return b.Induction.ChargeTemperature
}

// idleVolumetricEfficiency, by manifold density, is lower than at full load since
// exhaust at ambient pressure stays behind: common practice, no source.
const idleVolumetricEfficiency quantity.Ratio = 0.6
