package evidence

import (
	"math"
	"strconv"

	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/quantity"
)

// PullSummary is what one pull says: the conditions it was made in, what the engine
// consumed, and how many samples that rests on. It is what a record of pulls keeps.
// A quantity that the log does not tell is zero, unless its comment says otherwise.
type PullSummary struct {
	ID   string `json:"id"`   // made of time, speed and injection of its samples: the same pull has the same, whatever its file is called
	Log  string `json:"log"`  // name of the log
	When string `json:"when"` // day of the pull, 2026-11-20; empty where it was not told

	Start quantity.Time `json:"start"` // in the log's time
	End   quantity.Time `json:"end"`

	Induction demand.Induction        `json:"induction"`          // of the sheet
	Valves    int                     `json:"valves"`             // per cylinder; 0 where the mapping does not say
	Ethanol   quantity.VolumeFraction `json:"ethanol"`            // mean content by volume at 15 °C
	Share     quantity.Ratio          `json:"ethanol_energy"`     // part of the fuel's lower heating value that ethanol brings
	Heating   quantity.SpecificEnergy `json:"lower_heating"`      // lower heating value of the fuel
	Boost     quantity.PressureDiff   `json:"boost"`              // mean of manifold over ambient
	Lambda    quantity.Ratio          `json:"lambda"`             // mean
	LowSpeed  quantity.AngularSpeed   `json:"low_speed"`          // at the start
	HighSpeed quantity.AngularSpeed   `json:"high_speed"`         // at the end
	PeakPower quantity.CrankPower     `json:"peak_power"`         // greatest mean of a window of speed
	PeakAt    quantity.AngularSpeed   `json:"peak_power_speed"`   // middle of that window
	PeakFuel  quantity.MassFlow       `json:"peak_power_fuel"`    // fuel flow in it
	PeakAir   quantity.MassFlow       `json:"peak_power_air"`     // dry air in it, by fuel and mixture
	MostDuty  quantity.Ratio          `json:"most_duty"`          // greatest mean of a window of speed, of the samples used
	RailError quantity.PressureDiff   `json:"greatest_rail_fall"` // greatest mean of a window by which the rail lay below its set point, zero for none

	Average Consumption `json:"average"` // fuel burnt over work done, all samples used
	AtPeak  Consumption `json:"at_peak"` // in the window of the greatest power: what a build is sized on
	Peak    Consumption `json:"peak"`    // in the window in which it is greatest, which noise makes a little too high
	Energy  EnergyRatio `json:"energy"`  // the average as fuel energy over work

	Used  int            `json:"used"`  // samples
	Aside map[Reason]int `json:"aside"` // samples set aside, by their first reason
}

// Samples returns how many samples the pull has.
func (p PullSummary) Samples() int {
	n := p.Used
	for _, m := range p.Aside {
		n += m
	}
	return n
}

// Consumption is a brake specific fuel consumption as measured, with its uncertainty
// by the GUM (JCGM 100:2008). The zero value is not measured.
type Consumption struct {
	Value    quantity.SpecificConsumption `json:"value"`
	Standard quantity.SpecificConsumption `json:"standard_uncertainty"` // combined
	TypeA    quantity.SpecificConsumption `json:"type_a"`               // its part from the scatter of the samples, new in every pull
	TypeB    quantity.SpecificConsumption `json:"type_b"`               // its part from the instruments, the same in all pulls made with them
	DF       Degrees                      `json:"degrees_of_freedom"`   // effective, of Standard
}

// Measured reports whether there is a value.
func (c Consumption) Measured() bool { return c.Value > 0 }

// Expanded returns the half-width of the interval that holds the consumption with the
// given level of confidence, such as 0.95.
func (c Consumption) Expanded(confidence float64) quantity.SpecificConsumption {
	return quantity.SpecificConsumption(coverage(confidence, c.DF) * float64(c.Standard))
}

// EnergyRatio is fuel energy burnt over work done, by the lower heating value: the
// inverse of the efficiency from the fuel to the crank.
type EnergyRatio struct {
	Value    quantity.Ratio `json:"value"`
	Standard quantity.Ratio `json:"standard_uncertainty"`
	DF       Degrees        `json:"degrees_of_freedom"`
}

// Degrees is a number of degrees of freedom. It may be infinite: an uncertainty that
// is itself not in doubt.
type Degrees float64

// Infinite is the number of degrees of freedom of an uncertainty that is not in doubt.
var Infinite = Degrees(math.Inf(1))

// IsInfinite reports whether d is Infinite.
func (d Degrees) IsInfinite() bool { return math.IsInf(float64(d), 1) }

// String prints a whole number, cut off as GUM G.4.2 does, or "infinite".
func (d Degrees) String() string {
	if d.IsInfinite() {
		return "infinite"
	}
	return strconv.FormatFloat(math.Floor(float64(d)), 'f', 0, 64)
}

// MarshalText writes every digit, or "infinite".
func (d Degrees) MarshalText() ([]byte, error) {
	if d.IsInfinite() {
		return []byte("infinite"), nil
	}
	return strconv.AppendFloat(nil, float64(d), 'g', -1, 64), nil
}

// UnmarshalText reads what MarshalText writes.
func (d *Degrees) UnmarshalText(text []byte) error {
	if string(text) == "infinite" {
		*d = Infinite
		return nil
	}
	v, err := strconv.ParseFloat(string(text), 64)
	if err != nil || !(v >= 0) {
		return &quantity.ParseError{Text: string(text), Reason: "is no number of degrees of freedom", Accepted: `a number from 0, or "infinite"`, Err: quantity.ErrSyntax}
	}
	*d = Degrees(v)
	return nil
}
