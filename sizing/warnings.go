package sizing

import (
	"fmt"
	"math"
	"strings"

	"example.com/railbook/sizing/air"
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/quantity"
)

// Concern says what a [Warning] is about.
type Concern string

const (
	RailSags         Concern = "rail sags"
	DutyExceeded     Concern = "duty exceeded"
	NoDifferential   Concern = "no differential pressure"
	IdlePulse        Concern = "idle pulse"
	OutsideData      Concern = "outside the data"
	RoutesDisagree   Concern = "routes disagree"
	LeanAtLoad       Concern = "lean at full load"
	LineVelocity     Concern = "line velocity"
	LineLoss         Concern = "line loss"
	ContentVaries    Concern = "content varies"
	ReturnFlow       Concern = "return flow"
	NoLineGiven      Concern = "line loss not counted"
	SupplyVoltage    Concern = "supply voltage"
	FixedRailBoosted Concern = "fixed rail with boost"
	Toxic            Concern = "toxic fuel"
	NitrousSystem    Concern = "nitrous oxide"
	MethanolCredit   Concern = "water-methanol injection"
	CorrectedPower   Concern = "corrected power"
	Boiling          Concern = "fuel near boiling"
	LiftShort        Concern = "lift pumps"
	Wired            Concern = "wiring"
	PumpControl      Concern = "pump control"
	RailCreeps       Concern = "rail above its set pressure"
)

// Warning is something the user has to know before trusting or using a result.
// Grave warnings concern the engine's or a person's safety.
type Warning struct {
	Concern Concern `json:"concern"`
	Grave   bool    `json:"grave"`
	Text    string  `json:"text"` // one or two sentences, quantities in the build's units
}

// warnings collects what has to be said about an assessment.
func (s *system) warnings(a *Assessment) []Warning {
	sys := a.Build.Job.Units
	var list []Warning
	warn := func(grave bool, c Concern, format string, args ...any) {
		list = append(list, Warning{Concern: c, Grave: grave, Text: fmt.Sprintf(format, args...)})
	}
	d, in, pol := a.Delivery, a.Injection, a.Build.Policy

	if in.Differential <= 0 {
		warn(true, NoDifferential, "The rail's set pressure does not exceed the manifold pressure at the target: the injectors cannot deliver at all.")
	}
	if d.Sags {
		warn(true, RailSags, "The pumps cannot hold the rail: it sags from %s to %s above the manifold, and the engine gets %s of its fuel, enough for %s. A mixture left to itself goes lean by that much; a lean engine under load breaks and can burn.",
			quantity.Format(d.SetRail.Above(a.Manifold), sys), quantity.Format(d.Rail.Above(a.Manifold), sys),
			quantity.Ratio(d.Delivered/a.Demand.Total).Percent(0), quantity.Format(d.Supported, sys))
	}
	if a.Idle.Sags {
		warn(false, RailSags, "At idle the pumps bring less than is burnt and cannot hold the rail: the engine starts and idles badly, or not at all.")
	}
	if in.Differential > 0 && in.Duty > pol.MaxDuty {
		beyond := ""
		if in.Duty > 1 {
			beyond = "; they would be open all the time and still short"
		}
		warn(in.Duty > 1, DutyExceeded, "The injectors need a duty of %s where %s is allowed%s.",
			in.Duty.Percent(0), pol.MaxDuty.Percent(0), beyond)
	}
	if a.Build.Induction.Kind.Boosted() && !s.referenced() {
		warn(false, FixedRailBoosted, "The regulator does not follow manifold pressure, so boost takes from the injectors' differential pressure: %s of the base pressure of %s is left at the target.",
			quantity.Format(in.Differential, sys), quantity.Format(a.Build.Regulator.BasePressure, sys))
	}
	if least := a.Build.Injectors.MinimumPulse; least != 0 && a.Idle.Pulse < least {
		warn(false, IdlePulse, "At idle the pulse is %s, below the injectors' least linear pulse of %s: fuelling at idle will not be even.",
			quantity.Format(a.Idle.Pulse, sys), quantity.Format(least, sys))
	}
	if a.Build.Target.Lambda > leanAtLoad(a.Build.Induction.Kind) {
		warn(true, LeanAtLoad, "Lambda %s is lean for full load on this induction. Knock and exhaust heat decide, and only a test of the engine shows them.",
			quantity.Digits(float64(a.Build.Target.Lambda), 3))
	}
	if a.Demand.Spread > 0.25 {
		r := a.Demand.Routes
		warn(false, RoutesDisagree, "The routes to the demand lie %s apart (power %s, energy %s, air %s). Target power, boost, speed and volumetric efficiency may not belong together.",
			a.Demand.Spread.Percent(0), quantity.Format(r.Power, sys), quantity.Format(r.Energy, sys), quantity.Format(r.Air, sys))
	}
	s.warnOfAdded(a, warn)
	s.warnOfPower(a, warn)
	s.warnOfLine(a, warn)
	s.warnOfReturn(a, warn)
	s.warnOfInlet(a, warn)
	s.warnOfLoads(a, warn)
	s.warnOfHeat(a, warn)
	s.warnOfData(a, warn)
	if a.Build.Fuel.Blend.Has("methanol") {
		warn(true, Toxic, "Methanol poisons by swallowing, breathing and through the skin, and burns with a flame that is hard to see. It attacks aluminium, magnesium and many elastomers: every wetted part has to be rated for it.")
	}
	for _, text := range a.Build.Fuel.Blend.Caveats() {
		warn(false, ContentVaries, "%s", text)
	}
	return list
}

