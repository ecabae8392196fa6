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
