package wiring

import (
	"fmt"
	"math"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// Conductor is a copper wire, told by its gauge or by the area of its copper. It
// is made by [AWG], [Section] or [ParseConductor], is comparable and does not
// change. The zero value is no wire. Its text forms are "10 AWG", "2/0 AWG" and
// "4 mm2".
type Conductor struct {
	area   quantity.Area
	gauge  int
	gauged bool
}

// Limits of what a [Conductor] can be. They catch slips of unit.
const (
	thickestGauge = -3 // 4/0
	thinnestGauge = 40
	leastArea     = 0.005 * quantity.SquareMillimetre
	greatestArea  = 1000 * quantity.SquareMillimetre
)

// AWG returns the solid round wire of American wire gauge n: 0, -1, -2 and -3
// stand for 1/0, 2/0, 3/0 and 4/0. Its diameter is
//
//	d = 0.127 mm × 92^((36-n)/39)
//
// exact by definition (ASTM B258, 36 AWG is 0.005 in and 4/0 is 0.46 in; the
// formula read in secondary sources). A stranded wire has about the same copper
// under the same number, and a few per cent more resistance: see
// [Circuit.Allowance]. The error wraps a [*quantity.ParseError].
func AWG(n int) (Conductor, error) {
	if n < thickestGauge || n > thinnestGauge {
		return Conductor{}, &quantity.ParseError{
			Text: fmt.Sprintf("%d AWG", n), Reason: "no gauge from 4/0 to 40 AWG", Accepted: conductorAccepted, Err: quantity.ErrRange,
		}
	}
	return gauge(n), nil
}

// gauge is AWG for a number known to be right.
func gauge(n int) Conductor {
	d := float64(0.127*quantity.Millimetre) * math.Pow(92, float64(36-n)/39)
	return Conductor{area: quantity.Area(math.Pi / 4 * d * d), gauge: n, gauged: true}
}

// Section returns the wire whose copper has the given area. The error wraps a
// [*quantity.ParseError].
//
// A metric cable of nominally so many mm² need not have that much copper: IEC
// 60228 lets flexible copper of nominally 4 mm² have 4.95 mΩ/m at 20 °C, 15 %
// more than 4 mm² of copper. [Circuit.Allowance] is the place to say so.
func Section(area quantity.Area) (Conductor, error) {
	err := check.Require(area >= leastArea && area <= greatestArea, "section", area,
		fmt.Sprintf("must lie from %v to %v", leastArea, greatestArea))
	if err != nil {
		return Conductor{}, err
	}
	return Conductor{area: area}, nil
}

// AtLeast returns the thinnest wire among the gauges that the trade stocks, the
// even ones from 40 to 2 AWG and 1/0 to 4/0, that has the given area of copper,
// and false where even 4/0 has less.
func AtLeast(area quantity.Area) (c Conductor, found bool) {
	for n := thinnestGauge; n >= thickestGauge; n-- {
		if n > 0 && n%2 != 0 {
			continue
		}
		if c := gauge(n); c.area >= area {
			return c, true
		}
	}
	return Conductor{}, false
}

// Area returns the area of the copper.
func (c Conductor) Area() quantity.Area { return c.area }

// Diameter returns the diameter of a solid round wire with the same copper.
func (c Conductor) Diameter() quantity.Length {
	return quantity.Length(math.Sqrt(4 / math.Pi * float64(c.area)))
}

// Gauge returns the gauge number as [AWG] takes it, and whether the wire was told
// by one.
func (c Conductor) Gauge() (n int, ok bool) { return c.gauge, c.gauged }

// IsZero reports whether c is the zero Conductor, which is no wire.
func (c Conductor) IsZero() bool { return c == Conductor{} }

// Resistance returns the resistance of a length of the wire at temperature t:
//
//	R = ρ L/A,  ρ = (1/58 Ω·mm²/m) (1 + 0.00393/K (t - 20 °C))
//
// the resistivity and temperature coefficient of the International Annealed
// Copper Standard (IEC 60028, 1925; read in a secondary source, the coefficient
// from memory too). Ordinary copper wire is within 3 % of that. It is zero for no
// length and +Inf for a length of no wire.
func (c Conductor) Resistance(length quantity.Length, t quantity.Temperature) quantity.Resistance {
	if length == 0 {
		return 0
	}
	return quantity.Resistance(resistivity(t) * float64(length) / float64(c.area))
}

// resistivity of annealed copper in Ω·m.
func resistivity(t quantity.Temperature) float64 {
	const (
		at20        = 1e-6 / 58
		coefficient = 0.00393
	)
	return at20 * (1 + coefficient*float64(t-reference))
}

// reference is the temperature at which resistances of wire are quoted, 20 °C.
const reference = 293.15 * quantity.Kelvin
