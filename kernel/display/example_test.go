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

func ExampleVerify() {
	ethanol := Fuel("ethanol")
	Verify(
		Near("ethanol at 20 °C", ethanol.Density(quantity.Celsius(20)), "789.3 kg/m3 +- 0.1 %", "CRC Handbook, from memory"),
		Near("air to fuel", ethanol.StoichiometricAFR(), "8.99..9.01", "Heywood, table D.4, from memory"),
	)
	// Output:
	// Checks
	//
	// Checked                   Here          Ought to be  By                               Verdict
	// ─────────────────────────────────────────────────────────────────────────────────────────────
	// ethanol at 20 °C  789.22 kg/m³  789.3 kg/m3 ± 0.1 %  CRC Handbook, from memory        ● holds
	// air to fuel             9.0049         8.99 to 9.01  Heywood, table D.4, from memory  ● holds
}

func ExampleTable() {
	Show(Table("On the bench", "Part | Flow in lb/h | Pressure in psi",
		Row("injector", 142*quantity.PoundPerHour, 3*quantity.BarDiff),
		Row("pump", 560*quantity.PoundPerHour, 70*quantity.PSI)))
	// Output:
	// On the bench
	//
	// Part      Flow in lb/h  Pressure in psi
	// ───────────────────────────────────────
	// injector           142            43.51
	// pump               560               70
}

func ExamplePlot() {
	e70 := Fuel("E70")
	density := Plot("Density as it warms", "temperature in °C", "density in kg/m³",
		Curve("E70", -10, 60, func(t float64) float64 { return float64(e70.Density(quantity.Celsius(t))) }))
	fmt.Println(density.Alt)
	// Output: density in kg/m³ over temperature in °C: E70 from 801 to 739.
}

func ExampleTopUp() {
	add := TopUp("E70", "18 L of E10", "E85")
	fmt.Println(add, "of E85 on top make", Mix("18 L of E10", fmt.Sprint(add, " of E85")))
	// Output: 72 L of E85 on top make E70
}
