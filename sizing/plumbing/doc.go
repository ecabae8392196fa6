// Package plumbing computes the pressure that fuel loses on its way: in lines,
// fittings and filters, and the heat that it picks up.
//
// A [Line] loses pressure to wall friction, to its fittings and to the height it
// climbs; a [Filter] loses it as the square of the flow. Friction follows
// Darcy and Weisbach with the Colebrook friction factor, [FrictionFactor], and
// holds for a Newtonian liquid in steady flow through a full round bore. A [Run] is
// several of them one behind the other, in a vehicle that may accelerate; [Suction]
// is the run from the tank to a pump, with its margin over the vapour pressure.
//
// A [Loop] is the fuel's way round and the heat it takes up, a [Tank] how fast that
// warms what is left.
//
// Bore means the inside diameter. A dash number does not give it by itself: it counts
// sixteenths of an inch of the inside of a hose, but of the outside of a tube. A [Dash]
// says which.
//
// Every loss here is continuous in the flow and never falls as the flow rises,
// so that a bracketing solver can work through it. What is evaluated for an operating
// point does not allocate.
package plumbing
