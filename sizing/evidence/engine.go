package evidence

import (
	"fmt"
	"math"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

// engine is a build taken as a measuring instrument: what of its sheet turns a reading
// into flows and pressures.
type engine struct {
	build   sizing.Build // defaults filled in
	sets    []set
	strokes int
	ambient quantity.Pressure
	reg     regulator.Regulator
	loss    quantity.Ratio // on the way to the wheels, where power was measured there

	// Of a returnless system, whose regulator sits before the line: lost at a flow.
	lineLoss quantity.PressureDiff
	lineFlow quantity.MassFlow

	fuels *fuels
}

// set is a number of like injectors.
type set struct {
	injector.Injector
	count, injections int
	deadLeftOut       bool // of the pulse as logged
}

// newEngine makes an engine of an assessed build.
func newEngine(a *sizing.Assessment, m Mapping) (*engine, error) {
	b := a.Build
	e := &engine{
		build: b, strokes: b.Engine.Strokes, ambient: b.Induction.Barometer,
		reg: regulator.Regulator{Kind: b.Regulator.Kind, BasePressure: b.Regulator.BasePressure, RisingRate: b.Regulator.Rise},
	}
	if b.Regulator.Kind == regulator.Returnless && b.Regulator.Control == sizing.ByValve {
		e.lineLoss, e.lineFlow = a.Delivery.LineLoss, a.Demand.Total
	}
	dead, err := injector.NewDeadTime(b.Injectors.DeadTime...)
	if err != nil {
		return nil, err
	}
	firing := b.Injectors.Firing.Injections(b.Engine.Strokes)
	e.sets = []set{{
		Injector: injector.Injector{Rating: b.Injectors.Flow, DeadTime: dead, LowPulse: b.Injectors.LowPulse, MinimumPulse: b.Injectors.MinimumPulse, Spread: b.Injectors.Spread},
		count:    b.Injectors.Count, injections: firing,
		deadLeftOut: m.Columns.Pulse != nil && m.Columns.Pulse.DeadTime == LeftOut,
	}}
	second := m.Columns.SecondaryPulse != nil || m.Columns.SecondaryDuty != nil
	switch {
	case b.Secondary == nil && second:
		return nil, fmt.Errorf("the mapping has a column of the second set of injectors, and the build sheet has no secondary_injectors")
	case b.Secondary != nil && !second:
		return nil, fmt.Errorf("the build sheet has secondary_injectors, whose fuel counts too; want columns.secondary_pulse or columns.secondary_duty in the mapping")
	case second:
		if dead, err = injector.NewDeadTime(b.Secondary.DeadTime...); err != nil {
			return nil, err
		}
		e.sets = append(e.sets, set{
			Injector: injector.Injector{Rating: b.Secondary.Flow, DeadTime: dead, Spread: b.Secondary.Spread},
			count:    b.Secondary.Count, injections: firing,
			deadLeftOut: m.Columns.SecondaryPulse != nil && m.Columns.SecondaryPulse.DeadTime == LeftOut,
		})
	}
	e.fuels, err = newFuels(b.Fuel.Blend, m.Columns.Ethanol != nil)
	return e, err
}

// rest is the reading of a log without columns: what the build sheet says.
func (e *engine) rest() reading {
	var r reading
	r[manifoldChannel] = float64(e.ambient)
	r[ethanolChannel] = float64(e.build.Fuel.Blend.EthanolContent())
	r[fuelTemperatureChannel] = float64(e.build.Fuel.Temperature)
	r[voltageChannel] = float64(e.build.Electrical.Voltage)
	return r
}

// offset is how far the instruments may be off, as factors and offsets that apply to all
// samples alike. The zero value is instruments without error.
type offset struct {
	flow, spread float64 // of the injectors' flow, of its value
	dead         float64 // seconds added to the dead time
	power        float64 // of its value
	loss         float64 // added to the share lost on the way to the wheels
}

// fueling is what the injectors do at a reading.
type fueling struct {
	flow    float64 // kg/s, all sets
	duty    float64 // of the set with the highest
	perTurn float64 // kg per injection, both sets together
	covered bool    // the injectors' data reach that far
	dp      float64
	fuel    *properties
	pulse   float64 // of the first set, dead time counted
}

// fuel finds the fuel that a reading tells.
func (e *engine) fuel(r *reading, o offset) fueling {
	f := fueling{fuel: e.fuels.at(r[ethanolChannel]), covered: true, dp: r[railChannel] - r[manifoldChannel]}
	rho := f.fuel.blend.Density(quantity.Temperature(r[fuelTemperatureChannel]))
	dp, volts := quantity.PressureDiff(f.dp), quantity.Voltage(r[voltageChannel])
	for k := range e.sets {
		s := &e.sets[k]
		interval := float64(injector.Interval(quantity.AngularSpeed(r[speedChannel]), e.strokes, s.injections))
		pulseOf, dutyOf := pulseChannel, dutyChannel
		if k == 1 {
			pulseOf, dutyOf = secondPulseChannel, secondDutyChannel
		}
		dead := float64(s.DeadTime.AtPressure(volts, dp)) + o.dead
		pulse := r[pulseOf]
		if d := r[dutyOf]; d > 0 {
			pulse = d * interval
		}
		if s.deadLeftOut && pulse > 0 {
			pulse += dead
		}
		static := float64(s.Rating.Flow(rho, dp)) * (1 + o.flow) * (1 + o.spread)
		net := float64(s.LowPulse.Net(quantity.Time(max(0, pulse-dead))))
		if math.IsInf(interval, 1) {
			continue
		}
		if k == 0 {
			f.pulse = pulse
		}
		f.perTurn += net * static * float64(s.count)
		f.flow += net * static * float64(s.count) / interval
		f.duty = max(f.duty, pulse/interval)
		if pulse > 0 || k == 0 {
			f.covered = f.covered && s.DeadTime.CoversPressure(volts, dp) && s.LowPulse.Covers(quantity.Time(net)) && s.Meters(quantity.Time(pulse))
		}
	}
	return f
}

// power returns the power at the crank that a reading tells, zero where none is logged.
func (e *engine) power(r *reading, o offset) float64 {
	p := r[powerChannel] + r[torqueChannel]*r[speedChannel]
	if o.loss != 0 && e.loss != 0 {
		p *= (1 - float64(e.loss)) / (1 - float64(e.loss) - o.loss)
	}
	return p * (1 + o.power)
}

// set returns the rail pressure, absolute, that the regulator holds at a manifold
// pressure and a fuel flow.
func (e *engine) set(manifold, flow float64) float64 {
	p := float64(e.reg.Setpoint(quantity.Pressure(manifold), e.ambient))
	if e.lineLoss > 0 && e.lineFlow > 0 {
		// The loss of a line goes nearly with the square of its flow.
		x := flow / float64(e.lineFlow)
		p -= float64(e.lineLoss) * x * x
	}
	return p
}

// properties are what a blend does in an engine.
type properties struct {
	blend fuel.Blend
	afr   float64 // stoichiometric
	lhv   float64 // J/kg
	share float64 // of the lower heating value that ethanol brings
}

// fuels are the sheet's fuel with any ethanol content, made as they are needed: one for
// each hundredth of a percent, to which contents are rounded.
type fuels struct {
	sheet   *properties
	content float64           // of the sheet's fuel
	base    []fuel.VolumePart // what is not ethanol; nil where the content cannot vary
	made    []*properties
}

// steps is how many contents are told apart.
const steps = 10_000

func newFuels(sheet fuel.Blend, logged bool) (*fuels, error) {
	f := &fuels{sheet: propertiesOf(sheet), content: float64(sheet.EthanolContent())}
	rest := 1 - f.content
	for _, c := range sheet.Constituents() {
		switch {
		case c.Name() == "ethanol":
		case c.Family() == fuel.Alcohol && logged:
			return nil, fmt.Errorf("a content sensor cannot tell ethanol from the %s in %s; leave columns.ethanol out of the mapping", c.Name(), sheet)
		case c.Family() == fuel.Alcohol:
			f.base = nil
			return f, nil
		default:
			f.base = append(f.base, fuel.VolumePart{Name: c.Name(), Fraction: quantity.VolumeFraction(float64(sheet.VolumeFraction(c.Name())) / rest)})
		}
	}
	if len(f.base) == 0 {
		f.base = []fuel.VolumePart{{Name: "gasoline", Fraction: 1}}
	}
	f.made = make([]*properties, steps+1)
	_, err := f.blend(0.5)
	return f, err
}

// at returns the fuel with an ethanol content.
func (f *fuels) at(content float64) *properties {
	if f.base == nil || content == f.content {
		return f.sheet
	}
	i := int(math.Round(min(max(content, 0), 1) * steps))
	if f.made[i] == nil {
		b, err := f.blend(float64(i) / steps)
		if err != nil { // newFuels has seen that there is none
			return f.sheet
		}
		f.made[i] = propertiesOf(b)
	}
	return f.made[i]
}

// blend makes the fuel with an ethanol content.
func (f *fuels) blend(content float64) (fuel.Blend, error) {
	parts := []fuel.VolumePart{{Name: "ethanol", Fraction: quantity.VolumeFraction(content)}}
	for _, p := range f.base {
		p.Fraction *= quantity.VolumeFraction(1 - content)
		parts = append(parts, p)
	}
	return fuel.ByVolume(fuel.Reference, parts...)
}

var ethanolLHV = func() float64 {
	c, err := fuel.Lookup("ethanol")
	if err != nil {
		return math.NaN()
	}
	return float64(c.LHV())
}()

func propertiesOf(b fuel.Blend) *properties {
	p := &properties{blend: b, afr: float64(b.StoichiometricAFR()), lhv: float64(b.LHV())}
	if p.lhv > 0 {
		p.share = float64(b.MassFraction("ethanol")) * ethanolLHV / p.lhv
	}
	return p
}
