package sizing

import (
	"fmt"
	"strings"

	"example.com/railbook/sizing/internal/choice"
	"example.com/railbook/sizing/quantity"
)

// PartKind says which part of the fuel system a [Part] speaks of.
type PartKind uint8

const (
	SuctionPart       PartKind = iota // from the tank to the pumps that draw from it
	LiftPart                          // the pumps that fill a surge tank
	PumpsPart                         // the pumps together, at their outlet pressure
	FeedLinePart                      // from pump to rail, filter included
	RegulatorPart                     // the flow it has to return at idle
	InjectorsPart                     // at the largest duty allowed
	IdleInjectionPart                 // the injectors' pulse at idle
)

var partKinds = choice.New("a part", "suction", "lift pumps", "pumps", "feed line", "regulator", "injectors", "injectors at idle")

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

// parts appends what every part can carry to list, which is empty, and the powers at
// which parts run out as far as x asks for them.
func (s *system) parts(a *Assessment, x Section, list []Part) []Part {
	list, limits := s.margins(a, list)
	switch {
	case x&PartsSection != 0:
		for i := range list {
			s.runOut(&list[i], limits[list[i].Kind])
		}
	case x&WeakestSection != 0:
		s.firstOut(list, &limits)
	}
	return list
}

// margins appends the parts without the powers at which they run out, and says how those
// are found.
func (s *system) margins(a *Assessment, list []Part) ([]Part, limits) {
	var found limits
	powered := func(kind PartKind, name string, capability, need quantity.VolumeFlow, wanted quantity.Ratio, l limit) {
		margin := quantity.Ratio(over(capability, need) - 1)
		list = append(list, Part{
			Kind: kind, Name: name, Capability: capability, Demand: need, Margin: margin, Wanted: wanted,
			Status: judge(margin, wanted),
		})
		found[kind] = l
	}
	target := s.at(1)
	if len(s.suction.Run) > 0 {
		capacity := a.Inlet.Capacity
		if s.bySpeed && s.pumps.surge == nil {
			powered(SuctionPart, s.names.suction, capacity, target.flow, 0, s.flowLimit(capacity))
		} else {
			// Pumps at full speed, as lift pumps always are, draw the same at any power.
			list = append(list, still(SuctionPart, s.names.suction, capacity, a.Inlet.Flow, over(capacity, a.Inlet.Flow)))
		}
	}
	if s.pumps.surge != nil {
		refill, wanted := s.refill(target.drive), s.pumpMargin
		if s.pumps.surge.Return == ToMainTank && !s.bySpeed {
			// They replace all that the main pumps pass, and not only what the engine burns.
			p := still(LiftPart, s.names.lift, refill, a.Delivery.PumpFlow, over(refill, a.Delivery.PumpFlow))
			p.Wanted, p.Status = wanted, judge(p.Margin, wanted)
			list = append(list, p)
		} else {
			powered(LiftPart, s.names.lift, refill, target.flow, wanted, s.flowLimit(refill))
		}
	}
	powered(PumpsPart, s.names.pumps, a.Delivery.Carried, target.flow, s.pumpMargin, limit{way: solved})
	if len(s.feed) > 0 {
		capacity := s.lineCapacity(s.allowedLineLoss)
		powered(FeedLinePart, s.names.line, capacity, target.flow, s.lineMargin, s.flowLimit(capacity))
	}
	if most := s.reg.MaxReturn; most != 0 {
		returned := a.Idle.Return
		list = append(list, still(RegulatorPart, s.names.regulator, most, returned, over(most, returned)))
	}
	powered(InjectorsPart, s.names.injectors, a.Injection.Capability, s.volume(target.injected), s.injectorMargin, s.injectorLimit(a.Injection.Capability))
	if least := s.minimumPulse; least != 0 {
		list = append(list, still(IdleInjectionPart, s.names.first, 0, 0, float64(a.Idle.Pulse/least)))
	}
	return list, found
}

// leastFlow stands for no flow where something is divided by it.
const leastFlow = 1e-3 * quantity.CCPerMinute

// over is a capability over a need.
func over(capability, need quantity.VolumeFlow) float64 {
	return float64(capability / max(leastFlow, need))
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

// names are those of the parts.
type names struct {
	suction, lift, pumps, line, regulator, injectors string
	first                                            string // the first set of injectors alone
}

// partNames joins the names that the sheet gives.
func (b *Build) partNames() names {
	if b.made != nil {
		return b.made.names
	}
	return names{
		suction: segmentNames(b.Suction), lift: pumpNames(b, Lift), pumps: pumpNames(b, Main),
		line: b.FeedLine.Part, regulator: b.Regulator.Part, injectors: injectorNames(b), first: b.Injectors.Part,
	}
}

// pumpNames joins the names of the pumps of a role: "2 × first + second".
func pumpNames(b *Build, role Role) string {
	var names []string
	for i, p := range b.Pumps {
		if p.Role != role && (role == Lift || b.SurgeTank != nil) {
			continue
		}
		name := p.name(i)
		if p.Count > 1 {
			name = quantity.Digits(float64(p.Count), 2) + " × " + name
		}
		names = append(names, name)
	}
	return strings.Join(names, " + ")
}

// name is the name of the i-th pump entry.
func (p Pump) name(i int) string {
	if p.Part == "" {
		return fmt.Sprintf("pump %d", i+1)
	}
	return p.Part
}

// segmentNames joins the names of the parts of a way, as far as they have one.
func segmentNames(segments []Segment) string {
	var names []string
	for _, s := range segments {
		if s.Part != "" {
			names = append(names, s.Part)
		}
	}
	return strings.Join(names, ", ")
}

// injectorNames joins the names of the sets.
func injectorNames(b *Build) string {
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
