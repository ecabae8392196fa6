package sweep

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/internal/sheet"
	"example.com/railbook/sizing/quantity"
)

// Result is something that can be read off an assessment: one of the predeclared ones,
// or any number of it by its path, see [ResultNamed]. They are counted in the unit
// system of the build's sheet.
type Result struct {
	Name  string // "injector duty"
	finds sizing.Section
	unit  func(quantity.System) string
	raw   func(*sizing.Assessment) float64                          // in the coherent SI unit; NaN for none
	count func(column []float64, s quantity.System)                 // turns SI into numbers of the unit
	limit func(sizing.Build) (value float64, label string, ok bool) // draws a line on surfaces; nil for none
	term  sizing.Term                                               // where termed, that raw is
	// termed tells that the result is a term, and zeroIsNone that a term of zero stands
	// for none.
	termed, zeroIsNone bool
}

// Unit is the unit that the result is counted in.
func (r Result) Unit(s quantity.System) string { return r.unit(s) }

// Section returns what of an assessment has to be found for it.
func (r Result) Section() sizing.Section { return r.finds }

// Of reads the result off an assessment; NaN stands for none.
func (r Result) Of(a *sizing.Assessment) float64 {
	one := [1]float64{r.raw(a)}
	r.count(one[:], a.Build.Job.Units)
	return one[0]
}

// Limit returns the value at which a line is drawn, with its label; ok is false where
// the result has none.
func (r Result) Limit(b sizing.Build) (value float64, label string, ok bool) {
	if r.limit == nil {
		return 0, "", false
	}
	return r.limit(b)
}

// What can be read off every point.
var (
	FuelMass   = termed("fuel mass flow", 0, sizing.TotalTerm, func(a *sizing.Assessment) quantity.MassFlow { return a.Demand.Total })
	FuelVolume = termed("fuel volume flow", 0, sizing.VolumeTerm, func(a *sizing.Assessment) quantity.VolumeFlow { return a.Demand.Volume })
	Power      = termed("crank power", 0, sizing.PowerTerm, func(a *sizing.Assessment) quantity.CrankPower { return a.Power })
	Duty       = Result{Name: "injector duty", finds: sizing.InjectionSection, unit: percent, raw: duty, count: percents, limit: mostDuty, term: sizing.DutyTerm, termed: true, zeroIsNone: true}
	PumpMargin = Result{Name: "pump margin", finds: sizing.DeliverySection, unit: percent, raw: pumpMargin, count: percents, limit: zero("pumps carry no more")}

	InjectorMargin = Result{Name: "injector margin", finds: sizing.InjectionSection, unit: percent, raw: injectorMargin, limit: zero("injectors carry no more"),
		term: sizing.InjectorMarginTerm, termed: true, count: percents}
	LeastMargin = Result{Name: "least margin", finds: sizing.MarginsSection, unit: percent, raw: leastMargin, count: percents, limit: zero("the first part carries no more")}

	RailPressure   = counted("rail over manifold pressure", sizing.DeliverySection, func(a *sizing.Assessment) quantity.PressureDiff { return a.Delivery.Rail.Above(a.Manifold) })
	SupportedPower = counted("power supported", sizing.DeliverySection, func(a *sizing.Assessment) quantity.CrankPower { return a.Delivery.Supported })
	BSFC           = termed("bsfc", 0, sizing.BSFCTerm, func(a *sizing.Assessment) quantity.SpecificConsumption { return a.Demand.BSFC })
	PowerRoute     = termed("power route", 0, sizing.PowerRouteTerm, func(a *sizing.Assessment) quantity.MassFlow { return a.Demand.Routes.Power })
	EnergyRoute    = termed("energy route", 0, sizing.EnergyRouteTerm, func(a *sizing.Assessment) quantity.MassFlow { return a.Demand.Routes.Energy })
	AirRoute       = termed("air route", 0, sizing.AirRouteTerm, func(a *sizing.Assessment) quantity.MassFlow { return a.Demand.Routes.Air })
	StaticFlow     = termed("static flow", sizing.InjectionSection, sizing.StaticTerm, func(a *sizing.Assessment) quantity.MassFlow { return a.Injection.Static })
	PulseWidth     = termed("pulse width", sizing.InjectionSection, sizing.PulseTerm, func(a *sizing.Assessment) quantity.Time { return a.Injection.Pulse })
	Differential   = termed("differential pressure", sizing.InjectionSection, sizing.DifferentialTerm, func(a *sizing.Assessment) quantity.PressureDiff { return a.Injection.Differential })
	IdlePulse      = counted("idle pulse", sizing.IdleSection, func(a *sizing.Assessment) quantity.Time { return a.Idle.Pulse })
	InletMargin    = counted("inlet margin", sizing.InletSection, func(a *sizing.Assessment) quantity.PressureDiff { return a.Inlet.Margin })
	ElectricLoad   = counted("electric load", sizing.LoadsSection, func(a *sizing.Assessment) quantity.Current { return a.Loads.Total })
	MostPower      = counted("most power", sizing.WeakestSection, (*sizing.Assessment).Keeps)
)

