package pump

import (
	"errors"

	"example.com/railbook/sizing/internal/root"
	"example.com/railbook/sizing/quantity"
)

// PartLoad is what electric pumps do whose controller slows them down until they
// bring no more than is wanted.
type PartLoad struct {
	Flow    quantity.VolumeFlow // of all the pumps
	Motor   quantity.Voltage    // mean, at the motors
	Share   quantity.Ratio      // of the motor voltage at full speed
	Supply  State               // at the controllers' terminals: Flow, Voltage there, Current from the supply
	Covered bool                // measured at Motor; false where the affinity rules stand in
}

// ErrShort is returned by [Electric.Hold] where the pumps do not bring the flow at
// full speed.
var ErrShort = errors.New("the pumps do not bring that flow at full speed")

// Hold returns the part load at which the pumps bring the flow q against the
// differential pressure dp, with voltage v at the head of the wiring: what a
// controller settles at that holds a rail pressure without a regulator. It slows
// the motors down to the share least of the voltage at full speed and no further;
// where they then still bring more than q, Flow says so, and the rest has to go
// over a relief valve.
//
// The motors work at the lowered voltage as [Pump.Flow] has it. A pump with a
// single curve is carried over from full speed by the affinity rules. The
// controller loses nothing and takes the power of the motors from the wiring.
//
// The error is [ErrShort] with the state at full speed, or that of [Electric.At].
func (e Electric) Hold(q quantity.VolumeFlow, dp quantity.PressureDiff, v quantity.Voltage, least quantity.Ratio) (PartLoad, error) {
	full, err := e.At(dp, v)
	top := PartLoad{Flow: full.Flow, Motor: full.Voltage, Share: 1, Supply: full, Covered: e.Pump.Covers(dp, full.Voltage)}
	if err != nil {
		return top, err
	}
	if !(q <= full.Flow) {
		return top, ErrShort
	}
	low := float64(max(0, min(1, least))) * float64(full.Voltage)
	u := quantity.Voltage(low)
	if e.slowed(dp, u, full.Voltage) < q {
		found, err := root.Find(func(u float64) float64 {
			return float64(e.slowed(dp, quantity.Voltage(u), full.Voltage) - q)
		}, low, float64(full.Voltage), motorTolerance)
		if err != nil {
			return top, err
		}
		u = quantity.Voltage(found)
	}
	p := PartLoad{Flow: e.slowed(dp, u, full.Voltage), Motor: u, Share: quantity.Ratio(u / full.Voltage)}
	p.Covered = e.Pump.Covers(dp, u) && (e.Pump.HasVoltages() || p.Share == 1)
	p.Supply = State{Flow: p.Flow, Voltage: v}
	if !e.Pump.HasCurrent() {
		return p, nil
	}
	ways, _ := e.ways()
	// The wiring sees a constant power, and less of it than at full speed.
	power := float64(u.Power(e.slowedCurrent(dp, u, full.Voltage))) / ways
	s, err := e.Circuit.Feed(v, func(at quantity.Voltage) quantity.Current { return quantity.Current(power / float64(at)) })
	p.Supply.Voltage, p.Supply.Current = s.Voltage, quantity.Current(float64(s.Current)*ways)
	return p, err
}

// motorTolerance is in volts.
const motorTolerance = 1e-9

// slowed is the flow with voltage u at the motors that have full at full speed.
func (e Electric) slowed(dp quantity.PressureDiff, u, full quantity.Voltage) quantity.VolumeFlow {
	if e.Pump.HasVoltages() {
		return e.Pump.Flow(dp, u)
	}
	r := float64(u / full)
	if !(r > stalled) {
		return 0
	}
	// The relief valve opens at a pressure, whatever the speed.
	kept := keptBy(e.Pump.Relief, dp)
	free := e.Pump
	free.Relief = 0
	return quantity.VolumeFlow(kept * r * float64(free.Flow(quantity.PressureDiff(float64(dp)/(r*r)), full)))
}

// slowedCurrent is the current of the motors beside slowed.
func (e Electric) slowedCurrent(dp quantity.PressureDiff, u, full quantity.Voltage) quantity.Current {
	if e.Pump.HasVoltages() {
		return e.Pump.Current(dp, u)
	}
	r := float64(u / full)
	if !(r > stalled) {
		return 0
	}
	return quantity.Current(r * r * float64(e.Pump.Current(quantity.PressureDiff(float64(dp)/(r*r)), full)))
}
