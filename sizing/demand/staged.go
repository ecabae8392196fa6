package demand

import (
	"errors"
	"math"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/internal/choice"
	"example.com/railbook/sizing/quantity"
)

// InjectorSet is a set of like injectors, one or more for each cylinder, at the
// pressure and voltage of the operating point.
type InjectorSet struct {
	Static quantity.MassFlow // of one injector held open
	Count  int
	Dead   quantity.Time // by which an injection is shorter than its pulse
}

// Flow returns what the set delivers at a duty, its dead time counted: Count ·
// Static · (duty - Dead/interval), and zero where no time is left to inject.
func (s InjectorSet) Flow(duty quantity.Ratio, interval quantity.Time) quantity.MassFlow {
	if !(interval > 0) {
		return 0
	}
	return quantity.MassFlow(s.all() * max(0, float64(duty)-float64(s.Dead/interval)))
}

// Duty returns the duty at which the set delivers a flow: the inverse of
// [InjectorSet.Flow]. A set that delivers nothing does not open: its duty is 0. It
// is +Inf for a flow that a set without injectors, or an interval that is not
// positive, cannot have.
func (s InjectorSet) Duty(flow quantity.MassFlow, interval quantity.Time) quantity.Ratio {
	if !(flow > 0) {
		return 0
	}
	if !(s.all() > 0 && interval > 0) {
		return quantity.Ratio(math.Inf(1))
	}
	return quantity.Ratio(float64(flow)/s.all() + float64(s.Dead/interval))
}

// all is the flow of all injectors of the set held open, in kg/s.
func (s InjectorSet) all() float64 { return float64(s.Static) * float64(max(0, s.Count)) }

// Staging is how two sets share the fuel once the second has started. The zero
// value is equal opening.
type Staging uint8

const (
	// ShareOpening opens both sets for equally long, dead time aside, so that each
	// delivers in proportion to its static flow. The primary set's duty steps down
	// as the second starts.
	ShareOpening Staging = iota
	// HoldPrimary leaves the primary set at the duty of the switch-over and gives
	// the rest to the second, which so starts from no flow at all: its first pulses
	// are shorter than injectors meter. When it has reached the largest duty the
	// primary set takes the rest.
	HoldPrimary
)

var stagings = choice.New("a way of staging", "share", "hold")

// String returns "share" or "hold".
func (s Staging) String() string { return stagings.Name(int(s)) }

// MarshalText returns String.
func (s Staging) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads the words of String in any case.
func (s *Staging) UnmarshalText(text []byte) error {
	i, err := stagings.Index(string(text))
	if err == nil {
		*s = Staging(i)
	}
	return err
}

// Accepts says what UnmarshalText takes.
func (Staging) Accepts() string { return stagings.Accepts() }

// Staged is a primary set of injectors, which works alone at low load, and a
// secondary set, which starts where the primary has reached a duty.
type Staged struct {
	Primary, Secondary InjectorSet
	Interval           quantity.Time  // from one injection of an injector to its next, the same for both sets
	Start              quantity.Ratio // duty of the primary set, dead time counted, above which the secondary works
	MaxDuty            quantity.Ratio // largest duty of either, dead time counted
	Staging            Staging
}

// StagedDemand is what the two sets do at a demand.
type StagedDemand struct {
	Primary, Secondary SetDemand
	Short              quantity.MassFlow // part of the demand beyond what both can do together
}

// SetDemand is the part of one set.
type SetDemand struct {
	Flow  quantity.MassFlow // of the whole set
	Duty  quantity.Ratio    // dead time counted; 0 where the set does not open
	Pulse quantity.Time     // from switching on to switching off; 0 where the set does not open
}

// Capability returns the most that both sets deliver together, each at the
// largest duty.
func (s Staged) Capability() quantity.MassFlow {
	return s.Primary.Flow(s.MaxDuty, s.Interval) + s.Secondary.Flow(s.MaxDuty, s.Interval)
}

// SwitchOver returns the flow above which the secondary set works: that of the
// primary alone at the duty Start, or at MaxDuty where that is less.
func (s Staged) SwitchOver() quantity.MassFlow {
	return s.Primary.Flow(min(s.Start, s.MaxDuty), s.Interval)
}

// At returns how the sets share a demand. No set exceeds the largest duty; what
// both cannot deliver is Short.
func (s Staged) At(demand quantity.MassFlow) StagedDemand {
	demand = max(0, demand)
	most1, most2 := s.Primary.Flow(s.MaxDuty, s.Interval), s.Secondary.Flow(s.MaxDuty, s.Interval)
	first := min(demand, s.SwitchOver())
	var second quantity.MassFlow
	if demand > first {
		if s.Staging == ShareOpening {
			first = quantity.MassFlow(float64(demand) * s.share())
		}
		// Each set gives to the other what it cannot deliver itself.
		first = min(first, most1)
		second = min(demand-first, most2)
		first = min(demand-second, most1)
	}
	return StagedDemand{
		Primary:   s.part(s.Primary, first),
		Secondary: s.part(s.Secondary, second),
		Short:     max(0, demand-first-second),
	}
}

// share is the primary set's part of the flow of both held open.
func (s Staged) share() float64 {
	both := s.Primary.all() + s.Secondary.all()
	if !(both > 0) {
		return 1
	}
	return s.Primary.all() / both
}

func (s Staged) part(set InjectorSet, flow quantity.MassFlow) SetDemand {
	duty := set.Duty(flow, s.Interval)
	if duty == 0 {
		return SetDemand{}
	}
	return SetDemand{Flow: flow, Duty: duty, Pulse: quantity.Time(float64(duty) * float64(s.Interval))}
}

// Validate reports every field that makes no sense, each error named after its
// field.
func (s Staged) Validate() error {
	set := func(name string, i InjectorSet) error {
		return errors.Join(
			check.Require(i.Static > 0 && !math.IsInf(float64(i.Static), 0), name+" static flow", i.Static, "must be positive"),
			check.Require(i.Count > 0, name+" count", quantity.Ratio(i.Count), "must be 1 or more"),
			check.Require(i.Dead >= 0 && !math.IsInf(float64(i.Dead), 0), name+" dead time", i.Dead, "must not be negative"))
	}
	return errors.Join(
		set("primary", s.Primary), set("secondary", s.Secondary),
		check.Require(s.Interval > 0, "interval", s.Interval, "must be positive"),
		check.Require(s.MaxDuty > 0 && s.MaxDuty <= 1, "largest duty", s.MaxDuty, "must lie above 0 up to 1"),
		check.Require(s.Start > 0 && s.Start <= s.MaxDuty, "duty at which the secondary set starts", s.Start, "must lie above 0 up to the largest duty"))
}
