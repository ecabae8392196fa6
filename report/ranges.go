package report

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/quantity"
)

// trial is a build in which an assumption is wrong, and how.
type trial struct {
	says  string // "85 %"
	build sizing.Build
	err   error
}

// span is the range that an assumption is looked at over. Its ends are common practice
// without a source unless basis names one.
type span struct {
	low, high trial
	basis     string
	other     bool // whether the high end is another arrangement, not a value that may turn out so
}

// says tells the range in words.
func (s span) says() string {
	if s.low.says == "" {
		return s.high.says
	}
	return s.low.says + " to " + s.high.says
}

// spanOf is the range that an assumption is looked at over, as changes of the build that
// was given; ok is false for one of which nothing is known that could be computed.
func (w *writer) spanOf(x sizing.Assumption, given sizing.Build) (s span, ok bool) {
	for _, d := range given.InDoubt().List {
		if x.Field == d.Path {
			q := d.Spread().Quantile
			end := func(share float64) trial {
				si := q(share)
				b, err := d.Field().Set(given, si)
				return trial{d.Print(si, w.sys), b, err}
			}
			return span{low: end(0.05), high: end(0.95), basis: "the sheet’s 5 and 95 %"}, true
		}
	}
	if x.Field == "" {
		return w.modelSpan(x, given)
	}
	first, _, _ := strings.Cut(x.Field, ", ")
	r, ok := ranges[elements.ReplaceAllString(first, "")]
	if !ok {
		return span{}, false
	}
	return r(ranging{w.sys, given, w.a, strings.Split(x.Field, ", ")}), true
}

// elements are the numbers of elements in paths.
var elements = regexp.MustCompile(`\[\d+\]`)

// ranging is what a range is made from.
type ranging struct {
	sys    quantity.System
	given  sizing.Build
	a      *sizing.Assessment
	fields []string // paths in the sheet that have to change together
}

// at sets the fields to a value.
func at[Q quantity.Quantity](r ranging, v Q) trial {
	t := trial{says: quantity.Format(v, r.sys), build: r.given}
	var share quantity.Ratio
	if _, is := any(v).(quantity.Ratio); is {
		share = quantity.Ratio(v)
		t.says = share.Percent(0)
	}
	for _, path := range r.fields {
		f, err := sizing.FieldNamed(path)
		if err == nil {
			t.build, err = f.Set(t.build, float64(v))
		}
		if err != nil {
			return trial{says: t.says, err: err}
		}
	}
	return t
}

// between is a range from one value to another.
func between[Q quantity.Quantity](low, high Q) func(ranging) span {
	return func(r ranging) span { return span{low: at(r, low), high: at(r, high)} }
}

// plain prints ratios that are no percentages, as lambda is none.
func plain(f func(ranging) span, low, high float64) func(ranging) span {
	return func(r ranging) span {
		s := f(r)
		s.low.says, s.high.says = quantity.Digits(low, 3), quantity.Digits(high, 3)
		return s
	}
}

// about is a range around the value that was assumed.
func about[Q quantity.Quantity](of func(*sizing.Assessment) Q, less, more Q) func(ranging) span {
	return func(r ranging) span {
		v := of(r.a)
		return span{low: at(r, v-less), high: at(r, v+more)}
	}
}

// changed is a build with a change that no single field tells.
func changed(r ranging, says string, change func(*sizing.Build)) trial {
	t := trial{says: says, build: r.given}
	change(&t.build)
	return t
}

// as is the assumption itself, as one end of a range.
func as(r ranging, says string) trial { return trial{says: says, build: r.given} }

