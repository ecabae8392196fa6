// Package results is what a report found, as data: every table it prints, cell by cell
// with the numbers in them and their units, every step of the working, and the
// assessment with all its digits. A report carries it as the attachment results.json.
//
// The form has a version, [SchemaID], and a JSON Schema, [Schema], which says what every
// name means. A later version gets another identifier; [Decode] refuses those it does
// not know.
package results

import (
	_ "embed"
	"encoding/json"
)

// SchemaID names the form of results and its version.
const SchemaID = "urn:railbook:results:2"

// Schema is the JSON Schema of results, in the 2020-12 draft.
//
//go:embed results.schema.json
var Schema []byte

// Results are what a report found.
type Results struct {
	Schema     string          `json:"schema"` // SchemaID
	Program    Program         `json:"program"`
	Report     Report          `json:"report"`
	Status     string          `json:"status"`  // of the system as a whole: "carries", "thin" or "short"
	Verdict    string          `json:"verdict"` // the same in a sentence, as printed
	Tables     []Table         `json:"tables"`
	Working    []Step          `json:"working"`
	Assessment json.RawMessage `json:"assessment"` // quantities as text with every digit and their SI unit
}

// Program is what made the report.
type Program struct {
	Name    string `json:"name"`
	Version string `json:"version"`
}

// Report says which report it is.
type Report struct {
	Name      string  `json:"name"`
	Reference string  `json:"reference"`
	Revision  string  `json:"revision"`
	Date      string  `json:"date"`    // year-month-day
	Units     string  `json:"units"`   // "SI", "US", "SI (US)" or "US (SI)"
	Figures   Figures `json:"figures"` // which it shows
}

// Figures says which figures a report shows.
type Figures string

// The figures that a report can show.
const (
	Standard Figures = "standard" // those that follow from the build sheet
	Own      Figures = "own"      // others, which are not among its attachments
	None     Figures = "none"
)

// Table is a table as printed.
type Table struct {
	Number  int      `json:"table"`
	Section string   `json:"section"` // number of a section or letter of an appendix; empty on the title page
	Title   string   `json:"section_title"`
	Caption string   `json:"caption"`
	Columns []string `json:"columns"`
	Rows    []Row    `json:"rows"`
}

// Row is a row of a table.
type Row struct {
	Number int    `json:"row"` // from 1
	Cells  []Cell `json:"cells"`
}

// Cell is a cell of a table, in the order of the columns.
type Cell struct {
	Text    string   `json:"text"` // as printed
	Numbers []Number `json:"numbers,omitempty"`
}

// Number is a number as printed.
type Number struct {
	Value json.Number `json:"value"`
	Unit  string      `json:"unit"` // empty for a plain number
}

// Step is a step of the working.
type Step struct {
	Number  int      `json:"step"` // printed with a W before it
	Section string   `json:"section"`
	Title   string   `json:"title"`
	Formula string   `json:"formula"`
	Put     string   `json:"numbers_put_in"` // and behind them where they come from
	Result  Cell     `json:"result"`
	Source  string   `json:"source"`
	Origins []Origin `json:"origins,omitempty"` // of the numbers put in, in their order
}

// Origin says where a number that is put into a formula comes from. One of Field and Step
// is given.
type Origin struct {
	Text       string `json:"text"`                 // the number as printed
	Field      string `json:"field,omitempty"`      // path in the build sheet
	Assumption int    `json:"assumption,omitempty"` // number of the assumption that stands in for the field; printed with an A before it
	Step       int    `json:"step,omitempty"`       // number of the step whose result it is
}
