package pump_test

import (
	"fmt"

	"example.com/railbook/sizing/pump"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/wiring"
)

// curve makes a curve of points in text.
func curve(v quantity.Voltage, texts ...string) (pump.Curve, error) {
	var points []pump.Point
	for _, text := range texts {
		p, err := pump.ParsePoint(text)
		if err != nil {
			return pump.Curve{}, err
		}
		points = append(points, p)
	}
	return pump.NewCurve(points, v)
}

// Two made-up pumps in parallel, measured at two voltages, with 5 % off for wear.
func ExamplePump_Flow() {
	low, err := curve(12*quantity.Volt, "270 L/h at 300 kPa", "225 L/h at 400 kPa", "160 L/h at 500 kPa")
	if err != nil {
		fmt.Println(err)
		return
	}
	high, err := curve(13.5*quantity.Volt, "340 L/h at 300 kPa", "300 L/h at 400 kPa", "245 L/h at 500 kPa")
	if err != nil {
		fmt.Println(err)
		return
	}
	pumps := pump.Pump{Count: 2, Curves: []pump.Curve{low, high}, Derate: 0.05}

	fmt.Println(pumps.Flow(400*quantity.KilopascalDiff, 13*quantity.Volt))
	fmt.Println("measured at 14.2 V:", pumps.Covers(400*quantity.KilopascalDiff, 14.2*quantity.Volt))
	// Output:
	// 522.5 L/h
	// measured at 14.2 V: false
}

func ExampleNewCurve() {
	_, err := curve(0, "340 L/h at 300 kPa", "350 L/h at 400 kPa")
	fmt.Println(err)
	// Output:
	// point 2: "350 L/h at 400 kPa": the flow must not exceed that of the point before, 340 L/h at 300 kPa; want points in order of rising pressure whose flow never rises, such as "340 L/h at 300 kPa", "300 L/h at 400 kPa"
}

// A made-up pump, 5 m of wire from the battery. What the wire loses, the pump does
// not have.
func ExampleElectric_At() {
	low, err := curve(12*quantity.Volt, "270 L/h at 300 kPa at 7.9 A", "225 L/h at 400 kPa at 9.2 A", "160 L/h at 500 kPa at 10.8 A")
	if err != nil {
		fmt.Println(err)
		return
	}
	high, err := curve(13.5*quantity.Volt, "340 L/h at 300 kPa at 8.6 A", "300 L/h at 400 kPa at 10 A", "245 L/h at 500 kPa at 11.7 A")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, gauge := range []string{"16 AWG", "12 AWG", "8 AWG"} {
		wire, err := wiring.ParseConductor(gauge)
		if err != nil {
			fmt.Println(err)
			return
		}
		p := pump.Electric{
			Pump:    pump.Pump{Curves: []pump.Curve{low, high}},
			Circuit: wiring.Circuit{Conductor: wire, Length: 5 * quantity.Metre, Contacts: 10 * quantity.Milliohm},
		}
		s, err := p.At(400*quantity.KilopascalDiff, 13.5*quantity.Volt)
		fmt.Println(gauge, s.Voltage, s.Current, s.Flow, err)
	}
	// Output:
	// 16 AWG 12.18 V 9.297 A 234.1 L/h <nil>
	// 12 AWG 12.9 V 9.679 A 269.9 L/h <nil>
	// 8 AWG 13.2 V 9.839 A 284.9 L/h <nil>
}

// Two made-up pumps, one feeding the other: the pressures add up at equal flow.
func ExampleSeries() {
	lift, err := curve(0, "420 L/h at 0 kPa", "300 L/h at 60 kPa", "0 L/h at 120 kPa")
	if err != nil {
		fmt.Println(err)
		return
	}
	main, err := curve(0, "360 L/h at 200 kPa", "300 L/h at 400 kPa", "170 L/h at 600 kPa")
	if err != nil {
		fmt.Println(err)
		return
	}
	s := pump.Series{
		Lift: pump.Electric{Pump: pump.Pump{Curves: []pump.Curve{lift}}},
		Main: pump.Electric{Pump: pump.Pump{Curves: []pump.Curve{main}}},
	}
	behind, over, flow := s.Split(460*quantity.KilopascalDiff, pump.Conditions{})
	fmt.Println(flow, "with", behind, "over the lift pump and", over, "over the main one")
	// Output:
	// 300 L/h with 60 kPa over the lift pump and 400 kPa over the main one
}

// A made-up pump whose controller holds the rail: for a quarter of its flow it takes
// two thirds of its power, where a regulator would have it take all.
func ExampleElectric_Hold() {
	c, err := curve(13.5*quantity.Volt, "340 L/h at 300 kPa at 8.6 A", "300 L/h at 400 kPa at 10 A", "245 L/h at 500 kPa at 11.7 A")
	if err != nil {
		fmt.Println(err)
		return
	}
	p := pump.Electric{Pump: pump.Pump{Curves: []pump.Curve{c}}}
	for _, flow := range []quantity.VolumeFlow{75 * quantity.LitrePerHour, 300 * quantity.LitrePerHour, 320 * quantity.LitrePerHour} {
		s, err := p.Hold(flow, 400*quantity.KilopascalDiff, 13.5*quantity.Volt, 0)
		fmt.Println(flow, s.Share.Percent(0), s.Supply.Power(), err)
	}
	// Output:
	// 75 L/h 74 % 87.37 W <nil>
	// 300 L/h 100 % 135 W <nil>
	// 320 L/h 100 % 135 W the pumps do not bring that flow at full speed
}
