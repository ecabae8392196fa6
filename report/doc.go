// Package report writes an assessment as a build report: a PDF that a maker can
// put in front of a customer, with the verdict, the inputs, the assumptions, the
// working of every number that matters, figures, warnings, safety notes and a
// place to sign.
//
//	a, err := sizing.Assess(b)
//	…
//	err = report.Write("report.pdf", a, report.Options{})
//
// The same assessment, date, version and figures give the same bytes, so that a
// report can be compared with one made again from its sheet.
//
// The file is PDF 1.3 with the fonts it uses. It is not tagged for screen
// readers; every figure's caption says in words what the figure shows.
package report
