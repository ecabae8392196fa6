// Package fuel gives the properties of the liquids that a spark-ignition fuel
// system meets, and of their blends: what they weigh, how much air they need,
// how much heat they carry and how they flow, at the temperature they have.
//
// A [Constituent] is one liquid of a table in which every value carries its
// source; [Constituent.Values] shows them. A [Blend] is a mixture, named as a pump
// label names it or given by volume or by mass:
//
//	b, err := fuel.Parse("E70")
//	rho := b.Density(quantity.Celsius(30))
//	afr := b.StoichiometricAFR()
//
// Percentages of a label are by volume at 15 °C ([Reference]). Volumes add up
// without contraction, what is per mass averages by mass, and what combustion
// needs and makes follows from the atoms. [Mix], [Needed] and [TopUp] do the
// arithmetic of the tank, and [Labelled] tells what range a pump label allows.
//
// # The table
//
// constituents.csv has one value a row and sources.csv says where each was read;
// both are embedded, and checked at first use: a value that is missing, out of
// bounds, off the curve through its neighbours or at odds with the formula is an
// error that names its row. Densities, viscosities and vapour pressures are
// tabulated against temperature and fitted. Add a constituent by adding rows; the
// tests tell what is still missing. A row "base" takes from a constituent further up
// what the new one does not give, as the grades of gasoline do, and
// [Constituent.Values] marks every value that was taken so.
//
// # Gasoline
//
// Each grade of gasoline is one species of mean composition:
//
//	gasoline          CH1.87, 745 kg/m³ at 15 °C, Reid vapour pressure 9 psi
//	regular gasoline  the base gasoline of 42 USC 7581(4), 8.7 psi
//	premium gasoline  denser, by a figure from memory; else as test gasoline
//	test gasoline     the certification fuel of 40 CFR part 600, CH1.81
//	winter gasoline   15 psi; its density is from memory
//
// What no source gave for a grade is that of gasoline. Labels such as "E10" are
// made of gasoline; other grades are named: "10 % ethanol + 90 % premium gasoline".
//
// # What is left out
//
// Leaded and racing gasolines have no values here: none could be read. Ratings of
// NFPA 704 could be read for denatured ethanol only and are not given. Blends have
// no excess volume and no heat of mixing, and their viscosity is a mixing rule; for
// ethanol and water [Blend.Caveats] gives the size of what is missed.
package fuel
