package sweep

import (
	"math"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// What can be read off every point.
var (
	FuelMass = Result{Name: "fuel mass flow", of: func(a *sizing.Assessment) float64 { return quantity.Number(a.Demand.Total, system(a)) },
		unit: unit[quantity.MassFlow]}
	FuelVolume = Result{Name: "fuel volume flow", of: func(a *sizing.Assessment) float64 { return quantity.Number(a.Demand.Volume, system(a)) },
		unit: unit[quantity.VolumeFlow]}
	Power = Result{Name: "crank power", of: func(a *sizing.Assessment) float64 { return quantity.Number(a.Power, system(a)) },
		unit: unit[quantity.CrankPower]}
	Duty = Result{Name: "injector duty", of: duty,
		unit: percent, limit: func(b sizing.Build) (float64, string, bool) {
			most := b.Policy.MaxDuty
			if most == 0 {
				most = sizing.DefaultMaxDuty
			}
			return 100 * float64(most), "largest duty allowed, " + most.Percent(0), true
		}}
	PumpMargin     = Result{Name: "pump margin", of: margin(sizing.PumpsPart), unit: percent, limit: zero("pumps carry no more")}
	InjectorMargin = Result{Name: "injector margin", of: margin(sizing.InjectorsPart), unit: percent, limit: zero("injectors carry no more")}
	LeastMargin    = Result{Name: "least margin", of: func(a *sizing.Assessment) float64 {
		least := 0.0
		for i, p := range a.Parts {
			if m := 100 * float64(p.Margin); i == 0 || m < least {
				least = m
			}
		}
		return least
	}, unit: percent, limit: zero("the first part carries no more")}
	RailPressure = Result{Name: "rail over manifold pressure", of: func(a *sizing.Assessment) float64 {
		return quantity.Number(a.Delivery.Rail.Above(a.Manifold), system(a))
	}, unit: unit[quantity.PressureDiff]}
	SupportedPower = Result{Name: "power supported", of: func(a *sizing.Assessment) float64 { return quantity.Number(a.Delivery.Supported, system(a)) },
		unit: unit[quantity.CrankPower]}
)

// Results lists every result that a grid holds.
var Results = []Result{FuelMass, FuelVolume, Power, Duty, PumpMargin, InjectorMargin, LeastMargin, RailPressure, SupportedPower}

// duty is a gap where no pulse, however long, delivers anything.
func duty(a *sizing.Assessment) float64 {
	if a.Injection.Pulse == 0 {
		return math.NaN()
	}
	return 100 * float64(a.Injection.Duty)
}

func system(a *sizing.Assessment) quantity.System { return a.Build.Job.Units }

func unit[Q quantity.Quantity](b sizing.Build) string { return quantity.UnitSymbol[Q](b.Job.Units) }

func percent(sizing.Build) string { return "%" }

func margin(kind sizing.PartKind) func(*sizing.Assessment) float64 {
	return func(a *sizing.Assessment) float64 {
		p, _ := a.Part(kind)
		return 100 * float64(p.Margin)
	}
}

func zero(label string) func(sizing.Build) (float64, string, bool) {
	return func(sizing.Build) (float64, string, bool) { return 0, label, true }
}
