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
