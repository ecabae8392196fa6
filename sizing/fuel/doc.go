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
// tests tell what is still missing.
//
// # What is left out
//
// Gasoline is one species of mean composition, CH1.87 with 745 kg/m³ at 15 °C: no
// source gave lighter, heavier or racing grades all the values they need. For
// MTBE no heating value could be read and for ETBE hardly anything. Ratings of
// NFPA 704 could be read for denatured ethanol only and are not given. Blends have
// no excess volume and no heat of mixing, and their viscosity is a mixing rule.
package fuel