// ranges are the ranges of the fields of the sheet that have a default. They are wide
// enough to hold what the trade meets: common practice, no source.
var ranges = map[string]func(ranging) span{
	"engine.strokes": func(r ranging) span {
		return span{low: as(r, "four"), high: changed(r, "two-stroke", func(b *sizing.Build) { b.Engine.Strokes = 2 }), other: true}
	},
	"engine.volumetric_efficiency":  between[quantity.Ratio](0.85, 1.05),
	"engine.brake_efficiency":       about(func(a *sizing.Assessment) quantity.Ratio { return a.Build.Engine.BrakeEfficiency }, 0.03, 0.03),
	"engine.idle_speed":             between(700*quantity.RPM, 1300*quantity.RPM),
	"engine.idle_manifold_pressure": between(30*quantity.Kilopascal, 65*quantity.Kilopascal),
	"induction.barometer": about(func(a *sizing.Assessment) quantity.Pressure { return a.Build.Induction.Barometer },
		4*quantity.Kilopascal, 3*quantity.Kilopascal),
	"induction.ambient_temperature": between(quantity.Celsius(0), quantity.Celsius(40)),
	"induction.humidity": func(r ranging) span {
		return span{low: as(r, "dry"), high: changed(r, "60 % at "+quantity.Format(quantity.Celsius(30), r.sys), func(b *sizing.Build) {
			b.Induction.Humidity = 0.6
			if b.Induction.ChargeTemperature != 0 {
				b.Induction.AmbientTemperature = quantity.Celsius(30)
			}
		})}
	},
	"fuel.temperature":        between(quantity.Celsius(10), quantity.Celsius(60)),
	"fuel.bsfc":               bandSpan,
	"tank.temperature":        between(quantity.Celsius(10), quantity.Celsius(50)),
	"electrical.voltage":      between(12*quantity.Volt, 14.4*quantity.Volt),
	"electrical.pump_voltage": about(func(a *sizing.Assessment) quantity.Voltage { return a.Build.Electrical.PumpVoltage }, 1*quantity.Volt, 0.5*quantity.Volt),
	"electrical.supply":       between(12.5*quantity.Volt, 14.4*quantity.Volt),
	"pumps.wiring.return":     shortEarth, "injectors.wiring.return": shortEarth,
	"pumps.wiring.temperature": copperTemperature, "injectors.wiring.temperature": copperTemperature,
	"pumps.wiring.allowance": wireAllowance, "injectors.wiring.allowance": wireAllowance,
	"pumps.wiring.contacts": wireContacts, "injectors.wiring.contacts": wireContacts,
	"injectors.count": func(r ranging) span {
		return span{low: as(r, "one"), high: changed(r, "two for each cylinder", func(b *sizing.Build) { b.Injectors.Count = 2 * r.a.Build.Engine.Cylinders }), other: true}
	},
	"injectors.flow": ratedOnGasoline,
	"secondary_injectors.count": func(r ranging) span {
		return span{low: as(r, "one"), high: second(r, "two for each cylinder", func(s *sizing.Secondary) { s.Count = 2 * r.a.Build.Engine.Cylinders }), other: true}
	},
	"secondary_injectors.dead_time": func(r ranging) span {
		dead := func(share float64) func(*sizing.Secondary) {
			return func(s *sizing.Secondary) {
				s.DeadTime = append([]injector.DeadTimePoint(nil), r.a.Build.Injectors.DeadTime...)
				for i := range s.DeadTime {
					s.DeadTime[i].Time = quantity.Time(share * float64(s.DeadTime[i].Time))
				}
			}
		}
		return span{low: second(r, "80 %", dead(0.8)), high: second(r, "120 % of it", dead(1.2))}
	},
	"nitrous.lambda": func(r ranging) span {
		l := r.a.Build.Nitrous.Lambda
		low, high := l-0.05, l+0.05
		return plain(between(low, high), float64(low), float64(high))(r)
	},
	"water_methanol.methanol":    between[quantity.VolumeFraction](0.4, 0.6),
	"water_methanol.temperature": between(quantity.Celsius(5), quantity.Celsius(45)),
	"regulator.least_speed":      between[quantity.Ratio](0.2, 0.5),
	"feed_line": func(r ranging) span {
		lost := 35 * quantity.KilopascalDiff
		return span{low: as(r, "nothing"), high: changed(r, quantity.Format(lost, r.sys)+" lost at the demand", func(b *sizing.Build) {
			b.FeedLine = sizing.Segment{Filter: plumbing.Filter{Flow: r.a.Demand.Volume, Drop: lost}}
		})}
	},
	"feed_line.roughness": roughness, "suction.roughness": roughness, "return_line.roughness": roughness,
	"policy.max_duty":        between[quantity.Ratio](0.80, 0.90),
	"policy.injector_margin": marginSpan, "policy.pump_margin": marginSpan, "policy.line_margin": marginSpan,
	"policy.allowed_line_loss": between(20*quantity.KilopascalDiff, 70*quantity.KilopascalDiff),
	"policy.inlet_margin":      between(5*quantity.KilopascalDiff, 30*quantity.KilopascalDiff),
}

