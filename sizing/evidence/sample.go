package evidence

import (
	"math"

	"example.com/railbook/sizing/quantity"
)

// Sample is what a row of a log tells. A quantity that it does not tell is zero.
type Sample struct {
	Line     int           // of the log, the first is 1
	Time     quantity.Time // in the log
	Speed    quantity.AngularSpeed
	Manifold quantity.Pressure     // absolute
	Rail     quantity.Pressure     // absolute; where it is not logged the set point
	Error    quantity.PressureDiff // rail less set point: below zero it has fallen
	Pulse    quantity.Time         // of the first set, dead time counted
	Duty     quantity.Ratio        // of the set with the highest
	Ethanol  quantity.VolumeFraction
	Fuel     quantity.MassFlow // of all injectors
	Lambda   quantity.Ratio
	Air      quantity.MassFlow   // dry, by fuel and lambda
	Power    quantity.CrankPower // really made
	BSFC     quantity.SpecificConsumption
	Aside    Reason // why it does not count; empty where it does
}

// sample is a row that has been worked out, in SI.
type sample struct {
	reading
	fueling
	line      int
	missing   mask
	power     float64
	air       float64 // zero where lambda is not known
	set       float64 // rail pressure, absolute
	tolerance float64 // of the rail under it
	reason    Reason

	changing bool // manifold pressure or fuel per injection is
	afresh   bool // time has a break before it
}

// analyst works rows out, one after the other.
type analyst struct {
	*engine
	rules   Rules
	bound   mask
	needed  mask
	tell    bool // rail pressure is logged
	lambda  bool
	air     slope // manifold pressure
	perShot slope // fuel per injection
}

func newAnalyst(e *engine, m Mapping, list []Bound) *analyst {
	a := &analyst{engine: e, rules: m.Rules.filled(e.ambient, e.build.Induction.Boost)}
	for _, b := range list {
		a.bound.add(b.channel)
	}
	a.needed = a.bound &^ (1<<lambdaChannel | 1<<throttleChannel | 1<<timeChannel)
	a.tell, a.lambda = a.bound.has(railChannel), a.bound.has(lambdaChannel)
	a.air.span, a.perShot.span = float64(a.rules.RateTime), float64(a.rules.RateTime)
	return a
}

// reset forgets the past, where time has a break.
func (a *analyst) reset() {
	a.air.reset()
	a.perShot.reset()
}

// work works a reading out.
func (a *analyst) work(r *reading, line int, missing, out mask) sample {
	s := sample{line: line, missing: missing | out}
	if !a.tell {
		r[railChannel] = a.engine.set(r[manifoldChannel], 0)
		if a.lineLoss > 0 && missing|out == 0 {
			r[railChannel] = a.engine.set(r[manifoldChannel], a.fuel(r, offset{}).flow)
		}
	}
	s.reading = *r
	if a.lambda && s.missing.has(lambdaChannel) {
		s.reading[lambdaChannel] = 0
	}
	if bad := missing & a.needed; bad != 0 {
		s.reason = CellMissing
		return s
	}
	if bad := out & a.needed; bad != 0 {
		s.reason = SensorOutOfRange
		return s
	}
	s.fueling = a.fuel(r, offset{})
	s.power = a.engine.power(r, offset{})
	s.air = s.flow * s.reading[lambdaChannel] * s.fuel.afr
	s.set = a.engine.set(r[manifoldChannel], s.flow)
	a.air.push(r[timeChannel], r[manifoldChannel])
	a.perShot.push(r[timeChannel], s.perTurn)
	s.changing = math.Abs(a.air.rate()) > float64(a.rules.ManifoldRate) || math.Abs(a.perShot.rate()) > float64(a.rules.FuelRate)
	s.tolerance = float64(a.rules.RailTolerance) * (s.set - r[manifoldChannel])
	switch {
	case s.dp <= 0, a.tell && s.set-r[railChannel] > s.tolerance:
		s.reason = RailSagged
	case s.duty >= float64(a.rules.PinnedDuty):
		s.reason = DutyPinned
	case s.changing:
		s.reason = Transient
	case !s.covered:
		s.reason = OutsideInjectorData
	}
	return s
}

// atLoad reports whether a sample is at high load, and whether that is known.
func (a *analyst) atLoad(s *sample) (loaded, known bool) {
	if a.bound.has(throttleChannel) {
		switch {
		case s.missing.has(throttleChannel):
			return false, false
		case s.reading[throttleChannel] < float64(a.rules.LeastThrottle):
			return false, true
		case !a.bound.has(manifoldChannel):
			return true, true
		}
	}
	return s.reading[manifoldChannel] >= float64(a.rules.LeastManifold), !s.missing.has(manifoldChannel)
}

// export returns the sample in the types of the trade.
func (s *sample) export() Sample {
	r := &s.reading
	e := Sample{
		Line: s.line, Time: quantity.Time(r[timeChannel]), Speed: quantity.AngularSpeed(r[speedChannel]),
		Manifold: quantity.Pressure(r[manifoldChannel]), Rail: quantity.Pressure(r[railChannel]),
		Ethanol: quantity.VolumeFraction(r[ethanolChannel]), Lambda: quantity.Ratio(r[lambdaChannel]), Aside: s.reason,
	}
	if s.fuel == nil {
		return e
	}
	e.Error = quantity.PressureDiff(s.railError())
	e.Duty, e.Fuel, e.Air = quantity.Ratio(s.duty), quantity.MassFlow(s.flow), quantity.MassFlow(s.air)
	e.Pulse = quantity.Time(s.pulse)
	e.Power = quantity.CrankPower(s.power)
	if s.power > 0 {
		e.BSFC = quantity.SpecificConsumption(s.flow / s.power)
	}
	return e
}

// railError is the rail pressure less its set point.
func (s *sample) railError() float64 { return s.reading[railChannel] - s.set }
