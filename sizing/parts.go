package sizing

import (
	"math"

	"example.com/railbook/sizing/internal/choice"
	"example.com/railbook/sizing/internal/root"
	"example.com/railbook/sizing/quantity"
)

// PartKind says which part of the fuel system a [Part] speaks of.
type PartKind uint8

const (
	PumpsPart         PartKind = iota // the pumps together, at their outlet pressure
	FeedLinePart                      // from pump to rail, filter included
	RegulatorPart                     // the flow it has to return at idle
	InjectorsPart                     // at the largest duty allowed
	IdleInjectionPart                 // the injectors' pulse at idle
)

var partKinds = choice.New("a part", "pumps", "feed line", "regulator", "injectors", "injectors at idle")

// String names the part in the words of the trade.
func (k PartKind) String() string { return partKinds.Name(int(k)) }

// MarshalText returns String.
func (k PartKind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads String.
func (k *PartKind) UnmarshalText(text []byte) error {
	i, err := partKinds.Index(string(text))
	if err == nil {
		*k = PartKind(i)
	}
	return err
}

// Status is the verdict on a part. The zero value is Carries.
type Status uint8

const (
	Carries Status = iota // the demand and the margin wanted
	Thin                  // the demand, but not the margin wanted
	Short                 // not the demand
)

var statuses = choice.New("a status", "carries", "thin", "short")

// String returns "carries", "thin" or "short".
func (s Status) String() string { return statuses.Name(int(s)) }

// Symbol returns a sign for the status that differs in shape, not in colour
// alone: a full, a half and an empty disc.
func (s Status) Symbol() string {
	switch s {
	case Carries:
		return "●"
	case Thin:
		return "◐"
	}
	return "○"
}

// MarshalText returns String.
func (s Status) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads String.
func (s *Status) UnmarshalText(text []byte) error {
	i, err := statuses.Index(string(text))
	if err == nil {
		*s = Status(i)
	}
	return err
}

// Part is what one part of the fuel system can carry, and what it has to.
type Part struct {
	Kind PartKind `json:"kind"`
	Name string   `json:"name"` // as the sheet names it
	// Capability and Demand are flows of fuel by volume at the rail, except for
	// the injectors at idle, where both are zero and the pulse tells.
	Capability quantity.VolumeFlow `json:"capability"`
	Demand     quantity.VolumeFlow `json:"demand"`
	Margin     quantity.Ratio      `json:"margin"` // capability over demand, less one
	Wanted     quantity.Ratio      `json:"wanted"` // margin asked for
	Status     Status              `json:"status"`
	// Limit is the crank power at which the capability and the demand meet, and
	// Keeps the one up to which the wanted margin is kept. Both are zero where
	// even the least power is too much, and where Limited is false: for a part
	// that does not depend on power or never runs out.
	Limit   quantity.CrankPower `json:"limit"`
	Keeps   quantity.CrankPower `json:"keeps"`
	Limited bool                `json:"limited"`
}

// unlimitedFlow stands for a line that nothing resists; finite, so that it can be
// written as JSON.
const unlimitedFlow = 1e6 * quantity.LitrePerHour

// parts lists what every part can carry.
func (s *system) parts(b Build, a *Assessment) []Part {
	target := s.at(1)
	list := []Part{s.powered(PumpsPart, pumpNames(b), a.Delivery.Carried, target.flow, *b.Policy.PumpMargin, s.pumpRatio)}
	if b.FeedLine.Bore != 0 || b.FeedLine.Filter.Drop != 0 {
		capacity := s.lineCapacity(b.Policy.AllowedLineLoss)
		list = append(list, s.powered(FeedLinePart, b.FeedLine.Part, capacity, target.flow, *b.Policy.LineMargin,
			func(x float64) float64 { return float64(capacity / s.at(x).flow) }))
	}
	if most := b.Regulator.MaxReturn; most != 0 && s.reg.Kind.AtRail() {
		idle := s.reach(s.reg.Setpoint(b.Engine.IdlePressure, s.ambient)) - a.Idle.Fuel.Volume(s.density)
		list = append(list, still(RegulatorPart, b.Regulator.Part, most, max(idle, 0), float64(most/max(idle, 1*quantity.CCPerMinute))))
	}
	injectable := s.injectable(target, s.maxDuty).Volume(s.density)
	list = append(list, s.powered(InjectorsPart, injectorNames(b), injectable, target.injected.Volume(s.density), *b.Policy.InjectorMargin, s.injectorRatio))
	if least := b.Injectors.MinimumPulse; least != 0 {
		list = append(list, still(IdleInjectionPart, b.Injectors.Part, 0, 0, float64(a.Idle.Pulse/least)))
	}
	return list
}

// powered makes the entry of a part whose capability over demand, ratio, falls
// as the share of the target power rises.
func (s *system) powered(kind PartKind, name string, capability, need quantity.VolumeFlow, wanted quantity.Ratio, ratio func(x float64) float64) Part {
	margin := quantity.Ratio(float64(capability/need) - 1)
	p := Part{
		Kind: kind, Name: name, Capability: capability, Demand: need, Margin: margin, Wanted: wanted,
		Status: judge(margin, wanted),
	}
	if share, found := shareAt(ratio, 1); found {
		p.Limited = true
		p.Limit = quantity.CrankPower(float64(s.power) * share)
		share, _ = shareAt(ratio, 1+float64(wanted))
		p.Keeps = quantity.CrankPower(float64(s.power) * share)
	}
	return p
}

// still makes the entry of a part that does not depend on power.
func still(kind PartKind, name string, capability, need quantity.VolumeFlow, ratio float64) Part {
	margin := quantity.Ratio(ratio - 1)
	return Part{Kind: kind, Name: name, Capability: capability, Demand: need, Margin: margin, Status: judge(margin, 0)}
}

func judge(margin, wanted quantity.Ratio) Status {
	switch {
	case margin < 0:
		return Short
	case margin < wanted:
		return Thin
	}
	return Carries
}

// shareAt returns the share of the target power at which ratio has fallen to
// least: zero where it lies below a thousandth, and not found where it lies above
// a thousandfold.
func shareAt(ratio func(float64) float64, least float64) (share float64, found bool) {
	over := func(logx float64) float64 { return ratio(math.Exp2(logx)) - least }
	low, high := 0.0, 0.0
	for step := 0.25; over(low) < 0; step *= 2 {
		if low -= step; low < -10 {
			return 0, true
		}
	}
	for step := 0.25; over(high) > 0; step *= 2 {
		if high += step; high > 10 {
			return 0, false
		}
	}
	logx, err := root.Find(over, low, high, 1e-12)
	if err != nil {
		logx = low
	}
	return math.Exp2(logx), true
}

// pumpNames joins the names of the pumps: "2 × first + second".
func pumpNames(b Build) string {
	text := ""
	for i, p := range b.Pumps {
		if i > 0 {
			text += " + "
		}
		if p.Count > 1 {
			text += quantity.Digits(float64(p.Count), 2) + " × "
		}
		name := p.Part
		if name == "" {
			name = "unnamed pump"
		}
		text += name
	}
	return text
}

// injectorNames joins the names of the sets.
func injectorNames(b Build) string {
	if b.Secondary == nil || b.Secondary.Part == "" {
		return b.Injectors.Part
	}
	if b.Injectors.Part == "" {
		return b.Secondary.Part
	}
	return b.Injectors.Part + " + " + b.Secondary.Part
}

// Weakest returns the part that gives out first as power rises.
func (a *Assessment) Weakest() Part {
	var weakest Part
	for _, p := range a.Parts {
		if p.Limited && (!weakest.Limited || p.Limit < weakest.Limit) {
			weakest = p
		}
	}
	return weakest
}

// Part returns the entry of a kind, and whether the assessment has one.
func (a *Assessment) Part(kind PartKind) (Part, bool) {
	for _, p := range a.Parts {
		if p.Kind == kind {
			return p, true
		}
	}
	return Part{}, false
}

// Status returns the worst status of all parts.
func (a *Assessment) Status() Status {
	worst := Carries
	for _, p := range a.Parts {
		worst = max(worst, p.Status)
	}
	return worst
}
