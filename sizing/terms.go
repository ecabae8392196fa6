package sizing

import (
	"slices"

	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/regulator"
)

// Term is a result that follows by arithmetic alone, without a balance to be solved.
// [Variation.Terms] finds them for many points at once.
type Term uint8

const (
	PowerRouteTerm     Term = iota // Demand.Routes.Power
	EnergyRouteTerm                // Demand.Routes.Energy
	AirRouteTerm                   // Demand.Routes.Air
	NeededTerm                     // Demand.Needed
	TotalTerm                      // Demand.Total
	VolumeTerm                     // Demand.Volume
	BSFCTerm                       // Demand.BSFC
	PowerTerm                      // Power
	DifferentialTerm               // Injection.Differential
	StaticTerm                     // Injection.Static
	PulseTerm                      // Injection.Pulse, 0 where nothing flows
	DutyTerm                       // Injection.Duty, 0 where nothing flows
	InjectorMarginTerm             // the margin of the injectors' [Part]

	terms
)

// algebra is what terms are found from: the numbers of the stages that a variation
// keeps, one column each, as inner loops want them.
type algebra struct {
	row   int // number of values of the last axis
	route demand.Route
	plain bool // nothing is credited or added anywhere

	// Of the fuel.
	powerBSFC, energyBSFC, perAir, specific []float64
	credit, pumped, injected                []float64 // credit against the demand, and flow added to it
	// Of the air.
	air []float64
	// Of the target.
	power, perPower, surplus []float64 // surplus is one more than the allowance
	// Of the injectors; empty where there are too many combinations to keep.
	meters  meters
	strides []int // of the axes that move them
	// Whether dead time and rate are the same for all of them.
	sameDead, sameRate bool

	worst  []float64 // greater of powerBSFC and energyBSFC
	rivals rivals
	flows  bool // fuel flows at every point
}

// meters are what the injectors do, whatever is asked of them, a column for each
// number of it.
type meters struct{ differential, static, perFlow, dead, rate, most []float64 }

// prepare makes ready for the terms. It leaves them unknown where a balance has to be
// solved for them, where a point makes no sense, or where stages are not kept.
func (v *Variation) prepare() {
	for i := range v.refused {
		if v.refused[i].kept == nil || slices.ContainsFunc(v.refused[i].kept, func(err error) bool { return err != nil }) {
			return
		}
	}
	if !v.hardware.whole() || !v.liquid.whole() || !v.breath.whole() || !v.aim.whole() {
		return
	}
	g := &algebra{plain: true, row: 1, route: v.aim.kept[0].route}
	if n := len(v.axes); n > 0 {
		g.row = len(v.axes[n-1].Values)
	}
	moves := hardwareStage | liquidStage
	for _, h := range v.hardware.kept {
		if len(h.sets) != 1 || h.creeps || !h.bySpeed && !h.reg.Kind.AtRail() || !h.sets[0].LowPulse.IsZero() {
			return
		}
		if h.reg.Kind != regulator.ManifoldReferenced || h.reg.Rate() != 1 {
			moves |= breathStage // the air enters the differential pressure
		}
	}
	for _, l := range v.liquid.kept {
		g.powerBSFC = append(g.powerBSFC, float64(l.powerBSFC))
		g.energyBSFC = append(g.energyBSFC, float64(l.energyBSFC))
		g.perAir = append(g.perAir, float64(l.perAir))
		g.specific = append(g.specific, l.specific)
		g.credit = append(g.credit, float64(l.credit))
		g.pumped = append(g.pumped, float64(l.nitrous.Pumps))
		g.injected = append(g.injected, float64(l.nitrous.Injectors))
		g.plain = g.plain && l.credit == 0 && l.nitrous.Pumps == 0 && l.nitrous.Injectors == 0
	}
	for _, br := range v.breath.kept {
		g.air = append(g.air, float64(br.air))
	}
	for _, t := range v.aim.kept {
		g.power = append(g.power, float64(t.power))
		g.perPower = append(g.perPower, t.perPower)
		g.surplus = append(g.surplus, 1+float64(t.allowance))
	}
	strides, n := v.combineUpTo(maxMeters, func(f Field) bool { return f.moves&moves != 0 })
	if g.strides = strides; n <= maxMeters {
		g.meters.room(n)
		at := make([]int, len(v.axes))
		for i := range n {
			v.meter(at, &g.meters, i)
			v.next(at, strides)
		}
	}
	g.sameDead, g.sameRate = same(g.meters.dead), same(g.meters.rate)
	g.compete(slices.Equal(v.aim.strides, v.breath.strides))
	v.algebra = g
}

// same reports whether a column holds one number only.
func same(column []float64) bool {
	return !slices.ContainsFunc(column, func(x float64) bool { return x != column[0] })
}

// maxMeters bounds how many combinations of what the injectors do are kept.
const maxMeters = 1 << 20

func (m *meters) room(n int) {
	for _, c := range []*[]float64{&m.differential, &m.static, &m.perFlow, &m.dead, &m.rate, &m.most} {
		*c = make([]float64, n)
	}
}

// meter puts what the injectors do at a point into the i-th place.
func (v *Variation) meter(at []int, into *meters, i int) {
	s := system{hardware: v.hardware.take(at), liquid: v.liquid.take(at), breath: v.breath.take(at)}
	m := s.meter(s.reg.Differential(s.manifold, s.ambient))
	into.differential[i], into.perFlow[i], into.dead[i], into.rate[i] = float64(m.differential), m.perFlow, float64(m.dead), s.rate
	into.static[i] = float64(s.sets[0].Rating.Flow(s.density, m.differential))
	into.most[i] = float64(s.volume(s.passed(m.differential, s.maxDuty)))
}

// TermsKnown reports whether [Variation.Terms] can be asked: whether all points make
// sense, and no term needs a balance to be solved.
func (v *Variation) TermsKnown() bool { return v.algebra != nil }

// Flows reports whether fuel is known to flow at every point, so that no term stands at
// zero for want of it.
func (v *Variation) Flows() bool { return v.algebra != nil && v.algebra.flows }

// Terms finds terms at consecutive points from first on, as many as each slice of into
// is long, in the coherent SI unit. They are those of [Variation.Assess], to the last
// bit. No two goroutines may share scratch.
//
// It panics where [Variation.TermsKnown] is false.
func (v *Variation) Terms(first int, want []Term, into [][]float64, scratch *Scratch) {
	if v.algebra == nil {
		panic("sizing: terms of a variation that has none")
	}
	if len(want) == 0 {
		return
	}
	at := scratch.indices(len(v.axes))
	for done, n := 0, len(into[0]); done < n; {
		v.Indices(first+done, at)
		k := 0
		if len(at) > 0 {
			k = at[len(at)-1]
		}
		run := min(v.algebra.row-k, n-done, stretch)
		var to [terms][]float64
		for c, t := range want {
			to[t] = into[c][done : done+run]
		}
		v.stretch(at, run, &to, scratch)
		done += run
	}
}

// stretch is the number of points that are found together: few enough that all of their
// numbers stay in the processor's first cache.
const stretch = 1024

// Scratch is room for [Variation.Terms]. The zero value is ready to use.
type Scratch struct {
	at     []int
	room   [12][stretch]float64
	meters meters
}

func (s *Scratch) indices(n int) []int {
	if cap(s.at) < n {
		s.at = make([]int, n)
	}
	return s.at[:n]
}
