package regulator_test

import (
	"fmt"

	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

// Boost leaves the pressure across the injectors alone with a manifold-referenced
// regulator and takes from it with a fixed one.
func ExampleRegulator_Differential() {
	const ambient = 14.7 * quantity.PSIA
	manifold := ambient.Plus(14 * quantity.PSI)
	for _, kind := range []regulator.Kind{regulator.ManifoldReferenced, regulator.Fixed} {
		r := regulator.Regulator{Kind: kind, BasePressure: 43.5 * quantity.PSI}
		fmt.Println(kind, quantity.Format(r.Differential(manifold, ambient), quantity.US))
	}
	// Output:
	// manifold-referenced 43.5 psi
	// fixed 29.5 psi
}

func ExampleParseKind() {
	_, err := regulator.ParseKind("vacuum")
	fmt.Println(err)
	// Output:
	// "vacuum": is not a kind of regulator; want one of "manifold-referenced", "fixed", "returnless"
}

// A made-up regulator that holds up to 200 L/h: where it has to return more, the
// pressure creeps up.
func ExampleRegulator_SetpointAt() {
	slope, err := regulator.ParseSlope("8 kPa per 100 L/h")
	if err != nil {
		fmt.Println(err)
		return
	}
	r := regulator.Regulator{Kind: regulator.Fixed, BasePressure: 300 * quantity.KilopascalDiff, MaxReturn: 200 * quantity.LitrePerHour, Slope: slope}
	const ambient = 98 * quantity.Kilopascal
	for _, returned := range []quantity.VolumeFlow{50 * quantity.LitrePerHour, 200 * quantity.LitrePerHour, 450 * quantity.LitrePerHour} {
		fmt.Println(returned, r.SetpointAt(ambient, ambient, returned).Above(ambient), r.Controls(returned))
	}
	// Output:
	// 50 L/h 300 kPa true
	// 200 L/h 300 kPa true
	// 450 L/h 320 kPa false
}
