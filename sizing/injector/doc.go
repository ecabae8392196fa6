// Package injector relates the fuel that port injectors deliver to their rating,
// the pressure across them, the fuel and the time they are held open.
//
// A [Rating] is a flow that is true for one test liquid at one differential
// pressure; [Rating.Flow] carries it over to another fuel and pressure. A
// [DeadTime] is the part of a pulse in which nothing is injected, by voltage and
// pressure; a [LowPulse] corrects pulses that are short. An [Injector] joins them,
// and the functions of this package turn fuel per injection into pulse width and
// duty, and a fuel demand into the static flow that is needed. A [Coil] tells the
// load on the wiring, and a [FlowLine] reads slope and offset from a flow bench.
//
// Nothing here that is evaluated for an operating point allocates.
package injector
