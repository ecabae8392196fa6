package sizing

import (
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

// An assessment is made in stages. Each takes from a valid build with its defaults
// filled in what one side of the system needs, and does what is costly there, so that
// a sweep can keep a stage for all points that share it.

// hardware is the parts of a build, made ready to compute with.
type hardware struct {
	pumps      pumps
	suction    plumbing.Suction // to the pumps that draw from the tank
	feed       plumbing.Run     // from pump to rail, filter included
	back       plumbing.Run     // from regulator to tank
	reg        regulator.Regulator
	bySpeed    bool // the pumps' speed holds the rail, and nothing is returned
	leastSpeed quantity.Ratio
	creeps     bool // the regulator's pressure depends on what it returns
	accel      quantity.Acceleration
	supply     quantity.Voltage // where described wiring starts
	heat       Heat
	tank       Tank

	sets         []set // of injectors; the first works at every load
	count        int   // of injectors in all sets
	start        quantity.Ratio
	staging      demand.Staging
	interval     quantity.Time    // between two openings of one injector
	rate         float64          // of them, per second
	idleInterval quantity.Time    // the same at idle
	volts        quantity.Voltage // at the injectors
	minimumPulse quantity.Time

	maxDuty                                quantity.Ratio
	injectorMargin, pumpMargin, lineMargin quantity.Ratio // wanted
	allowedLineLoss, inletMargin           quantity.PressureDiff
	names                                  names
}

// hardware makes the stage; the error says what is wrong with a part.
func (b *Build) hardware() (*hardware, error) {
	h := &hardware{
		suction: plumbing.Suction{Run: run(b.Suction...), Head: b.Tank.Head},
		feed:    run(b.FeedLine), back: run(b.ReturnLine...),
		reg: b.Regulator.valve(), bySpeed: b.Regulator.Control == ByPumpSpeed, leastSpeed: b.Regulator.LeastSpeed,
		accel: b.Vehicle.Acceleration, supply: b.Electrical.Supply, heat: b.Heat, tank: b.Tank,
		count:    b.injectorCount(),
		interval: b.injectionInterval(b.Engine.Speed), idleInterval: b.injectionInterval(b.Engine.IdleSpeed),
		minimumPulse: b.Injectors.MinimumPulse,
		maxDuty:      b.Policy.MaxDuty, injectorMargin: *b.Policy.InjectorMargin, pumpMargin: *b.Policy.PumpMargin, lineMargin: *b.Policy.LineMargin,
		allowedLineLoss: b.Policy.AllowedLineLoss, inletMargin: b.Policy.InletMargin,
		names: b.partNames(),
	}
	h.rate = 1 / float64(h.interval)
	h.creeps = !h.bySpeed && (h.reg.Slope != (regulator.Slope{}) || h.reg.OpenDrop != 0 || len(h.back) > 0)
	var err error
	if h.sets, err = b.sets(); err != nil {
		return nil, err
	}
	h.volts = b.injectorVoltage(h.sets[0], h.interval)
	if second := b.Secondary; second != nil {
		h.start, h.staging = second.Start, second.Staging
	}
	h.pumps, err = b.pumps()
	return h, err
}

// liquid is the fuel of a build, at the temperatures of rail and tank, and what the
// engine needs of it.
type liquid struct {
	blend      fuel.Blend
	density    quantity.Density // at the rail
	specific   float64          // volume of a kilogram there, m³
	visc       quantity.Viscosity
	afr        quantity.Ratio               // stoichiometric
	perAir     quantity.Ratio               // fuel over air at the target
	band       demand.Band                  // of consumption
	powerBSFC  quantity.SpecificConsumption // of the power route
	energyBSFC quantity.SpecificConsumption // of the energy route
	vapour     quantity.Pressure            // in the tank
	railVapour quantity.Pressure            // at the rail
	heat       quantity.SpecificHeat

	nitrous demand.CircuitDemand // fuel for nitrous oxide, by the parts that carry it
	oxide   quantity.MassFlow
	added   quantity.CrankPower   // by it
	water   *demand.WaterMethanol // nil for none
	stands  quantity.MassFlow     // fuel that its methanol could stand in for
	credit  quantity.MassFlow     // the part of it that may be taken off the demand
	lambda  quantity.Ratio
}

// liquid makes the stage.
func (b *Build) liquid() *liquid {
	f := b.Fuel.Blend
	l := &liquid{
		blend: f, density: f.Density(b.Fuel.Temperature), visc: f.Viscosity(b.Fuel.Temperature),
		afr: f.StoichiometricAFR(), band: demand.BSFC(b.Induction.Kind, f),
		energyBSFC: demand.EnergyBSFC(f, b.Engine.BrakeEfficiency, b.Target.Lambda),
		vapour:     f.VapourPressure(b.Tank.Temperature), railVapour: f.VapourPressure(b.Fuel.Temperature),
		lambda: b.Target.Lambda,
	}
	l.specific = 1 / float64(l.density)
	if b.Fuel.BSFC != 0 {
		l.band = demand.Band{Low: b.Fuel.BSFC, High: b.Fuel.BSFC}
	}
	l.powerBSFC = l.band.At(b.Policy.Band)
	l.perAir = 1 / (b.Target.Lambda * l.afr)
	var known bool
	if l.heat, known = plumbing.SpecificHeatOf(f); !known {
		l.heat = plumbing.UsualSpecificHeat
	}
	if n := b.Nitrous; n.Flow != 0 || n.Power != 0 {
		l.oxide, l.added = n.Flow, n.Power
		if n.Flow != 0 {
			l.added = demand.PowerFromNitrous(f, n.Flow, b.Engine.BrakeEfficiency, n.Lambda)
		} else {
			l.oxide = demand.NitrousForPower(f, n.Power, b.Engine.BrakeEfficiency, n.Lambda)
		}
		l.nitrous = n.Fuel.Split(demand.FuelForNitrous(f, l.oxide, n.Lambda))
	}
	if m := b.WaterMethanol; m.Flow != 0 {
		// The error is that of a build that is not valid.
		if w, err := demand.WaterMethanolByVolume(m.Flow, m.Methanol, m.Temperature); err == nil {
			l.water, l.stands = &w, w.Replaced(f)
			if m.Credit == Taken {
				l.credit = l.stands
			}
		}
	}
	return l
}

// breath is the air of a build, at the target and at idle.
type breath struct {
	ambient      quantity.Pressure
	temperature  quantity.Temperature // ambient
	manifold     quantity.Pressure    // absolute, at the target
	boosted      bool
	air          quantity.MassFlow // dry, drawn at the target
	idleAir      quantity.MassFlow
	idlePressure quantity.Pressure
	speed        quantity.AngularSpeed // at the target
	idleSpeed    quantity.AngularSpeed
}

// breath makes the stage.
func (b *Build) breath() *breath {
	ambient := b.ambient()
	idle := b.breathing()
	idle.VolumetricEfficiency = idleVolumetricEfficiency
	return &breath{
		ambient: ambient.Pressure, temperature: ambient.Temperature,
		manifold: b.manifold(), boosted: b.Induction.Kind.Boosted(),
		air: b.airFlow(), idlePressure: b.Engine.IdlePressure,
		idleAir: idle.AirFlow(b.Engine.IdleSpeed, b.Engine.IdlePressure, b.idleChargeTemperature()),
		speed:   b.Engine.Speed, idleSpeed: b.Engine.IdleSpeed,
	}
}

// aim is the target of a build.
type aim struct {
	power     quantity.CrankPower
	perPower  float64 // one over it
	allowance quantity.Ratio
	route     demand.Route
}

// aim makes the stage.
func (b *Build) aim() *aim {
	power := b.crankPower()
	return &aim{power: power, perPower: 1 / float64(power), allowance: b.Target.Allowance, route: b.Policy.Route}
}

// set is a number of like injectors.
type set struct {
	injector.Injector
	count int
}
