// Package pump gives the flow that fuel pumps deliver against pressure, and what
// they take to do it.
//
// A [Curve] is the flow of one electric pump at one voltage against its
// differential pressure, outlet over inlet, as its maker's sheet or a flow bench
// gives it in a few points, with or without the current. A [Pump] is one or more
// equal pumps in parallel, with curves at one or more voltages, an allowance for
// wear and a relief valve.
//
// A [Supply] is any arrangement of pumps driven with given [Conditions]:
// [Electric] is a Pump with the wiring that feeds it, solved together;
// [Mechanical] is driven by the engine; [Parallel], [Series] and [Surge] join
// others. [Electric.Hold] slows pumps down to the flow that is wanted.
//
// Flow never rises as pressure rises and is continuous in it, so that a
// bracketing solver can balance a pump against a line, and evaluation does not
// allocate. What lies outside the measured points is carried on by a stated
// rule; Covers tells the caller so that it can be said.
package pump
