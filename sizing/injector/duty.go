package injector

import (
	"math"

	"example.com/railbook/sizing/quantity"
)

// DefaultMaxDuty is the largest duty cycle that injectors are sized for: common
// practice, no source.
const DefaultMaxDuty quantity.Ratio = 0.85

// Cycle returns the duration of an engine cycle at a crank speed: two turns in
// four strokes, one in two. It is the time between the injections of one injector
// in sequential injection, and +Inf at standstill.
func Cycle(speed quantity.AngularSpeed, strokes int) quantity.Time {
	return Interval(speed, strokes, 1)
}

// Interval returns the time from one injection of an injector to its next, with
// the given number of injections per engine cycle: 1 for sequential injection, 2
// for batch injection once per turn of a four-stroke engine. It is +Inf at
// standstill, and where strokes or injections are not positive.
func Interval(speed quantity.AngularSpeed, strokes, injections int) quantity.Time {
	if !(speed > 0) || strokes <= 0 || injections <= 0 {
		return quantity.Time(math.Inf(1))
	}
	// A stroke is half a turn, π radians.
	return quantity.Time(float64(strokes) * math.Pi / float64(speed) / float64(injections))
}

// Duty returns the part of the time between injections that the pulse takes, dead
// time counted. Above 1 the injector never closes. It is +Inf for a pulse without
// end or a period that is not positive.
func Duty(pulse, period quantity.Time) quantity.Ratio {
	if !(period > 0) || math.IsInf(float64(pulse), 1) {
		return quantity.Ratio(math.Inf(1))
	}
	return quantity.Ratio(float64(pulse / period))
}

// StaticFlowNeeded returns the static flow that each of count injectors needs to
// deliver fuel together at the duty maxDuty, dead time left out of account:
//
//	ṁ_static = ṁ / (count · duty)
//
// Common practice, no source. It is +Inf where count or maxDuty is not positive.
func StaticFlowNeeded(fuel quantity.MassFlow, count int, maxDuty quantity.Ratio) quantity.MassFlow {
	return needed(fuel, count, float64(maxDuty))
}

// StaticFlowNeededOpen is [StaticFlowNeeded] with the dead time counted: of every
// interval the injector is open for maxDuty·interval - dead. It is +Inf where no
// time is left.
func StaticFlowNeededOpen(fuel quantity.MassFlow, count int, maxDuty quantity.Ratio, interval, dead quantity.Time) quantity.MassFlow {
	return needed(fuel, count, open(maxDuty, interval, dead))
}

// Delivered returns the fuel that count injectors of the given static flow deliver
// together at the duty maxDuty, dead time counted: the inverse of
// [StaticFlowNeededOpen]. It is zero where no time is left to inject.
func Delivered(static quantity.MassFlow, count int, maxDuty quantity.Ratio, interval, dead quantity.Time) quantity.MassFlow {
	return quantity.MassFlow(float64(static) * float64(max(0, count)) * max(0, open(maxDuty, interval, dead)))
}

// open is the part of the time in which fuel flows. At standstill, where the
// interval is infinite, dead time takes none of it.
func open(maxDuty quantity.Ratio, interval, dead quantity.Time) float64 {
	return float64(maxDuty) - float64(dead/interval)
}

func needed(fuel quantity.MassFlow, count int, open float64) quantity.MassFlow {
	if count <= 0 || !(open > 0) {
		return quantity.MassFlow(math.Inf(1))
	}
	return quantity.MassFlow(float64(fuel) / float64(count) / open)
}
