package wiring_test

import (
	"fmt"

	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/wiring"
)

// A pump that draws 12 A and a little more with more voltage, 5 m from a supply of
// 13.8 V, through thin wire and then through wire chosen for a drop of 0.3 V.
func ExampleCircuit_Feed() {
	thin, err := wiring.ParseConductor("14 AWG")
	if err != nil {
		fmt.Println(err)
		return
	}
	c := wiring.Circuit{Conductor: thin, Length: 5 * quantity.Metre, Temperature: quantity.Celsius(60), Contacts: 10 * quantity.Milliohm}
	load := func(v quantity.Voltage) quantity.Current { return quantity.Current(12 + 0.2*(float64(v)-12)) }
	show := func() {
		s, err := c.Feed(13.8*quantity.Volt, load)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(c.Conductor, "brings", s.Voltage, "and", s.Current, "and keeps", c.Heat(s.Current))
	}
	show()

	area, err := c.SectionFor(12.3*quantity.Ampere, 0.3*quantity.Volt)
	if err != nil {
		fmt.Println(err)
		return
	}
	c.Conductor, _ = wiring.AtLeast(area)
	show()
	// Output:
	// 14 AWG brings 12.52 V and 12.1 A and keeps 15.51 W
	// 4 AWG brings 13.56 V and 12.31 A and keeps 2.946 W
}

func ExampleParseConductor() {
	for _, text := range []string{"10 AWG", "2/0 AWG", "4 mm2", "10"} {
		c, err := wiring.ParseConductor(text)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Printf("%v has %v/m\n", c, c.Resistance(1*quantity.Metre, quantity.Celsius(20)))
	}
	// Output:
	// 10 AWG has 0.003277 Ω/m
	// 2/0 AWG has 0.0002557 Ω/m
	// 4 mm² has 0.00431 Ω/m
	// "10": is neither a gauge nor an area; want a gauge such as "10 AWG" or "2/0 AWG", or the area of the copper such as "4 mm2"
}
