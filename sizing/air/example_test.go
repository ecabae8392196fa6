package air_test

import (
	"fmt"

	"example.com/railbook/sizing/air"
	"example.com/railbook/sizing/quantity"
)

func ExampleAtAltitude() {
	s, err := air.AtAltitude(1500 * quantity.Metre)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Pressure, s.Temperature, s.Density())
	_, err = air.AtAltitude(15 * quantity.Kilometre)
	fmt.Println(err)
	// Output:
	// 84.56 kPa 5.252 °C 1.058 kg/m³
	// altitude: "15000 m": lies outside the troposphere of the standard atmosphere; want an altitude from -5000 m to 11019 m
}

// A weather report's barometer is reduced to sea level. The engine at 1500 m does
// not get that air.
func ExampleStationPressure() {
	p, err := air.StationPressure(102*quantity.Kilopascal, 1500*quantity.Metre)
	fmt.Println(p, err)
	// Output:
	// 85.14 kPa <nil>
}

// A chassis dynamometer printed 655 hp by SAE J607 on a hot day. What the engine
// made, and needed fuel for, is less.
func ExampleStandard_Observed() {
	day := air.Weather{Barometer: 98.2 * quantity.Kilopascal, Temperature: quantity.Celsius(31), Humidity: 0.55}
	observed, validity := air.SAEJ607.Observed(655*quantity.Horsepower, day.Dry(), day.Temperature)
	fmt.Println(quantity.Format(observed, quantity.US), validity)
	rated, validity := air.ISO1585.Corrected(observed, day.Dry(), day.Temperature)
	fmt.Println(quantity.Format(rated, quantity.US), validity)
	// Output:
	// 602.9 hp outside the limits of the standard
	// 635.5 hp within the limits of the standard
}

func ExampleCharging_Charge() {
	ambient := air.State{Pressure: 98 * quantity.Kilopascal, Temperature: quantity.Celsius(28)}
	c := air.Charging{
		InletLoss:   2 * quantity.KilopascalDiff,
		Efficiency:  0.72,
		Intercooler: air.Intercooler{Effectiveness: 0.70, Coolant: ambient.Temperature, Loss: 7 * quantity.KilopascalDiff},
	}
	if err := c.Validate(); err != nil {
		fmt.Println(err)
		return
	}
	charge := c.Charge(ambient, 210*quantity.Kilopascal)
	fmt.Println("pressure ratio", charge.Ratio)
	fmt.Println("discharge", charge.Discharge.Temperature, "charge", charge.Manifold.Temperature)
	fmt.Println("shaft", charge.Power(0.45*quantity.KilogramPerSecond))
	// Output:
	// pressure ratio 2.26
	// discharge 137.8 °C charge 60.93 °C
	// shaft 49.62 kW
}
