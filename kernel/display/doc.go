// Package display is what the cells of a notebook call: open a build sheet,
// assess it, change it, sweep it, and show what came out.
//
//	var build = Open("first-build.toml")
//	var assessment = Assess(build)
//	var grid = Sweep(build, "boost = 14..30 psi by 1", "ethanol = 0..85 % by 5")
//
//	%%
//	Show(assessment)
//	Show(Surface(grid, sweep.FuelMass), Map(grid, sweep.Duty))
//
// It is made to be imported with a dot, so that a cell reads like the notes of a
// practitioner. A kernel that preloads it has to mention one of its names beside
// the import, since Go refuses a dot import that nothing uses:
//
//	import . "example.com/railbook/kernel/display"
//	var _ = Show
//
// # Mistakes
//
// A cell carries no error handling. Whatever goes wrong, from a typing mistake
// in a sheet to a grid without an answer, the function prints the reason in plain
// words to standard error and ends the program with status 1, by which the
// kernel knows that the cell has failed.
//
// # Checks
//
// A notebook ends in checks: [Verify] holds its results against what they ought to be,
// each with its source, and ends the cell where one does not agree. Where an input was
// set to something else, [Given] says so and the checks behind it are not asked.
//
//	Verify(
//		Given("the demo's sheet", sheet == "first-build.toml"),
//		Near("air to fuel of ethanol", afr, "9.00 +- 0.01", "US DOE AFDC, Properties of Fuels"))
//
// # Cells are programs of their own
//
// The cell kernel, gonb, makes a program of each cell and of what earlier cells
// declared, and runs the initialisers of variables again each time. So opening
// and assessing have to be quick, which they are, and a [Grid] is not computed
// before something is read off it.
//
// # Displays
//
// A display is sent as one bundle of formats: HTML and plain text for tables,
// and for figures the live chart (package live), the figure as data, from which
// whoever runs the notebook can draw a still picture, and a sentence. In a
// program of its own, outside of a notebook, the plain text goes to standard
// output. The package imports neither a PDF writer nor a plotting library, which
// would have to be linked into every cell; package paper, below, writes reports.
package display
