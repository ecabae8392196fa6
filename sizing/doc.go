// Package sizing assesses the fuel system of one engine at one operating point:
// how much fuel the engine needs, what every part of the fuel system can carry,
// the margin of each part, and the power at which each gives out.
//
// A [Build] describes the combination. It is read from a build sheet by [Open],
// or filled in by Go code. [Assess] turns it into an [Assessment]:
//
//	b, err := sizing.Open("first-build.toml")
//	…
//	a, err := sizing.Assess(b)
//	…
//	fmt.Println(a.Verdict(quantity.US))
//
// The methods [Build.AtPower], [Build.AtBoost], [Build.WithBlend] and their like
// return a changed copy, for questions of the kind "what if we turn it up?".
//
// The packages below hold the trade's computation by subject: quantity, fuel,
// demand, injector, pump, plumbing, regulator. Package sweep, above, runs
// assessments over grids.
//
// # Model
//
// The assessment is steady: full load, one speed, one manifold pressure. The
// engine burns the demand found by package demand. The regulator holds the rail
// at its set pressure as long as the pumps bring more than the engine burns, and
// the injectors meet the demand by the length of their pulse. Where the pumps
// fall short, the rail sags to the pressure at which what they bring and what
// the injectors pass, opened as commanded, are equal.
//
// More power is taken to need fuel in proportion, and, on a boosted engine, a
// manifold pressure in proportion too; a naturally aspirated engine is taken to
// find it by breathing better at the same manifold pressure.
//
// Every result rests on the sheet's numbers. It does not replace a test of the
// built system, and local codes and licensed practice come first.
package sizing
