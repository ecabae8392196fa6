// Package evidence reads logged pulls and tells what the engine really consumed.
//
// A log is a table of delimited text, of which a [Mapping] says what each column is.
// For every sample of a pull the fuel mass flow follows from pulse width or duty and the
// injectors of the build sheet, power from the dynamometer, and their quotient is the
// brake specific fuel consumption (BSFC). Samples at which the pulse does not tell the
// flow, or fuel and power do not belong together, are set aside with a [Reason]. A pull
// is summarised as a [PullSummary] with its uncertainty by the GUM, compared with the
// band of common practice, and [Finding] says what it means for the next build.
package evidence
