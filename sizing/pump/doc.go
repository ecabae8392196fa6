// Package pump gives the flow that electric fuel pumps deliver against pressure.
//
// A [Curve] is the flow of one pump at one voltage against its differential
// pressure, outlet over inlet, as its maker's sheet or a flow bench gives it in
// a few points. A [Pump] is one or more equal pumps in parallel, with curves at
// one or more voltages, an allowance for wear and a relief valve.
//
// Flow never rises as pressure rises and is continuous in it, so that a
// bracketing solver can balance a pump against a line, and evaluation does not
// allocate. What lies outside the measured points is carried on by a stated
// rule; Covers tells the caller so that it can be said.
package pump
