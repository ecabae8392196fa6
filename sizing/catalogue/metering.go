package catalogue

import (
	"math"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
)

// setting is what injectors have to do, whichever they are: it follows from engine,
// target and fuel.
type setting struct {
	injected     quantity.MassFlow // at the target
	idle         quantity.MassFlow
	density      quantity.Density
	interval     quantity.Time // between openings of one
	idleInterval quantity.Time
	open         quantity.Time // within the largest duty allowed
	wanted       float64       // margin
}

func settingOf(a *sizing.Assessment) setting {
	b := a.Build
	return setting{
		injected: a.Demand.Injected, idle: a.Idle.Fuel, density: a.Demand.Density, interval: a.Injection.Interval,
		idleInterval: injector.Interval(b.Engine.IdleSpeed, b.Engine.Strokes, b.Injectors.Firing.Injections(b.Engine.Strokes)),
		open:         quantity.Time(float64(b.Policy.MaxDuty) * float64(a.Injection.Interval)),
		wanted:       float64(*b.Policy.InjectorMargin),
	}
}

// metering is what one kind of injector does in the build at any differential pressure,
// a second set of the sheet beside it. It is the arithmetic of an assessment, with what
// does not depend on pressure done once; a test holds it to that.
type metering struct {
	fault    string // why it cannot stand in the sheet; empty where it can
	banks    [2]bank
	sets     int
	volts    quantity.Voltage
	lowPulse injector.LowPulse
	least    quantity.Time // pulse that still meters; zero: not stated
	each     quantity.Mass // per opening at idle
}

// bank is one set of injectors.
type bank struct {
	rating injector.Rating
	dead   injector.DeadTime
	low    injector.LowPulse
	net    float64 // time of a pulse at the largest duty in which fuel flows; where fixed
	late   quantity.Time
	fixed  bool // the dead time does not depend on pressure
	less   float64
	more   float64
	count  float64
}

func bankOf(s setting, rating injector.Rating, points []injector.DeadTimePoint, low injector.LowPulse, spread quantity.Ratio, count int, volts quantity.Voltage) (bank, error) {
	dead, err := injector.NewDeadTime(points...)
	if err != nil {
		return bank{}, err
	}
	k := bank{rating: rating, dead: dead, low: low, less: 1 - float64(spread), more: 1 + float64(spread), count: float64(count), fixed: !dead.HasPressures()}
	k.late = dead.AtPressure(volts, 0)
	k.net = float64(low.Net(max(0, s.open-k.late)))
	return k, nil
}

// meteringOf makes the metering of a build that is assessed with other parts than its
// supply side's.
func meteringOf(s setting, b sizing.Build, volts quantity.Voltage) (metering, error) {
	i := b.Injectors
	m := metering{sets: 1, volts: volts, lowPulse: i.LowPulse, least: i.MinimumPulse}
	var err error
	if m.banks[0], err = bankOf(s, i.Flow, i.DeadTime, i.LowPulse, i.Spread, count(i.Count, b), volts); err != nil {
		return metering{}, err
	}
	m.each = quantity.Mass(float64(s.idle) / m.banks[0].count * float64(s.idleInterval))
	if second := b.Secondary; second != nil {
		points := second.DeadTime
		if len(points) == 0 {
			points = i.DeadTime
		}
		m.sets = 2
		m.banks[1], err = bankOf(s, second.Flow, points, injector.LowPulse{}, second.Spread, count(second.Count, b), volts)
	}
	return m, err
}

// count is how many there are: one per cylinder where the sheet does not say.
func count(n int, b sizing.Build) int {
	if n == 0 {
		return b.Engine.Cylinders
	}
	return n
}

// passed is the most that the injectors pass within the largest duty at a differential
// pressure.
func (m *metering) passed(s *setting, dp quantity.PressureDiff) quantity.MassFlow {
	var sum quantity.MassFlow
	for k := range m.sets {
		b := &m.banks[k]
		net := b.net
		if !b.fixed {
			net = float64(b.low.Net(max(0, s.open-b.dead.AtPressure(m.volts, dp))))
		}
		each := net * float64(quantity.MassFlow(float64(b.rating.Flow(s.density, dp))*b.less))
		sum += quantity.MassFlow(b.count * each / float64(s.interval))
	}
	return sum
}

// idlePulse is the pulse at idle at a differential pressure, zero where nothing flows.
func (m *metering) idlePulse(s *setting, dp quantity.PressureDiff) quantity.Time {
	b := &m.banks[0]
	static := quantity.MassFlow(float64(b.rating.Flow(s.density, dp)) * b.more)
	if !(static > 0) {
		return 0
	}
	late := b.late
	if !b.fixed {
		late = b.dead.AtPressure(m.volts, dp)
	}
	pulse := m.lowPulse.Open(quantity.Time(float64(m.each)/float64(static))) + late
	if math.IsInf(float64(pulse), 0) {
		return 0
	}
	return pulse
}

// leastFlow stands for no flow where something is divided by it, as in an assessment.
const leastFlow = 1e-3 * quantity.CCPerMinute

// verdict is what injectors have over what they should have: at the target, and at idle
// the pulse over the least that meters. The first is no number for injectors that cannot
// stand in the sheet, the second where no least pulse is stated.
type verdict struct{ margin, idle float64 }

// at judges the injectors at the differential pressures of the target and of idle.
func (m *metering) at(s *setting, o *Options, target, idle quantity.PressureDiff) verdict {
	if m.fault != "" {
		return verdict{math.NaN(), math.NaN()}
	}
	// By the specific volume, as sizing.Assess has it, so that ties fall alike.
	specific := 1 / float64(s.density)
	can, need := quantity.VolumeFlow(float64(m.passed(s, target))*specific), quantity.VolumeFlow(float64(s.injected)*specific)
	margin := quantity.Ratio(float64(can/max(leastFlow, need)) - 1)
	v := verdict{o.counted(sizing.InjectorsPart, margin), math.NaN()}
	if m.least != 0 {
		margin = quantity.Ratio(float64(m.idlePulse(s, idle)/m.least) - 1)
		v.idle = o.counted(sizing.IdleInjectionPart, margin)
	}
	return v
}

// reason is what injectors of that verdict fail at.
func (s *setting) reason(v verdict) Reason {
	switch {
	case v.margin < s.wanted:
		return InjectorsShort
	case v.idle < 0:
		return IdleShort
	case math.IsNaN(v.margin):
		return DoesNotFit
	}
	return Fits
}

// judge adds injectors of that verdict, which stand in the sheet, to what is judged.
func (s *setting) judge(j *judged, v verdict) {
	j.part(InjectorsShort, v.margin, s.wanted)
	if !math.IsNaN(v.idle) {
		j.part(IdleShort, v.idle, 0)
	}
}
