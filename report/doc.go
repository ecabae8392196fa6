// Package report writes an assessment as a build report: a PDF that a maker can
// put in front of a customer, with the verdict, the inputs, the assumptions, the
// working of every number that matters, figures, warnings, safety notes and a
// place to sign.
//
//	a, err := sizing.Assess(b)
//	…
//	err = report.Write("report.pdf", a, report.Options{})
//
// # A document that can be trusted
//
// A report carries, as attachments, the build sheet that it can be made again from and
// its results as data; see [Make] and package results. The same assessment, date, version
// and figures give the same bytes, so that it can be compared with one made again from
// its sheet, which package check does. Package sign signs it.
//
// Bytes are the same for one build of the program on one kind of processor. Another
// release of Go may compress them otherwise, and another kind of processor draw a picture
// a little otherwise; what is printed stays the same.
//
// # What the file is, and is not
//
// The file is PDF 1.7 with an outline, links, the parts of the fonts that it uses, its
// title, its language and metadata. Text is printed as far as the type has its characters
// and it runs from left to right; what cannot be printed stands as "□", and a note says
// what it was. What the library below does not allow, and no claim is made for:
//
//   - It is not tagged: there is no structure for screen readers, no order of reading but
//     that of drawing, and no text in place of a picture (PDF/UA, ISO 14289-1). Every
//     figure's caption says in words what the figure shows, and the numbers are among the
//     attachments.
//   - It is no archive file (PDF/A, ISO 19005-3): its colours have no output intent, its
//     metadata claim no level of conformance, and its transparent pictures are not
//     accounted for. Fonts are embedded, and nothing in it needs a network.
//   - Its signatures have no time stamp by a third party and say nothing of revoked
//     certificates (PAdES, ETSI EN 319 142-1).
package report
