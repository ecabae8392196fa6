// Package quantity gives the physical quantities of fuel-system sizing as Go
// types: small float64 values that hold SI inside and read and print with the
// units of the trade.
//
// Each quantity is a defined type, so the compiler refuses a mass flow where a
// volume flow is meant, a gauge pressure where an absolute one is meant, and
// wheel power where crank power is meant. Build a value by multiplying with a
// unit and read it back with In:
//
//	base := 43.5 * quantity.PSI             // a constant times a unit
//	base = quantity.Of(x, quantity.PSI)     // a variable times a unit
//	kPa := base.In(quantity.KilopascalDiff) // back to a number
//
// [Parse] reads the same values from text ("43.5 psi"), [Format] prints them in
// a chosen [System], and MarshalText writes the coherent SI unit with every
// digit, so that text and JSON bring back the same bits.
//
// Two habits keep the types honest, and a test in this package holds the whole
// module to them: never pass a bare number where a quantity is meant, and never
// multiply or divide two quantities into a third outside a float64 conversion.
// Formula bodies unpack to float64 locals, compute, and wrap once on return.
//
// Conversion factors are those of NIST Special Publication 811 (2008), appendix
// B.8; they are exact by definition unless the constant says otherwise.
package quantity
