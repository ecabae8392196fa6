// Package wiring computes what is lost between the electric supply and a load:
// the voltage that reaches a fuel pump or a set of injectors, and the heat that
// stays in the wires.
//
// A [Conductor] is copper of a gauge or a cross-section, a [Circuit] the way
// there and back with its contacts. [Circuit.Feed] finds the voltage at a load
// whose current depends on that voltage, which an electric motor's does.
//
// This is direct current in steady flow. Whether a wire stands its current
// without overheating is another question that nothing here answers.
//
// Nothing that is evaluated for an operating point allocates.
package wiring
