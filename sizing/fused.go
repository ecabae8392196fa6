package sizing

import (
	"math"

	"example.com/railbook/sizing/demand"
)

// fuse finds the usual terms in one pass, so that what lies between them stays in
// registers: those that most sweeps ask for, over an axis that moves either the fuel or
// the air and target. It reports whether it has; the operations and their order are those
// of the passes that [Variation.Terms] makes otherwise.
func (f *factors) fuse(to *[terms][]float64, run int, route demand.Route, scratch *Scratch) bool {
	if route != demand.Highest || to[PowerRouteTerm] != nil || to[EnergyRouteTerm] != nil || to[AirRouteTerm] != nil ||
		to[NeededTerm] != nil || to[DutyTerm] == nil || f.rate.each != nil || f.dead.each != nil || math.IsInf(f.perFlow.all, 0) {
		return false
	}
	own := func(t Term, r int) []float64 {
		if to[t] != nil {
			return to[t]
		}
		return scratch.room[r][:run]
	}
	alone := f.alone(to, route)
	byFuel := f.powerBSFC.each != nil && f.power.each == nil && f.air.each == nil && f.surplus.each == nil
	byAir := f.powerBSFC.each == nil && f.power.each != nil && f.air.each != nil && f.perFlow.each == nil
	switch {
	case byFuel:
		perFlow := f.perFlow.spread(&scratch.room[3], run)
		if alone {
			dutyByFuel(to[DutyTerm], f.powerBSFC.each, f.energyBSFC.each, f.perAir.each, perFlow, f.dead.all, f.power.all, f.air.all, f.surplus.all, f.rate.all)
			return true
		}
		usualByFuel(own(TotalTerm, 0), own(VolumeTerm, 1), own(BSFCTerm, 2), own(PulseTerm, 5), to[DutyTerm], own(InjectorMarginTerm, 6),
			f.powerBSFC.each, f.energyBSFC.each, f.perAir.each, f.specific.each, perFlow, f.most.spread(&scratch.room[7], run),
			f.dead.all, f.power.all, f.perPower.all, f.air.all, f.surplus.all, f.rate.all)
		return true
	case byAir:
		surplus := f.surplus.spread(&scratch.room[3], run)
		if alone {
			dutyByAir(to[DutyTerm], f.power.each, f.air.each, surplus, f.powerBSFC.all, f.energyBSFC.all, f.perAir.all, f.perFlow.all, f.dead.all, f.rate.all)
			return true
		}
		usualByAir(own(TotalTerm, 0), own(VolumeTerm, 1), own(BSFCTerm, 2), own(PulseTerm, 5), to[DutyTerm], own(InjectorMarginTerm, 6),
			f.power.each, f.perPower.each, f.air.each, surplus,
			f.powerBSFC.all, f.energyBSFC.all, f.perAir.all, f.specific.all, f.perFlow.all, f.dead.all, f.most.all, f.rate.all)
		return true
	}
	return false
}

// alone reports whether duty is all that is asked for of what is fused.
func (f *factors) alone(to *[terms][]float64, route demand.Route) bool {
	for t, column := range to {
		if column != nil && Term(t) != DutyTerm && Term(t) != PowerTerm && Term(t) != DifferentialTerm && Term(t) != StaticTerm {
			return false
		}
	}
	return to[DutyTerm] != nil && route == demand.Highest
}

// govern finds the duty where one route, a consumption times what it is multiplied by,
// governs all along. It reports whether it has.
func (f *factors) govern(of, by side, duty []float64) bool {
	if f.dead.each != nil || f.rate.each != nil {
		return false
	}
	switch {
	case of.each != nil && by.each == nil && f.perFlow.each != nil && f.surplus.each == nil:
		governedByFuel(duty, of.each, f.perFlow.each, by.all, f.surplus.all, f.dead.all, f.rate.all)
	case of.each == nil && by.each != nil && f.perFlow.each == nil && f.surplus.each != nil:
		governedByAir(duty, by.each, f.surplus.each, of.all, f.perFlow.all, f.dead.all, f.rate.all)
	default:
		return false
	}
	return true
}

// open is a pulse, zero where nothing flows.
func open(injected, perFlow, dead float64) float64 {
	pulse := float64(injected*perFlow) + dead
	if pulse > math.MaxFloat64 {
		return 0
	}
	return pulse
}

func dutyByFuel(duty, powerBSFC, energyBSFC, perAir, perFlow []float64, dead, power, air, surplus, rate float64) {
	n := len(duty)
	powerBSFC, energyBSFC, perAir, perFlow = powerBSFC[:n], energyBSFC[:n], perAir[:n], perFlow[:n]
	for k := range duty {
		total := highest(float64(powerBSFC[k]*power), float64(energyBSFC[k]*power), float64(air*perAir[k])) * surplus
		duty[k] = open(total, perFlow[k], dead) * rate
	}
}

func dutyByAir(duty, power, air, surplus []float64, powerBSFC, energyBSFC, perAir, perFlow, dead, rate float64) {
	n := len(duty)
	power, air, surplus = power[:n], air[:n], surplus[:n]
	for k := range duty {
		total := highest(float64(powerBSFC*power[k]), float64(energyBSFC*power[k]), float64(air[k]*perAir)) * surplus[k]
		duty[k] = open(total, perFlow, dead) * rate
	}
}

func usualByFuel(total, volume, bsfc, pulse, duty, margin, powerBSFC, energyBSFC, perAir, specific, perFlow, most []float64, dead, power, perPower, air, surplus, rate float64) {
	n := len(duty)
	total, volume, bsfc, pulse, margin = total[:n], volume[:n], bsfc[:n], pulse[:n], margin[:n]
	powerBSFC, energyBSFC, perAir, specific = powerBSFC[:n], energyBSFC[:n], perAir[:n], specific[:n]
	perFlow, most = perFlow[:n], most[:n]
	for k := range duty {
		needed := highest(float64(powerBSFC[k]*power), float64(energyBSFC[k]*power), float64(air*perAir[k]))
		sum := needed * surplus
		by := sum * specific[k]
		width := open(sum, perFlow[k], dead)
		total[k], volume[k], bsfc[k] = sum, by, needed*perPower
		pulse[k], duty[k] = width, width*rate
		margin[k] = most[k]/max(float64(leastFlow), by) - 1
	}
}

func usualByAir(total, volume, bsfc, pulse, duty, margin, power, perPower, air, surplus []float64, powerBSFC, energyBSFC, perAir, specific, perFlow, dead, most, rate float64) {
	n := len(duty)
	total, volume, bsfc, pulse, margin = total[:n], volume[:n], bsfc[:n], pulse[:n], margin[:n]
	power, perPower, air, surplus = power[:n], perPower[:n], air[:n], surplus[:n]
	for k := range duty {
		needed := highest(float64(powerBSFC*power[k]), float64(energyBSFC*power[k]), float64(air[k]*perAir))
		sum := needed * surplus[k]
		by := sum * specific
		width := open(sum, perFlow, dead)
		total[k], volume[k], bsfc[k] = sum, by, needed*perPower[k]
		pulse[k], duty[k] = width, width*rate
		margin[k] = most/max(float64(leastFlow), by) - 1
	}
}
