package pump_test

import (
	"fmt"

	"example.com/railbook/sizing/pump"
	"example.com/railbook/sizing/quantity"
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
