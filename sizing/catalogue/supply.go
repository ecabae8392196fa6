package catalogue

import (
	"errors"
	"fmt"
	"math"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
)

// arrangement is all of a set but its injectors and the base pressure.
type arrangement struct{ pump, count, hose, filter, regulator int }

// supply is an arrangement at one base pressure.
type supply struct {
	judged
	target, idle quantity.PressureDiff // over the injectors; both tell the group
	group        int32                 // -1 where the parts do not go together
}

// wide stands for injectors that pass any demand, so that what is found of the supply
// side is what holds for all that pass theirs.
var wide = func() injector.Rating {
	r, err := injector.NewRating(1*quantity.CubicMetrePerSecond, injector.Conditions{Pressure: 1 * quantity.BarDiff})
	if err != nil {
		panic("catalogue: " + err.Error())
	}
	return r
}()

// bare is the build with wide injectors, which set no limit.
func bare(b sizing.Build) sizing.Build {
	b.Injectors.Flow, b.Injectors.DeadTime = wide, []injector.DeadTimePoint{{}}
	b.Injectors.LowPulse, b.Injectors.MinimumPulse, b.Injectors.Spread = injector.LowPulse{}, 0, 0
	b.Injectors.Coil, b.Injectors.Wiring = injector.Coil{}, nil
	b.Secondary = nil
	return b
}

// arrangements lists all of them. Those of one pump stand together, as do the counts of
// one hose, filter and regulator.
func (l *Lists) arrangements() []arrangement {
	var list []arrangement
	each(len(l.Pumps), func(pump int) {
		each(len(l.Hoses), func(hose int) {
			each(len(l.Filters), func(filter int) {
				each(len(l.Regulators), func(regulator int) {
					most := 1
					if pump >= 0 {
						most = l.Pumps[pump].most()
					}
					for count := 1; count <= most; count++ {
						list = append(list, arrangement{pump, count, hose, filter, regulator})
					}
				})
			})
		})
	})
	return list
}

// each calls do with the places of a list, or with -1 where it is empty.
func each(n int, do func(i int)) {
	if n == 0 {
		do(-1)
	}
	for i := range n {
		do(i)
	}
}

// candidate puts an arrangement, a pressure and injectors together.
func (a arrangement) candidate(injector int, p quantity.PressureDiff) Candidate {
	return Candidate{Injector: injector, Pump: a.pump, Count: a.count, Hose: a.hose, Filter: a.filter, Regulator: a.regulator, Pressure: p}
}

// hydraulics finds what the supply sides of a run of arrangements do that differ in
// nothing but the number of pumps, at each pressure: into has all pressures of the first
// arrangement, then those of the next.
func (s *survey) hydraulics(run []arrangement, into []supply) {
	first := run[0]
	b := s.lists.Build(s.bare, first.candidate(-1, s.pressures[0]))
	var trials *sizing.Trials
	fields, err := s.fields(first.pump >= 0)
	if err == nil {
		err = b.Validate() // trials do not look at curves again that stay
	}
	if err == nil {
		trials, err = sizing.NewTrials(b, fields...)
	}
	var a sizing.Assessment
	for k, arr := range run {
		for i, p := range s.pressures {
			to := &into[k*len(s.pressures)+i]
			*to = supply{judged: nothing(), group: -1}
			if text := s.outOfRange(arr, p); text != "" {
				to.short = Shortfall{Reason: PressureRange, Text: text}
				continue
			}
			fault := err
			if fault == nil {
				values := []float64{float64(p), float64(arr.count)}
				fault = trials.Assess(values[:len(fields)], sizing.MarginsSection, &a)
			}
			if fault != nil {
				to.short = Shortfall{Reason: DoesNotFit, Text: brief(fault)}
				continue
			}
			to.target, to.idle = a.Injection.Differential, a.Idle.Rail.Above(s.idlePressure)
			s.judge(&to.judged, arr, &a)
		}
	}
}

// fields are what differs within a run of arrangements: the base pressure, and the
// number of pumps where these are chosen.
func (s *survey) fields(counted bool) ([]sizing.Field, error) {
	base, err := sizing.FieldNamed("base pressure")
	if err != nil || !counted {
		return []sizing.Field{base}, err
	}
	at := 0
	for at < len(s.build.Pumps) && s.build.Pumps[at].Role != sizing.Main {
		at++
	}
	number, err := sizing.FieldNamed(fmt.Sprintf("pumps[%d].count", at+1))
	return []sizing.Field{base, number}, err
}

// brief is the first problem of a build that makes no sense.
func brief(err error) string {
	if be, ok := errors.AsType[*sizing.BuildError](err); ok && len(be.Problems) > 0 {
		return be.Problems[0].String()
	}
	return err.Error()
}

// outOfRange says that a regulator cannot be set to a base pressure, or nothing.
func (s *survey) outOfRange(a arrangement, p quantity.PressureDiff) string {
	if a.regulator < 0 {
		return ""
	}
	r := &s.lists.Regulators[a.regulator]
	if p >= r.Least && (r.Most == 0 || p <= r.Most) {
		return ""
	}
	sys := s.build.Job.Units
	most := "any pressure"
	if r.Most != 0 {
		most = quantity.Format(r.Most, sys)
	}
	return fmt.Sprintf("%s is set from %s to %s, not to %s", r.Name(), quantity.Format(r.Least, sys), most, quantity.Format(p, sys))
}

// judge judges a supply side by its assessment with wide injectors.
func (s *survey) judge(to *judged, arr arrangement, a *sizing.Assessment) {
	for _, p := range a.Parts {
		if p.Kind != sizing.InjectorsPart && p.Kind != sizing.IdleInjectionPart {
			to.part(reasonOf(p.Kind), s.counted(p.Kind, p.Margin), float64(p.Wanted))
		}
	}
	if rating, need := s.ratings(arr, a); rating != 0 {
		to.part(RatingShort, float64(rating/need)-1, 0)
	}
}

// ratings is the lowest working pressure that hose and filter are rated for, zero where
// none is stated, and the pressure that they have to bear: that at the pumps' outlet at
// the target, or that of the pumps' relief valve, which a blocked return raises it to.
func (s *survey) ratings(arr arrangement, a *sizing.Assessment) (rating, need quantity.PressureDiff) {
	if arr.hose >= 0 {
		rating = s.lists.Hoses[arr.hose].Rating
	}
	if arr.filter >= 0 {
		if r := s.lists.Filters[arr.filter].Rating; r != 0 && (rating == 0 || r < rating) {
			rating = r
		}
	}
	need = a.Delivery.PumpOutlet.Above(s.ambient)
	if arr.pump >= 0 {
		need = max(need, s.lists.Pumps[arr.pump].Relief)
	}
	return rating, max(need, quantity.PressureDiff(math.SmallestNonzeroFloat64))
}