// Results lists the results that have a name of their own.
var Results = []Result{FuelMass, FuelVolume, Power, Duty, PumpMargin, InjectorMargin, LeastMargin, RailPressure, SupportedPower,
	BSFC, PowerRoute, EnergyRoute, AirRoute, StaticFlow, PulseWidth, Differential, IdlePulse, InletMargin, ElectricLoad, MostPower}

// Usual lists the results that a grid holds where none are asked for.
var Usual = []Result{FuelMass, FuelVolume, Power, Duty, PumpMargin, InjectorMargin, LeastMargin, RailPressure, SupportedPower}

// ErrResult is wrapped by the error of [ResultNamed].
var ErrResult = errors.New("unknown result")

// ResultNamed finds a result by its name, in which spaces and underscores are the same,
// or short for "injector duty": "duty". Anything else is a path to a number in the
// JSON form of an assessment, such as "delivery.pump_rise" or "parts[pumps].margin".
// The error wraps [ErrResult] and suggests a name.
func ResultNamed(name string) (Result, error) {
	plain := strings.ToLower(strings.Join(strings.Fields(strings.ReplaceAll(name, "_", " ")), " "))
	if plain == "duty" {
		return Duty, nil
	}
	var names []string
	for _, r := range Results {
		if r.Name == plain {
			return r, nil
		}
		names = append(names, r.Name)
	}
	if r, ok := pathResult(strings.ReplaceAll(plain, " ", "_")); ok {
		return r, nil
	}
	hint := ""
	if near := sheet.Nearest(plain, names); near != "" {
		hint = fmt.Sprintf(", perhaps %q is meant", near)
	}
	return Result{}, fmt.Errorf("%w %q%s; want one of %s, or a path in an assessment such as delivery.pump_rise", ErrResult, name, hint, strings.Join(names, ", "))
}

// counted makes a result of a quantity.
func counted[Q quantity.Quantity](name string, finds sizing.Section, of func(*sizing.Assessment) Q) Result {
	return Result{
		Name: name, finds: finds, unit: quantity.UnitSymbol[Q], count: quantity.Numbers[Q],
		raw: func(a *sizing.Assessment) float64 { return float64(of(a)) },
	}
}

// termed makes a result of a quantity that is a term too.
func termed[Q quantity.Quantity](name string, finds sizing.Section, term sizing.Term, of func(*sizing.Assessment) Q) Result {
	r := counted(name, finds, of)
	r.term, r.termed = term, true
	return r
}

// percents turns a column of shares into percent.
func percents(column []float64, _ quantity.System) {
	for i := range column {
		column[i] *= 100
	}
}

// duty is a gap where no pulse, however long, delivers anything.
func duty(a *sizing.Assessment) float64 {
	if a.Injection.Pulse == 0 {
		return math.NaN()
	}
	return float64(a.Injection.Duty)
}

func mostDuty(b sizing.Build) (float64, string, bool) {
	most := b.Policy.MaxDuty
	if most == 0 {
		most = sizing.DefaultMaxDuty
	}
	return 100 * float64(most), "largest duty allowed, " + most.Percent(0), true
}

func percent(quantity.System) string { return "%" }

func pumpMargin(a *sizing.Assessment) float64 {
	return float64(a.Delivery.Carried/a.Demand.Volume) - 1
}

func injectorMargin(a *sizing.Assessment) float64 {
	return float64(a.Injection.Margin)
}

func leastMargin(a *sizing.Assessment) float64 {
	least := math.Inf(1)
	for _, p := range a.Parts {
		least = min(least, float64(p.Margin))
	}
	return least
}

func zero(label string) func(sizing.Build) (float64, string, bool) {
	return func(sizing.Build) (float64, string, bool) { return 0, label, true }
}
