package injector_test

import (
	"fmt"

	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
)

// A practitioner's example (common practice, no source): 142 lb/h at 43.5 psi is
// 164 lb/h at 58 psi on the same fuel.
func ExampleRating_Flow() {
	rating, err := injector.ParseRating("142 lb/h at 43.5 psi on gasoline")
	if err != nil {
		fmt.Println(err)
		return
	}
	flow := rating.Flow(rating.Density(), 58*quantity.PSI)
	fmt.Printf("%.0f lb/h\n", flow.In(quantity.PoundPerHour))
	// Output: 164 lb/h
}

func ExampleParseRating() {
	rating, err := injector.ParseRating("440 cc/min at 3 bar")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(rating.Format(quantity.US))
	fmt.Println("on", rating.Fluid(), "at", rating.Temperature(), "- assumed:", rating.FluidAssumed())

	_, err = injector.ParseRating("440 cc/min")
	fmt.Println(err)
	// Output:
	// 440 cc/min at 43.51 psi
	// on n-heptane at 20 °C - assumed: true
	// "440 cc/min": no " at " between a flow and a pressure; a flow alone does not rate an injector; want a flow at a differential pressure, then the test liquid and its temperature where known, such as "440 cc/min at 3 bar", "142 lb/h at 43.5 psi on gasoline" or "440 cc/min at 3 bar on n-heptane at 21 degC"
}

// The rule of thumb (common practice, no source): 850 hp at 0.85 lb/(hp h), six
// injectors, duty 0.85. Counting a dead time of 1.05 ms at 7000 rpm asks for more.
func ExampleStaticFlowNeeded() {
	fuel := 850 * 0.85 * quantity.PoundPerHour
	fmt.Println(quantity.Format(injector.StaticFlowNeeded(fuel, 6, injector.DefaultMaxDuty), quantity.US))

	period := injector.Cycle(7000*quantity.RPM, 4)
	open := injector.StaticFlowNeededOpen(fuel, 6, injector.DefaultMaxDuty, period, 1.05*quantity.Millisecond)
	fmt.Println(quantity.Format(open, quantity.US))
	// Output:
	// 141.7 lb/h
	// 152.7 lb/h
}

// Made-up dead times.
func ExampleDeadTime_At() {
	dead, err := injector.ParseDeadTime("1.35 ms at 12 V; 1.05 ms at 13.5 V")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(dead.At(12.75*quantity.Volt), dead.Covers(12.75*quantity.Volt))
	fmt.Println(dead.At(11*quantity.Volt), dead.Covers(11*quantity.Volt))
	// Output:
	// 1.2 ms true
	// 1.35 ms false
}

// A made-up table over voltage and differential pressure.
func ExampleDeadTime_AtPressure() {
	dead, err := injector.ParseDeadTime("1.35 ms at 12 V and 3 bar; 1.05 ms at 14 V and 3 bar; 1.5 ms at 12 V and 5 bar; 1.15 ms at 14 V and 5 bar")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(dead.AtPressure(13*quantity.Volt, 4.5*quantity.BarDiff), dead.CoversPressure(13*quantity.Volt, 4.5*quantity.BarDiff))
	fmt.Println(dead.AtPressure(13*quantity.Volt, 6*quantity.BarDiff), dead.CoversPressure(13*quantity.Volt, 6*quantity.BarDiff))

	_, err = injector.ParseDeadTime("1.35 ms at 12 V and 3 bar; 1.05 ms at 14 V and 3 bar; 1.5 ms at 12 V and 5 bar")
	fmt.Println(err)
	// Output:
	// 1.294 ms true
	// 1.325 ms false
	// point 3: "1.5 ms at 12 V and 500 kPa": the dead time at 14 V and 500 kPa is missing; want dead times in order of rising voltage such as "1.35 ms at 12 V; 1.05 ms at 13.5 V", one such as "1.05 ms", or a table with rows such as "1.05 ms at 13.5 V and 3 bar"
}

// Made-up corrections of both kinds.
func ExampleLowPulse() {
	for _, table := range []string{"0.08 ms at 0.6 ms; 0.03 ms at 1.2 ms; 0 ms at 2 ms", "82 % at 0.6 ms; 95 % at 1.2 ms; 100 % at 2 ms"} {
		l, err := injector.ParseLowPulse(table)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(l.Open(0.9*quantity.Millisecond), l.Open(3*quantity.Millisecond))
	}
	// Output:
	// 0.955 ms 3 ms
	// 0.9941 ms 3 ms
}

// Six coils at 7000 rpm and a pulse of 12 ms, as a load on the wiring.
func ExampleCoil_Average() {
	period := injector.Cycle(7000*quantity.RPM, 4)
	for _, text := range []string{"12 ohm", "2.4 ohm, peak 4 A for 1 ms, hold 1 A"} {
		coil, err := injector.ParseCoil(text)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(6 * coil.Average(13.5*quantity.Volt, 12*quantity.Millisecond, period))
	}
	// Output:
	// 4.725 A
	// 5.25 A
}

// Made-up bench figures: the fuel of one injection at five pulse widths.
func ExampleFitFlowLine() {
	var points []injector.PulseFlow
	for _, p := range [][2]float64{{1.5, 3.2}, {2.5, 14.6}, {4, 29.8}, {6, 50.4}, {9, 80.1}} {
		points = append(points, injector.PulseFlow{Pulse: quantity.Of(p[0], quantity.Millisecond), Fuel: quantity.Of(p[1]*1e-3, quantity.Gram)})
	}
	line, err := injector.FitFlowLine(points[1:]...)
	if err != nil {
		fmt.Println(err)
		return
	}
	first, _, ratio := line.LinearRange(injector.LinearityLimit, points...)
	fmt.Println("slope", line.Slope, "offset", line.Offset)
	fmt.Printf("linear from %v over a range of %.1f\n", first.Pulse, float64(ratio))
	// Output:
	// slope 10.09 g/s offset 1.04 ms
	// linear from 2.5 ms over a range of 5.5
}
