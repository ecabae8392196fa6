package outside

import (
	"example.com/railbook/sizing/air"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/wiring"
)

// airCalcs are the air around and in front of the engine.
var airCalcs = map[string]calc{
	"temperature of the standard atmosphere": func(in *inputs) float64 { return show(in, in.atmosphere().Temperature) },
	"pressure of the standard atmosphere":    func(in *inputs) float64 { return show(in, in.atmosphere().Pressure) },
	"density of the standard atmosphere":     func(in *inputs) float64 { return show(in, in.atmosphere().Density()) },
	"altitude of a pressure": func(in *inputs) float64 {
		z, err := air.PressureAltitude(take[quantity.Pressure](in, "pressure"))
		if err != nil {
			in.fail(err)
		}
		return show(in, z)
	},
	"saturation pressure of water": func(in *inputs) float64 {
		return show(in, air.SaturationPressure(take[quantity.Temperature](in, "at")))
	},
	"temperature behind a compressor": func(in *inputs) float64 {
		c := air.Compressor{Ratio: take[quantity.Ratio](in, "ratio"), Efficiency: take[quantity.Ratio](in, "efficiency")}
		return show(in, c.Outlet(air.State{Pressure: quantity.Atmosphere, Temperature: take[quantity.Temperature](in, "at")}).Temperature)
	},
}

func (in *inputs) atmosphere() air.State {
	s, err := air.AtAltitude(take[quantity.Length](in, "altitude"))
	if err != nil {
		in.fail(err)
	}
	return s
}

// wireCalcs are the copper of wires.
var wireCalcs = map[string]calc{
	"area of a wire": func(in *inputs) float64 { return show(in, in.wire().Area()) },
	"resistance of a wire": func(in *inputs) float64 {
		return show(in, in.wire().Resistance(take[quantity.Length](in, "length"), take[quantity.Temperature](in, "at")))
	},
}

func (in *inputs) wire() wiring.Conductor {
	c, err := wiring.ParseConductor(in.text("wire"))
	if err != nil {
		in.fail(err)
	}
	return c
}