var (
	copperTemperature = between(quantity.Celsius(20), quantity.Celsius(100))
	wireAllowance     = between[quantity.Ratio](0.02, 0.25)
	wireContacts      = func(r ranging) span {
		s := span{low: at(r, 2*quantity.Milliohm), high: at(r, 25*quantity.Milliohm)}
		s.low.says, s.high.says = "2 mΩ", "25 mΩ"
		return s
	}
	// A hose may be this rough inside where it is not convoluted.
	roughness = func(r ranging) span {
		s := span{low: at(r, 1*quantity.Micrometre), high: at(r, 50*quantity.Micrometre)}
		s.low.says, s.high.says = "1 µm", "50 µm"
		return s
	}
	marginSpan = between[quantity.Ratio](0, 0.20)
)

// shortEarth is a way back as short as a strap to the body.
func shortEarth(r ranging) span {
	const strap = 1 * quantity.Foot
	low := at(r, strap)
	low.says = length(r.sys, strap)
	return span{low: low, high: as(r, "as long as the way there")}
}

// second changes the second set of injectors.
func second(r ranging, says string, change func(*sizing.Secondary)) trial {
	return changed(r, says, func(b *sizing.Build) {
		own := *b.Secondary
		change(&own)
		b.Secondary = &own
	})
}

// bandSpan is the whole band of consumption that common practice gives.
func bandSpan(r ranging) span {
	end := func(v quantity.SpecificConsumption) trial {
		return changed(r, quantity.Format(v, r.sys), func(b *sizing.Build) { b.Fuel.BSFC = v })
	}
	return span{low: end(r.a.Demand.Band.Low), high: end(r.a.Demand.Band.High)}
}

// ratedOnGasoline takes an injector's rating to be one on gasoline.
func ratedOnGasoline(r ranging) span {
	t := trial{says: "gasoline", build: r.given}
	rating := r.given.Injectors.Flow
	n := func(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
	text := fmt.Sprintf("%s m³/s at %s Pa on gasoline", n(float64(rating.Volume())), n(float64(rating.Pressure())))
	t.build.Injectors.Flow, t.err = injector.ParseRating(text)
	return span{low: as(r, "n-heptane"), high: t}
}

// The beginnings of what the model assumes, by which its ranges are found.
const (
	fuelByPower     = "fuel in proportion to power"
	manifoldByPower = "manifold pressure in proportion to power"
	ventedTank      = "the tank is vented"
)

// modelSpan is the range of something that the model takes for granted.
func (w *writer) modelSpan(x sizing.Assumption, given sizing.Build) (span, bool) {
	r := ranging{sys: w.sys, given: given, a: w.a}
	switch {
	case strings.HasPrefix(x.Text, fuelByPower):
		return span{other: true, high: changed(r, "5 % more fuel for each unit of power", func(b *sizing.Build) {
			b.Target.Allowance = (1+b.Target.Allowance)*1.05 - 1
		})}, true
	case strings.HasPrefix(x.Text, manifoldByPower):
		boost := w.a.Build.Induction.Boost
		more := quantity.PressureDiff(0.1 * float64(boost))
		return span{high: changed(r, quantity.Format(more, w.sys)+" more boost for the same power", func(b *sizing.Build) { b.Induction.Boost = boost + more })}, true
	case strings.HasPrefix(x.Text, ventedTank):
		lost := 10 * quantity.KilopascalDiff
		return span{high: changed(r, quantity.Format(lost, w.sys)+" lost before the pumps", func(b *sizing.Build) {
			draw := max(w.a.Inlet.Flow, w.a.Demand.Volume)
			b.Suction = append(append([]sizing.Segment(nil), b.Suction...), sizing.Segment{Filter: plumbing.Filter{Flow: draw, Drop: lost}})
		})}, true
	}
	return span{}, false
}
