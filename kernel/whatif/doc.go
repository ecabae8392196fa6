// Package whatif answers the question of its name about one build: what becomes of
// demand, duty and margins as boost, blend, base pressure, power and temperature move.
//
// A [Panel] is made of a build. [Panel.Describe] says which sliders it has, each with its
// stops in round steps around the sheet's value, and [Panel.State] gives everything there
// is to show at one setting of them: numbers as text, exactly as the assessment prints
// them, and the same numbers raw, for drawing. [Panel.Handle] does so for a front end that
// asks in JSON.
//
// The front end stands in package front, in plain JavaScript, and asks whoever answers:
// this package compiled to WebAssembly, in the page that package offline makes, or a
// process behind a comm of Jupyter. All numbers come from here; the front end only shows
// them.
//
// Boost and power move each other, as [sizing.Build.AtPower] has it, unless [Settings] take
// them apart.
package whatif
