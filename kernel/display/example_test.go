package display_test

import (
	"fmt"

	. "example.com/railbook/kernel/display"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
)

// Outside of a notebook everything is shown as text.

func ExampleShow() {
	parts := sizing.Table{
		Caption: "What is on the bench",
		Columns: []sizing.Column{{Name: "Part"}, {Name: "Count", Numeric: true}},
		Rows:    [][]string{{"injector", "6"}, {"pump", "2"}},
	}
	Show(parts, 640*quantity.Horsepower, quantity.Ratio(0.85))
	// Output:
	// What is on the bench
	//
	// Part      Count
	// ───────────────
	// injector      6
	// pump          2
	// 477.2 kW = 640 hp
	// 0.85
}

func ExampleSweep() {
	build := Open("testdata/bench.toml")
	Show(Sweep(build, "boost = 10..20 psi by 2", "ethanol = 0, 50, 85 %"))
	// Output:
	// Sweep of 18 points
	//
	// Varied        From  To  Values
	// ──────────────────────────────
	// boost in psi    10  20       6
	// ethanol in %     0  85       3
}

func ExampleMap() {
	build := Open("testdata/bench.toml")
	grid := Sweep(build, "boost = 10..20 psi by 2", "ethanol = 0..80 % by 20", "base pressure = 3, 4 bar")
	duty := Map(grid, sweep.Duty, "base pressure = 4 bar")
	fmt.Println(duty.ID)
	fmt.Println(duty.Title)
	// Output:
	// map-injector-duty-base-pressure-4-bar
	// injector duty over boost and ethanol, at base pressure 4 bar
}

func ExampleWith() {
	build := Open("testdata/bench.toml")
	changed := With(build, "blend = E85, base pressure = 4 bar")
	fmt.Println(changed.Fuel.Blend, "at", quantity.FormatIn(changed.Regulator.BasePressure, quantity.BarDiff))
	// Output: E85 at 4 bar
}
