// Package misuse holds the ways in which a quantity can be misused although the
// compiler allows it, each marked, beside uses that are right.
package misuse

import "example.com/railbook/sizing/quantity"

func carry(quantity.PressureDiff) {}

type part struct{ base quantity.PressureDiff }

type heater struct {
	power quantity.Power
	of    quantity.SpecificHeat
}

func sample(p, q quantity.PressureDiff, k float64) float64 {
	carry(43.5)       // want misuse: bare number
	carry(-43.5)      // want misuse: bare number
	carry(p * q)      // want misuse: product
	carry(p / q)      // want misuse: quotient
	carry(p + 5)      // want misuse: bare number
	_ = part{base: 3} // want misuse: bare number
	_ = heater{
		power: 150,  // want misuse: bare number
		of:    2080, // want misuse: bare number
	}
	if p > 300 { // want misuse: bare number
		p = 7 // want misuse: bare number
	}

	carry(0)
	carry(43.5 * quantity.PSI)
	carry(-43.5 * quantity.PSI)
	carry(2 * p)
	carry(p / 2)
	carry(quantity.Of(k, quantity.PSI))
	carry(quantity.PressureDiff(k))
	return float64(p/q) + p.In(quantity.PSI)
}
