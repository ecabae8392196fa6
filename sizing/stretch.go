package sizing

import (
	"math"

	"example.com/railbook/sizing/demand"
)

// side is a number at each point of a stretch: one for all of them, or a column.
type side struct {
	all  float64
	each []float64 // nil where all have the same
}

// onSide takes the numbers of a column from its i-th place on, or only that one.
func onSide(column []float64, i, run int, moves bool) side {
	if moves {
		return side{each: column[i : i+run]}
	}
	return side{all: column[i]}
}

// spread gives a column in any case, in room where there is none.
func (s side) spread(room *[stretch]float64, run int) []float64 {
	if s.each != nil {
		return s.each
	}
	c := room[:run]
	for k := range c {
		c[k] = s.all
	}
	return c
}

// place is the place of a point in what is kept by strides, and whether the last axis
// moves it.
func place(strides, at []int) (i int, moves bool) {
	for k, stride := range strides {
		i += at[k] * stride
		moves = stride != 0
	}
	return i, moves
}

// factors are what the terms of a stretch are found from.
type factors struct {
	powerBSFC, energyBSFC, perAir, specific side
	air, power, perPower, surplus           side
	perFlow, dead, rate, most               side // of the injectors
}

// stretch finds terms at the run points from at along the last axis, into those columns
// of to that are not nil.
func (v *Variation) stretch(at []int, run int, to *[terms][]float64, scratch *Scratch) {
	g := v.algebra
	l, lMoves := place(v.liquid.strides, at)
	b, bMoves := place(v.breath.strides, at)
	a, aMoves := place(v.aim.strides, at)
	f := factors{
		powerBSFC: onSide(g.powerBSFC, l, run, lMoves), energyBSFC: onSide(g.energyBSFC, l, run, lMoves), perAir: onSide(g.perAir, l, run, lMoves),
		specific: onSide(g.specific, l, run, lMoves),
		air:      onSide(g.air, b, run, bMoves),
		power:    onSide(g.power, a, run, aMoves), perPower: onSide(g.perPower, a, run, aMoves), surplus: onSide(g.surplus, a, run, aMoves),
	}
	measured := to[DifferentialTerm] != nil || to[StaticTerm] != nil || to[PulseTerm] != nil || to[DutyTerm] != nil || to[InjectorMarginTerm] != nil
	if measured {
		m, i, moves := &g.meters, 0, false
		if m.rate != nil {
			i, moves = place(g.strides, at)
		} else {
			m, moves = scratch.measure(v, at, run), true
		}
		kept := m == &g.meters
		f.perFlow, f.most = onSide(m.perFlow, i, run, moves), onSide(m.most, i, run, moves)
		f.dead = onSide(m.dead, i, run, moves && !(kept && g.sameDead))
		f.rate = onSide(m.rate, i, run, moves && !(kept && g.sameRate))
		if c := to[DifferentialTerm]; c != nil {
			onSide(m.differential, i, run, moves).fill(c)
		}
		if c := to[StaticTerm]; c != nil {
			onSide(m.static, i, run, moves).fill(c)
		}
	}
	if c := to[PowerTerm]; c != nil {
		f.power.fill(c)
	}
	if g.flows && f.alone(to, g.route) {
		if of, by, found := g.governor(&f, l, a, run, lMoves, aMoves); found && f.govern(of, by, to[DutyTerm]) {
			return
		}
	}
	if measured && g.plain && f.fuse(to, run, g.route, scratch) {
		return
	}
	own := func(t Term, r int) []float64 {
		if to[t] != nil {
			return to[t]
		}
		return scratch.room[r][:run]
	}
	needed, total := own(NeededTerm, 0), own(TotalTerm, 1)
	routes{f.powerBSFC, f.energyBSFC, f.perAir, f.power, f.air, g.route}.find(to, needed, scratch)
	injected := total
	if g.plain {
		scale(total, needed, f.surplus)
	} else {
		injected = scratch.room[2][:run]
		credit := onSide(g.credit, l, run, lMoves).spread(&scratch.room[3], run)
		pumped := onSide(g.pumped, l, run, lMoves).spread(&scratch.room[4], run)
		added := onSide(g.injected, l, run, lMoves).spread(&scratch.room[5], run)
		grown := f.surplus.spread(&scratch.room[6], run)
		for k, x := range needed {
			engine := float64((x - min(credit[k], x)) * grown[k])
			total[k], injected[k] = engine+pumped[k], engine+added[k]
		}
	}
	if c := to[BSFCTerm]; c != nil {
		scale(c, needed, f.perPower)
	}
	if c := to[VolumeTerm]; c != nil {
		scale(c, total, f.specific)
	}
	if to[PulseTerm] != nil || to[DutyTerm] != nil {
		pulses(own(PulseTerm, 8), to[DutyTerm], injected, f.perFlow, f.dead, f.rate)
	}
	if c := to[InjectorMarginTerm]; c != nil {
		volume := to[VolumeTerm]
		if volume == nil || !g.plain {
			volume = scratch.room[7][:run]
			scale(volume, injected, f.specific)
		}
		margins(c, volume, f.most)
	}
}

// fill puts the numbers into a column.
func (s side) fill(to []float64) {
	if s.each != nil {
		copy(to, s.each)
		return
	}
	for k := range to {
		to[k] = s.all
	}
}

