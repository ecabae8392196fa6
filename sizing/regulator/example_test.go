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
