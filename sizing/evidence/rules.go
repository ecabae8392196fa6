package evidence

import (
	"example.com/railbook/sizing/internal/sheet"
	"example.com/railbook/sizing/quantity"
)

// Rules say what a pull is and which of its samples count. The defaults are our own
// choice, no source.
//
// A pull is a run of samples at high load, by manifold pressure and where it is logged
// by throttle, over which speed rises: it ends where the load is gone, where speed has
// fallen below the highest so far by more than GreatestFall, or where it has not risen
// any further for as long as Patience. Speed is taken as the middle of three samples, so
// that one that is off does no harm. What then rises by LeastRise and lasts for LeastTime
// is a pull.
type Rules struct {
	LeastManifold quantity.Pressure     `sheet:"least_manifold"` // absolute; default 85 % of ambient, or on a boosted engine ambient and half the sheet's boost
	LeastThrottle quantity.Ratio        `sheet:"least_throttle"` // where throttle is logged; default 80 %
	LeastRise     quantity.AngularSpeed `sheet:"least_rise"`     // default 1000 rpm
	LeastTime     quantity.Time         `sheet:"least_time"`     // default 1.5 s
	GreatestFall  quantity.AngularSpeed `sheet:"greatest_fall"`  // default 150 rpm
	Patience      quantity.Time         `sheet:"patience"`       // default 1 s

	RailTolerance quantity.Ratio `sheet:"rail_tolerance"` // fall of the rail below its set point, of the set differential pressure; default 5 %
	PinnedDuty    quantity.Ratio `sheet:"pinned_duty"`    // from which an injector is taken not to close; default 95 %
	ManifoldRate  quantity.Ratio `sheet:"manifold_rate"`  // change of manifold pressure in a second, of its value; default 25 %
	FuelRate      quantity.Ratio `sheet:"fuel_rate"`      // change of fuel per injection in a second, of its value; default 40 %
	RateTime      quantity.Time  `sheet:"rate_time"`      // over which both are taken, default 0.3 s; a sample is transient where any stretch of it that holds the sample is

	Window quantity.AngularSpeed `sheet:"window"` // of speed, for means along a pull; default 250 rpm
}

// filled returns r with its defaults, for a build's ambient pressure and boost.
func (r Rules) filled(ambient quantity.Pressure, boost quantity.PressureDiff) Rules {
	if boost > 0 {
		fillIn(&r.LeastManifold, ambient.Plus(boost/2))
	}
	fillIn(&r.LeastManifold, ambient*0.85)
	fillIn(&r.LeastThrottle, 0.8)
	fillIn(&r.LeastRise, 1000*quantity.RPM)
	fillIn(&r.LeastTime, 1.5*quantity.Second)
	fillIn(&r.GreatestFall, 150*quantity.RPM)
	fillIn(&r.Patience, 1*quantity.Second)
	fillIn(&r.RailTolerance, 0.05)
	fillIn(&r.PinnedDuty, 0.95)
	fillIn(&r.ManifoldRate, 0.25)
	fillIn(&r.FuelRate, 0.40)
	fillIn(&r.RateTime, 0.3*quantity.Second)
	fillIn(&r.Window, 250*quantity.RPM)
	return r
}

func fillIn[Q quantity.Quantity](q *Q, value Q) {
	if *q == 0 {
		*q = value
	}
}

// problems lists rules that make no sense.
func (r Rules) problems() []sheet.Problem {
	var list []sheet.Problem
	list = between(list, "least_manifold", r.LeastManifold, 5*quantity.Kilopascal, 800*quantity.Kilopascal)
	list = between(list, "least_throttle", r.LeastThrottle, 0.01, 1)
	list = between(list, "least_rise", r.LeastRise, 100*quantity.RPM, 10000*quantity.RPM)
	list = between(list, "least_time", r.LeastTime, 0.2*quantity.Second, 60*quantity.Second)
	list = between(list, "greatest_fall", r.GreatestFall, 10*quantity.RPM, 2000*quantity.RPM)
	list = between(list, "patience", r.Patience, 0.05*quantity.Second, 10*quantity.Second)
	list = between(list, "rail_tolerance", r.RailTolerance, 0.005, 0.5)
	list = between(list, "pinned_duty", r.PinnedDuty, 0.5, 1)
	list = between(list, "manifold_rate", r.ManifoldRate, 0.01, 100)
	list = between(list, "fuel_rate", r.FuelRate, 0.01, 100)
	list = between(list, "rate_time", r.RateTime, 0.02*quantity.Second, 5*quantity.Second)
	list = between(list, "window", r.Window, 20*quantity.RPM, 2000*quantity.RPM)
	return list
}

// between adds a problem for a rule that is given and out of its limits.
func between[Q quantity.Quantity](list []sheet.Problem, field string, q, low, high Q) []sheet.Problem {
	if q == 0 || q >= low && q <= high {
		return list
	}
	return append(list, sheet.Problem{
		Field: "rules." + field, Value: quantity.Format(q, quantity.SI), Reason: "is out of range",
		Accepted: "from " + quantity.Format(low, quantity.SI) + " to " + quantity.Format(high, quantity.SI),
	})
}