// routes finds the fuel by each route and the one that counts.
type routes struct {
	powerBSFC, energyBSFC, perAir, power, air side
	which                                     demand.Route
}

func (r routes) find(to *[terms][]float64, needed []float64, scratch *Scratch) {
	run := len(needed)
	if to[PowerRouteTerm] == nil && to[EnergyRouteTerm] == nil && to[AirRouteTerm] == nil && r.which == demand.Highest {
		switch {
		case r.powerBSFC.each != nil && r.power.each == nil && r.air.each == nil:
			highestByFuel(needed, r.powerBSFC.each, r.energyBSFC.each, r.perAir.each, r.power.all, r.air.all)
			return
		case r.powerBSFC.each == nil && (r.power.each != nil || r.air.each != nil):
			highestByAir(needed, r.power.spread(&scratch.room[3], run), r.air.spread(&scratch.room[4], run), r.powerBSFC.all, r.energyBSFC.all, r.perAir.all)
			return
		case r.powerBSFC.each == nil:
			x := highest(float64(r.powerBSFC.all*r.power.all), float64(r.energyBSFC.all*r.power.all), float64(r.air.all*r.perAir.all))
			for k := range needed {
				needed[k] = x
			}
			return
		}
	}
	own := func(t Term, k int) []float64 {
		if to[t] != nil {
			return to[t]
		}
		return scratch.room[k][:run]
	}
	byPower, byEnergy, byAir := own(PowerRouteTerm, 9), own(EnergyRouteTerm, 10), own(AirRouteTerm, 11)
	power := r.power.spread(&scratch.room[3], run)
	scale(byPower, power, r.powerBSFC)
	scale(byEnergy, power, r.energyBSFC)
	scale(byAir, r.air.spread(&scratch.room[4], run), r.perAir)
	switch r.which {
	case demand.Power:
		copy(needed, byPower)
	case demand.Energy:
		copy(needed, byEnergy)
	case demand.Air:
		copy(needed, byAir)
	default:
		byEnergy, byAir = byEnergy[:len(byPower)], byAir[:len(byPower)]
		for k, p := range byPower {
			needed[k] = highest(p, byEnergy[k], byAir[k])
		}
	}
}

// highest is the greatest of three flows, as [demand.Routes.By] has it.
func highest(power, energy, air float64) float64 {
	if energy > power {
		power = energy
	}
	if air > power {
		power = air
	}
	return power
}

func highestByFuel(to, powerBSFC, energyBSFC, perAir []float64, power, air float64) {
	powerBSFC, energyBSFC, perAir = powerBSFC[:len(to)], energyBSFC[:len(to)], perAir[:len(to)]
	for k := range to {
		to[k] = highest(float64(powerBSFC[k]*power), float64(energyBSFC[k]*power), float64(air*perAir[k]))
	}
}

func highestByAir(to, power, air []float64, powerBSFC, energyBSFC, perAir float64) {
	power, air = power[:len(to)], air[:len(to)]
	for k := range to {
		to[k] = highest(float64(powerBSFC*power[k]), float64(energyBSFC*power[k]), float64(air[k]*perAir))
	}
}

// scale multiplies a column.
func scale(to, x []float64, by side) {
	x = x[:len(to)]
	if by.each == nil {
		for k := range to {
			to[k] = x[k] * by.all
		}
		return
	}
	each := by.each[:len(to)]
	for k := range to {
		to[k] = x[k] * each[k]
	}
}

// pulses finds pulse widths and, where duty is not nil, duties. Where nothing flows
// both are zero.
func pulses(pulse, duty, injected []float64, perFlow, dead, rate side) {
	injected = injected[:len(pulse)]
	if perFlow.each == nil && !math.IsInf(perFlow.all, 0) {
		for k := range pulse {
			pulse[k] = float64(injected[k]*perFlow.all) + dead.all
		}
		if duty != nil {
			scale(duty, pulse, rate)
		}
		return
	}
	if perFlow.each == nil {
		clear(pulse)
		clear(duty)
		return
	}
	each := perFlow.each[:len(pulse)]
	if dead.each == nil {
		for k := range pulse {
			pulse[k] = open(injected[k], each[k], dead.all)
		}
	} else {
		late := dead.each[:len(pulse)]
		for k := range pulse {
			pulse[k] = open(injected[k], each[k], late[k])
		}
	}
	if duty != nil {
		scale(duty, pulse, rate)
	}
}

// margins finds what the injectors can pass over what they have to, by volume, less one.
func margins(to, volume []float64, most side) {
	volume = volume[:len(to)]
	if most.each == nil {
		for k := range to {
			to[k] = most.all/max(float64(leastFlow), volume[k]) - 1
		}
		return
	}
	each := most.each[:len(to)]
	for k := range to {
		to[k] = each[k]/max(float64(leastFlow), volume[k]) - 1
	}
}

// measure finds what the injectors do along a stretch for which it is not kept.
func (s *Scratch) measure(v *Variation, at []int, run int) *meters {
	if s.meters.rate == nil {
		s.meters.room(stretch)
	}
	last := len(at) - 1
	k := at[last]
	for i := range run {
		at[last] = k + i
		v.meter(at, &s.meters, i)
	}
	at[last] = k
	return &s.meters
}