// leanAtLoad is the lambda above which full load deserves a caution: common
// practice, no source.
func leanAtLoad(kind demand.Induction) quantity.Ratio {
	if kind.Boosted() {
		return 0.88
	}
	return 0.95
}

func (s *system) referenced() bool {
	return s.reg.Setpoint(2*s.ambient, s.ambient) != s.reg.Setpoint(s.ambient, s.ambient)
}

// warnOfAdded tells what nitrous oxide and water-methanol ask of the user.
func (s *system) warnOfAdded(a *Assessment, warn warnFunc) {
	sys, add := a.Build.Job.Units, a.Demand.Added
	if add.Nitrous != 0 {
		warn(true, NitrousSystem, "Nitrous oxide adds %s and needs %s of fuel while it flows. Oxide without its fuel melts pistons within seconds: the system must shut the oxide off when fuel pressure falls.",
			quantity.Format(add.NitrousPower, sys), quantity.Format(max(add.Circuit.Pumps, add.Circuit.Separate), sys))
	}
	if a.Build.WaterMethanol.Flow == 0 {
		return
	}
	list := demand.WaterMethanol{}.Cautions()
	texts := make([]string, len(list))
	for i, c := range list {
		texts[i] = c.String()
	}
	what := fmt.Sprintf("Its methanol could replace %s of fuel; the parts are sized without it.", quantity.Format(add.Replaced, sys))
	if add.Credited != 0 {
		what = fmt.Sprintf("Its methanol is counted as %s of fuel. If it stops, the mixture goes to lambda %s.", quantity.Format(add.Credited, sys), quantity.Digits(float64(add.LeanTo), 3))
	}
	warn(add.Credited != 0, MethanolCredit, "%s Always: %s.", what, strings.Join(texts, "; "))
}

// warnOfPower tells what a corrected target is worth.
func (s *system) warnOfPower(a *Assessment, warn warnFunc) {
	t, sys := a.Build.Target, a.Build.Job.Units
	if t.Correction == air.None {
		return
	}
	w := a.Build.dyno()
	factor, validity := t.Correction.Factor(w.Dry(), w.Temperature)
	text := fmt.Sprintf("The target was corrected to %s by a factor of %s and stands for %s really made.", t.Correction, quantity.Digits(float64(factor), 4), quantity.Format(a.Power, sys))
	if validity != air.Valid {
		text += " The air of that pull lies outside what the standard allows."
	}
	if s.boosted {
		text += " Boost control that holds the manifold at its target has no need of a correction, which then credits the engine twice."
	}
	warn(false, CorrectedPower, "%s", text)
}

type warnFunc func(grave bool, c Concern, format string, args ...any)

func (s *system) warnOfLine(a *Assessment, warn warnFunc) {
	sys := a.Build.Job.Units
	if a.Build.FeedLine.bore() == 0 {
		warn(false, NoLineGiven, "No feed line is described, so none of its loss is counted. Give feed_line before buying a pump.")
		return
	}
	if v, _ := s.feed.Fastest(a.Delivery.LineFlow); v > plumbing.PressureVelocityHigh {
		warn(false, LineVelocity, "Fuel moves at %s in the feed line; MIL-HDBK-1022, 9.1.1.1, advises no more than %s on the pressure side.",
			quantity.Format(v, sys), quantity.Format(plumbing.PressureVelocityHigh, sys))
	}
	if p, ok := a.Part(FeedLinePart); ok && p.Status == Short {
		warn(false, LineLoss, "At the demand the way from pump to rail loses %s where %s is allowed.",
			quantity.Format(s.lineLoss(a.Demand.Volume), sys), quantity.Format(a.Build.Policy.AllowedLineLoss, sys))
	}
}

