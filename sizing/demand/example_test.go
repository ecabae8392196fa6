package demand_test

import (
	"fmt"

	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// What a time slip says of a claimed power.
func ExampleStripRule() {
	mass := 3420 * quantity.Pound
	rule := demand.EmpiricalStrip()
	crank := rule.PowerFromSpeed(mass, 131.5*quantity.MilePerHour)
	fmt.Println("crank power by the speed:", quantity.Format(crank, quantity.US))
	steady := demand.SteadyRun{Distance: demand.QuarterMile}
	fmt.Println("at least, at the wheels:", quantity.Format(steady.PowerFromSpeed(mass, 131.5*quantity.MilePerHour), quantity.US))
	// Output:
	// crank power by the speed: 682.7 hp
	// at least, at the wheels: 350.1 hp
}

func ExampleFuelForNitrous() {
	b, err := fuel.Parse("E85")
	if err != nil {
		fmt.Println(err)
		return
	}
	oxide := demand.NitrousForPower(b, 150*quantity.Horsepower, 0.29, 0.85)
	added := demand.FuelForNitrous(b, oxide, 0.85)
	fmt.Println("nitrous oxide:", quantity.Format(oxide, quantity.US))
	fmt.Println("its fuel:", quantity.Format(added, quantity.US))
	loads := demand.FromRail.Split(added)
	fmt.Println("on the injectors:", loads.Injectors, "on the pumps:", loads.Pumps)
	// Output:
	// nitrous oxide: 486 lb/h
	// its fuel: 91.64 lb/h
	// on the injectors: 0 g/s on the pumps: 11.55 g/s
}

func ExampleWaterMethanol() {
	main, err := fuel.Parse("gasoline")
	if err != nil {
		fmt.Println(err)
		return
	}
	w, err := demand.WaterMethanolByVolume(600*quantity.CCPerMinute, 0.50, quantity.Celsius(20))
	if err != nil {
		fmt.Println(err)
		return
	}
	alone := 45 * quantity.GramPerSecond
	fmt.Println("methanol that burns:", w.Fuel())
	fmt.Println("gasoline it stands in for:", w.Replaced(main))
	fmt.Println("lambda when it fails:", w.LambdaOnFailure(main, alone, 0.80))
	fmt.Println(demand.SizeWithoutIt)
	// Output:
	// methanol that burns: 3.96 g/s
	// gasoline it stands in for: 1.756 g/s
	// lambda when it fails: 0.8325
	// size injectors, pumps and lines for the whole demand without the injection: an empty tank, a blocked nozzle or a stopped pump takes it away at full load
}

func ExampleStaged() {
	s := demand.Staged{
		Primary:   demand.InjectorSet{Static: 9 * quantity.GramPerSecond, Count: 8, Dead: 1.0 * quantity.Millisecond},
		Secondary: demand.InjectorSet{Static: 27 * quantity.GramPerSecond, Count: 8, Dead: 1.1 * quantity.Millisecond},
		Interval:  15 * quantity.Millisecond,
		Start:     0.65, MaxDuty: 0.85,
	}
	if err := s.Validate(); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("second set from", s.SwitchOver(), "both up to", s.Capability())
	for _, demand := range []quantity.MassFlow{30 * quantity.GramPerSecond, 120 * quantity.GramPerSecond} {
		at := s.At(demand)
		fmt.Println(demand, "duty", at.Primary.Duty.Percent(1), "and", at.Secondary.Duty.Percent(1))
	}
	// Output:
	// second set from 42 g/s both up to 224.2 g/s
	// 30 g/s duty 48.3 % and 0.0 %
	// 120 g/s duty 48.3 % and 49.0 %
}
