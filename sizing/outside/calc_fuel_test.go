package outside

import (
	"fmt"
	"math"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// propertyCalcs are the properties of liquids against temperature, their
// composition and their hazards.
var propertyCalcs = map[string]calc{
	"density": func(in *inputs) float64 {
		return show(in, in.liquid().Density(take[quantity.Temperature](in, "at")))
	},
	"density ratio": func(in *inputs) float64 {
		l := in.liquid()
		return float64(l.Density(take[quantity.Temperature](in, "at")) / l.Density(take[quantity.Temperature](in, "over")))
	},
	"dynamic viscosity": func(in *inputs) float64 {
		return show(in, in.liquid().Viscosity(take[quantity.Temperature](in, "at")))
	},
	"kinematic viscosity": func(in *inputs) float64 {
		l, at := in.liquid(), take[quantity.Temperature](in, "at")
		return plain(in, 1e6*float64(l.Viscosity(at))/float64(l.Density(at)), "mm²/s")
	},
	"vapour pressure": func(in *inputs) float64 {
		return show(in, in.liquid().VapourPressure(take[quantity.Temperature](in, "at")))
	},
	"rise of vapour pressure": func(in *inputs) float64 {
		l, over, at := in.liquid(), in.blend("over"), take[quantity.Temperature](in, "at")
		return show(in, l.VapourPressure(at).Above(over.VapourPressure(at)))
	},
	"vapour pressure from Reid": func(in *inputs) float64 {
		p, err := fuel.GasolineVapourPressure(take[quantity.Pressure](in, "reid"), take[quantity.Temperature](in, "at"), 0)
		if err != nil {
			in.fail(err)
		}
		return show(in, p)
	},
	"constant A of vapour pressure from Reid": func(in *inputs) float64 { a, _ := reidLine(in); return plain(in, a, "") },
	"constant B of vapour pressure from Reid": func(in *inputs) float64 { _, b := reidLine(in); return plain(in, b, "°R") },
	"molar mass": func(in *inputs) float64 {
		return show(in, in.constituent().MolarMass())
	},
	"element by mass": func(in *inputs) float64 {
		carbon, hydrogen, oxygen := in.blend("liquid").Elements()
		element := in.text("element")
		share, ok := map[string]quantity.MassFraction{"carbon": carbon, "hydrogen": hydrogen, "oxygen": oxygen}[element]
		if !ok {
			in.fail(fmt.Errorf("%q is no element of fuel", element))
		}
		return show(in, share)
	},
	"flash point": func(in *inputs) float64 {
		t, _ := in.constituent().FlashPoint()
		return show(in, t)
	},
	"lower flammable limit": func(in *inputs) float64 {
		lower, _, _ := in.constituent().FlammableRange()
		return show(in, lower)
	},
	"upper flammable limit": func(in *inputs) float64 {
		_, upper, _ := in.constituent().FlammableRange()
		return show(in, upper)
	},
	"volume of the stronger blend needed": func(in *inputs) float64 {
		_, b, err := fuel.Needed(take[quantity.VolumeFraction](in, "target"), take[quantity.Volume](in, "total"),
			in.blend("weaker"), in.blend("stronger"))
		if err != nil {
			in.fail(err)
		}
		return show(in, b)
	},
}

// reidLine returns the constants of ln(p/psi) = A - B/T, T in degrees Rankine, that
// the pressures at 40 and 100 °F lie on.
func reidLine(in *inputs) (a, b float64) {
	reid := take[quantity.Pressure](in, "reid")
	ln := func(t quantity.Temperature) float64 {
		p, err := fuel.GasolineVapourPressure(reid, t, 0)
		if err != nil {
			in.fail(err)
		}
		return math.Log(p.In(quantity.PSIA))
	}
	cold, hot := quantity.Fahrenheit(40), quantity.Fahrenheit(100)
	rankine := func(t quantity.Temperature) float64 { return t.Fahrenheit() + 459.67 }
	b = (ln(hot) - ln(cold)) / (1/rankine(cold) - 1/rankine(hot))
	return ln(cold) + b/rankine(cold), b
}