// warnOfReturn tells of a regulator, or a controller, that is not in control.
func (s *system) warnOfReturn(a *Assessment, warn warnFunc) {
	sys, d := a.Build.Job.Units, a.Delivery
	if p, ok := a.Part(RegulatorPart); ok && p.Status == Short {
		warn(false, ReturnFlow, "At idle the regulator has to return %s and is rated for %s: rail pressure will creep up.",
			quantity.Format(p.Demand, sys), quantity.Format(p.Capability, sys))
	}
	if least := s.reg.LeastReturn; !d.Sags && d.Return < least {
		warn(false, ReturnFlow, "At the target %s are returned and the regulator needs %s to control: rail pressure will fall short of its set point.",
			quantity.Format(d.Return, sys), quantity.Format(least, sys))
	}
	// A twentieth of the base pressure moves the fuel by a fortieth.
	if over := a.Idle.Rail.Above(s.atIdle().setpoint); over > quantity.PressureDiff(0.05*float64(s.reg.BasePressure)) {
		warn(false, RailCreeps, "At idle the return of %s holds the rail %s above its set pressure: idle runs rich, or is tuned to a pressure that full load does not have. A larger return line or regulator cures it.",
			quantity.Format(a.Idle.Return, sys), quantity.Format(over, sys))
	}
	if a.Idle.Excess > 0 {
		warn(false, PumpControl, "At idle the slowest pump speed allowed still brings %s too much, and the rail rises until a relief valve takes it.", quantity.Format(a.Idle.Excess, sys))
		if relief := a.Build.Regulator.Relief; relief == 0 {
			warn(false, PumpControl, "No relief valve is described for the rail. A controller that fails at full speed, or fuel that warms in a shut-off engine, needs one.")
		}
	}
}

// warnOfData tells where a part was used outside the data that describe it.
func (s *system) warnOfData(a *Assessment, warn warnFunc) {
	sys := a.Build.Job.Units
	for i := range s.pumps.units {
		s.warnOfCurve(a, i, warn)
	}
	if low, high := a.Build.Fuel.Blend.TemperatureRange(); a.Build.Fuel.Temperature < low || a.Build.Fuel.Temperature > high {
		warn(false, OutsideData, "The fuel's properties are tabulated from %s to %s and extrapolated to %s.",
			quantity.Format(low, sys), quantity.Format(high, sys), quantity.Format(a.Build.Fuel.Temperature, sys))
	}
	for _, i := range s.sets {
		switch dead := i.DeadTime; {
		case dead.HasVoltages() && !dead.Covers(s.volts):
			warn(false, OutsideData, "No dead time is given around %s; the nearest is used.", quantity.Format(s.volts, sys))
		case dead.HasPressures() && !dead.CoversPressure(s.volts, a.Injection.Differential):
			warn(false, OutsideData, "No dead time is given around %s of differential pressure; the nearest is used.", quantity.Format(a.Injection.Differential, sys))
		}
	}
}

// warnOfCurve tells where the pumps of an entry work outside their data.
func (s *system) warnOfCurve(a *Assessment, i int, warn warnFunc) {
	sys, load, u := a.Build.Job.Units, a.Loads.Pumps[i], s.pumps.units[i]
	name := a.Build.Pumps[i].name(i)
	if u.electric == nil {
		if !load.Covered {
			warn(false, OutsideData, "%s works at %s and %s of its shaft, outside what was tested of it.", name, quantity.Format(load.Rise, sys),
				quantity.Format(a.Build.Pumps[i].driven().ShaftSpeed(s.speed), sys))
		}
		return
	}
	p := u.electric.Pump
	switch {
	case load.Covered:
	case load.Speed < 1:
		warn(false, OutsideData, "%s slowed down works outside the points of its curves; what it does there is carried over by the pump similarity rules and is rough.", name)
	case p.HasVoltages() && (load.Voltage < p.Curves[0].Voltage() || load.Voltage > p.Curves[len(p.Curves)-1].Voltage()):
		warn(false, OutsideData, "%s has no curve around %s; its flow there is carried over by the pump similarity rules and is rough.", name, quantity.Format(load.Voltage, sys))
	default:
		warn(false, OutsideData, "%s works at %s, outside the points of its curve; its flow there is extrapolated.", name, quantity.Format(load.Rise, sys))
	}
	// The drop in described wiring moves by microvolts.
	if v := p.Curves[0].Voltage(); !p.HasVoltages() && math.Abs(float64(v-load.Voltage)) > 0.005 {
		warn(false, SupplyVoltage, "%s has one curve, at %s, and is used as it stands at %s.", name, quantity.Format(v, sys), quantity.Format(load.Voltage, sys))
	}
}
