// Package demand tells how much fuel an engine needs at a given crank power, by
// three routes that check each other:
//
//   - the power route multiplies crank power by a brake specific fuel
//     consumption (BSFC) from the bands of common practice, or by a figure the
//     user has measured;
//   - the energy route derives the consumption from a brake efficiency, the
//     lower heating value and the share of it that a rich mixture releases;
//   - the air route follows the air the engine draws and divides by lambda times
//     the stoichiometric air-fuel ratio.
//
// The first two grow with power by construction. The third knows nothing of
// power: it says what fuel the stated boost, speed and volumetric efficiency
// would burn, so a wide spread between the routes means that the sheet's target
// and its boost do not belong together.
package demand
