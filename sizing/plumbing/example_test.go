package plumbing_test

import (
	"fmt"

	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/quantity"
)

// Crane, Technical Paper 410M, example 7.13: fuel oil in a steel pipe. The paper
// reads f = 0.0230 from a chart and prints 66,500 Pa; the fluids library 1.0.22
// solves it to 0.022702 and 65,759 Pa.
func ExampleLine_Drop() {
	line := plumbing.Line{
		Bore:      52.48 * quantity.Millimetre,
		Length:    100 * quantity.Foot,
		Roughness: 0.0018 * quantity.Inch,
	}
	flow := 2 * 60 * quantity.GallonPerMinute
	rho := 0.815 * 999.1 * quantity.KilogramPerCubicMetre
	mu := quantity.Of(2.7e-6*float64(rho), quantity.PascalSecond) // 2.7 cSt

	re := line.Reynolds(flow, rho, mu)
	fmt.Printf("Re %.0f, f %.6f\n", re, plumbing.FrictionFactor(re, 0.0018*25.4/52.48))
	fmt.Printf("%.0f Pa\n", line.Drop(flow, rho, mu).In(quantity.PascalDiff))
	// Output:
	// Re 68029, f 0.022702
	// 65759 Pa
}

// How much gasoline a 6 m feed line with four elbows carries for 35 kPa.
func ExampleLine_Capacity() {
	line := plumbing.Line{Bore: 8 * quantity.Millimetre, Length: 6 * quantity.Metre, Rise: 30 * quantity.Centimetre}
	line.LossCoefficient = plumbing.Exit + 4*plumbing.Elbow90.LossCoefficient(line.Bore)

	flow, err := line.Capacity(35*quantity.KilopascalDiff, 745*quantity.KilogramPerCubicMetre, 0.5*quantity.MillipascalSecond)
	if err != nil {
		fmt.Println(err)
		return
	}
	v := line.Velocity(flow)
	fmt.Println(flow, "at", v)
	fmt.Println("below the velocity advised for pressure lines:", v < plumbing.PressureVelocityLow)
	// Output:
	// 347.3 L/h at 1.919 m/s
	// below the velocity advised for pressure lines: true
}

func ExampleParseFilter() {
	filter, err := plumbing.ParseFilter("15 kPa at 300 L/h")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(filter.Loss(150 * quantity.LitrePerHour))
	_, err = plumbing.ParseFilter("15 kPa")
	fmt.Println(err)
	// Output:
	// 3.75 kPa
	// "15 kPa": no " at " between a pressure drop and a flow; want a clean pressure drop at a flow such as "15 kPa at 300 L/h", or "none"
}

// The same number on a hose and on a tube.
func ExampleParseDash() {
	for _, text := range []string{"-8 hose", "-8 tube, wall 0.035 in", "-8"} {
		size, err := plumbing.ParseDash(text)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(text, "has a bore of", size.Bore())
	}
	// Output:
	// -8 hose has a bore of 12.7 mm
	// -8 tube, wall 0.035 in has a bore of 10.92 mm
	// "-8": a dash number alone does not tell the bore: a hose is numbered by its inside, a tube by its outside, from which the wall comes off twice; want the size of a hose such as "-8 hose", whose number counts sixteenths of an inch of its inside, or of a tube such as "-8 tube, wall 0.035 in", whose number counts those of its outside
}

// A made-up suction side at the launch: how much fuel it brings before it boils, cool
// and on a hot day.
func ExampleSuction() {
	suction := plumbing.Suction{Run: plumbing.Run{
		{Name: "pickup", Line: plumbing.Line{Bore: 10 * quantity.Millimetre, Length: 0.3 * quantity.Metre, LossCoefficient: plumbing.InwardEntrance, Rise: 0.2 * quantity.Metre}},
		{Name: "pre-filter", Filter: plumbing.Filter{Flow: 400 * quantity.LitrePerHour, Drop: 3 * quantity.KilopascalDiff}},
		{Name: "line", Line: plumbing.Line{Bore: 12 * quantity.Millimetre, Length: 0.8 * quantity.Metre, Ahead: 0.6 * quantity.Metre}},
	}}
	f := plumbing.Stream{
		Flow: 300 * quantity.LitrePerHour, Density: 740 * quantity.KilogramPerCubicMetre, Viscosity: 0.4 * quantity.MillipascalSecond,
		Acceleration: 1 * quantity.StandardGravity,
	}
	const vented = 98 * quantity.Kilopascal
	for _, vapour := range []quantity.Pressure{37 * quantity.Kilopascal, 71 * quantity.Kilopascal} {
		most, err := suction.Capacity(vented, vapour, 10*quantity.KilopascalDiff, f)
		fmt.Println("margin", suction.Margin(vented, vapour, f), "head", suction.NPSH(vented, vapour, f), "most", most, err)
	}
	v, at := suction.Run.Fastest(f.Flow)
	fmt.Println("fastest in the", suction.Run[at].Name, v, "within what is advised:", v <= plumbing.SuctionVelocityHigh)
	// Output:
	// margin 52.49 kPa head 7232 mm most 1270 L/h <nil>
	// margin 18.49 kPa head 2547 mm most 622.2 L/h <nil>
	// fastest in the pickup 1.061 m/s within what is advised: true
}

// A made-up loop: 150 W of pump and 250 W from the engine bay, and 40 L in the tank.
func ExampleLoop() {
	const rho, c = 740 * quantity.KilogramPerCubicMetre, 2.1 * quantity.KilojoulePerKilogramKelvin
	loop := plumbing.Loop{
		Flow: (300 * quantity.LitrePerHour).Mass(rho), Burnt: (20 * quantity.LitrePerHour).Mass(rho),
		Pump: 150 * quantity.WattPower, Feed: 250 * quantity.WattPower, SpecificHeat: c,
	}
	tank := plumbing.Tank{Mass: 29.6 * quantity.Kilogram, SpecificHeat: c, Cooling: 3 * quantity.Hour}
	air, heat := quantity.Celsius(25), loop.ToTank()
	fmt.Println("a lap", loop.Lap(), "to the tank", heat)
	fmt.Println("after half an hour", tank.After(30*quantity.Minute, air, air, heat), "in the end", tank.Balance(air, heat))
	fmt.Println("45 °C after", quantity.FormatIn(tank.Until(quantity.Celsius(45), air, air, heat), quantity.Minute))
	// Output:
	// a lap 3.089 K to the tank 373.3 W
	// after half an hour 34.96 °C in the end 89.86 °C
	// 45 °C after 66.36 min
}

// A run of two segments, each by itself and both together.
func ExampleRun() {
	run := plumbing.Run{
		{Name: "line", Line: plumbing.Line{Bore: 8 * quantity.Millimetre, Length: 4 * quantity.Metre, LossCoefficient: 3, Ahead: 2.5 * quantity.Metre}},
		{Name: "filter", Filter: plumbing.Filter{Flow: 300 * quantity.LitrePerHour, Drop: 15 * quantity.KilopascalDiff}},
	}
	f := plumbing.Stream{Flow: 240 * quantity.LitrePerHour, Density: 745 * quantity.KilogramPerCubicMetre, Viscosity: 0.5 * quantity.MillipascalSecond}
	for _, s := range run {
		fmt.Println(s.Name, s.Drop(f))
	}
	fmt.Println("all", run.Drop(f))
	f.Acceleration = 1.2 * quantity.StandardGravity
	fmt.Println("at 1.2 g", run.Drop(f))
	// Output:
	// line 11.07 kPa
	// filter 9.6 kPa
	// all 20.67 kPa
	// at 1.2 g 42.59 kPa
}
