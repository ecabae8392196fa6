package sizing

import (
	"fmt"
	"math"
	"strings"

	"example.com/railbook/sizing/internal/choice"
	"example.com/railbook/sizing/internal/root"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
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

// parts appends what every part can carry to list, which is empty. Without limits it
// leaves out the powers at which they run out.
func (s *system) parts(a *Assessment, limits bool, list []Part) []Part {
	target := s.at(1)
	if len(s.suction.Run) > 0 {
		list = append(list, s.suctionPart(a, limits))
	}
	if s.pumps.surge != nil {
		list = append(list, s.liftPart(a, limits))
	}
	list = append(list, s.powered(limits, PumpsPart, s.pumpsName, a.Delivery.Carried, target.flow, s.pumpMargin, limit{solve: true}))
	if len(s.feed) > 0 {
		capacity := s.lineCapacity(s.allowedLineLoss)
		list = append(list, s.powered(limits, FeedLinePart, s.lineName, capacity, target.flow, s.lineMargin,
			s.flowLimit(capacity)))
	}
	if most := s.reg.MaxReturn; most != 0 {
		returned := a.Idle.Return
		list = append(list, still(RegulatorPart, s.regulatorName, most, returned, over(most, returned)))
	}
	list = append(list, s.powered(limits, InjectorsPart, s.injectorsName, a.Injection.Capability, s.volume(target.injected), s.injectorMargin, s.injectorLimit(a.Injection.Capability)))
	if least := s.minimumPulse; least != 0 {
		list = append(list, still(IdleInjectionPart, s.firstName, 0, 0, float64(a.Idle.Pulse/least)))
	}
	return list
}

// limit is how the power is found at which a part runs out: from a straight line, where
// the capacity does not depend on power and stands against the demand of the engine and
// what is added to it at any power, or solved for. It is no function, as that would take
// the system to the heap at every point of a sweep.
type limit struct {
	capacity quantity.VolumeFlow
	added    quantity.MassFlow
	solve    bool
}

// flowLimit is the limit of a capacity of pumps or lines that does not depend on power.
func (s *system) flowLimit(capacity quantity.VolumeFlow) limit {
	return limit{capacity: capacity, added: s.injected + s.nozzle}
}

// injectorLimit is the limit of the injectors. As long as what they can pass does not
// move with power it follows from a straight line too.
func (s *system) injectorLimit(capacity quantity.VolumeFlow) limit {
	still := !s.creeps && s.regAtRail() && (!s.boosted || s.reg.Kind == regulator.ManifoldReferenced && s.reg.Rate() == 1)
	return limit{capacity: capacity, added: s.injected, solve: !still}
}

// limitAt returns the share of the target power at which nothing is to spare beyond m
// times the demand: zero where it lies below a thousandth, and not found where it lies
// above a thousandfold.
func (s *system) limitAt(kind PartKind, l limit, m float64) (share float64, found bool) {
	switch {
	case l.solve && kind == PumpsPart:
		return shareAt(s.pumpSpare, m)
	case l.solve:
		return shareAt(s.injectorSpare, m)
	case s.engine <= 0:
		return 0, float64(l.capacity.Mass(s.density)) < m*float64(l.added)
	}
	share = (float64(l.capacity.Mass(s.density))/m - float64(l.added)) / float64(s.engine)
	switch {
	case share < 1./most:
		return 0, true
	case share > most:
		return 0, false
	}
	return share, true
}

// most is the multiple of the target power up to which a limit is looked for.
const most = 1024

// leastFlow stands for no flow where something is divided by it.
const leastFlow = 1e-3 * quantity.CCPerMinute

// over is a capability over a need.
func over(capability, need quantity.VolumeFlow) float64 {
	return float64(capability / max(leastFlow, need))
}

// powered makes the entry of a part whose capability is reached at a power.
func (s *system) powered(limits bool, kind PartKind, name string, capability, need quantity.VolumeFlow, wanted quantity.Ratio, at limit) Part {
	margin := quantity.Ratio(over(capability, need) - 1)
	p := Part{
		Kind: kind, Name: name, Capability: capability, Demand: need, Margin: margin, Wanted: wanted,
		Status: judge(margin, wanted),
	}
	if !limits {
		return p
	}
	if share, found := s.limitAt(kind, at, 1); found {
		p.Limited = true
		p.Limit = quantity.CrankPower(float64(s.power) * share)
		share, _ = s.limitAt(kind, at, 1+float64(wanted))
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

// shareAt returns the share of the target power at which nothing is to spare beyond m
// times the demand: zero where it lies below a thousandth, and not found where it lies
// above a thousandfold.
func shareAt(spare func(x, m float64) float64, m float64) (share float64, found bool) {
	left := func(logx float64) float64 { return spare(math.Exp2(logx), m) }
	low, high := 0.0, 0.0
	if left(0) < 0 {
		for step := 0.25; left(low) < 0; step *= 2 {
			high = low
			if low -= step; low < -10 {
				return 0, true
			}
		}
	} else {
		for step := 0.25; left(high) > 0; step *= 2 {
			low = high
			if high += step; high > 10 {
				return 0, false
			}
		}
	}
	logx, err := root.Find(left, low, high, 1e-12)
	if err != nil {
		logx = low
	}
	return math.Exp2(logx), true
}

// suctionPart is the way from the tank to the pumps: the flow up to which the inlet
// keeps its margin over the vapour pressure, and what the pumps draw there. Where they
// run at full speed, as lift pumps always do, that does not depend on power.
func (s *system) suctionPart(a *Assessment, limits bool) Part {
	name, capacity := s.suctionName, a.Inlet.Capacity
	if s.bySpeed && s.pumps.surge == nil {
		return s.powered(limits, SuctionPart, name, capacity, s.at(1).flow, 0, s.flowLimit(capacity))
	}
	return still(SuctionPart, name, capacity, a.Inlet.Flow, over(capacity, a.Inlet.Flow))
}

// liftPart is the pumps that fill a surge tank. They replace what the engine burns, or
// all that the main pumps pass where the return does not come back there.
func (s *system) liftPart(a *Assessment, limits bool) Part {
	name, target := s.liftName, s.at(1)
	refill, wanted := s.refill(target.drive), s.pumpMargin
	if s.pumps.surge.Return == ToMainTank && !s.bySpeed {
		p := still(LiftPart, name, refill, a.Delivery.PumpFlow, over(refill, a.Delivery.PumpFlow))
		p.Wanted, p.Status = wanted, judge(p.Margin, wanted)
		return p
	}
	return s.powered(limits, LiftPart, name, refill, target.flow, wanted, s.flowLimit(refill))
}

// pumpNames joins the names of the pumps of a role: "2 × first + second".
func pumpNames(b Build, role Role) string {
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
