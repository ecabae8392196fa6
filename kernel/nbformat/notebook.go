// Package nbformat reads and writes Jupyter notebooks, format 4.
//
// [Parse] and [ReadFile] accept every 4.x notebook; [Notebook.Encode] and
// [Notebook.WriteFile] write version 4.5, or a later 4.x if that is what was
// read. Fields and metadata this package does not know are kept. The text
// written is the one Jupyter itself writes (keys sorted, one-space indent,
// source as a list of lines, final newline), so that a notebook saved here and
// opened and saved there shows no difference.
//
// The format is described by the nbformat project at
// https://nbformat.readthedocs.io/en/latest/format_description.html.
package nbformat

import (
	"encoding/json"
	"slices"
)

// The cell types of format 4.
const (
	Code     = "code"
	Markdown = "markdown"
	Raw      = "raw"
)

// The output types of format 4.
const (
	Stream        = "stream"
	DisplayData   = "display_data"
	ExecuteResult = "execute_result"
	Error         = "error"
)

// Notebook is a whole document. The zero value is an empty notebook of
// format 4.5.
type Notebook struct {
	Cells    []*Cell
	Metadata Metadata
	// Minor is the format's minor version; what is below 5 is written as 5.
	Minor int

	extra map[string]json.RawMessage
}

// Cell is one cell of a notebook.
type Cell struct {
	// ID is unique in the notebook: 1 to 64 letters, digits, hyphens and
	// underscores. Parse and Encode give an ID to cells that have none.
	ID string
	// Type is [Code], [Markdown] or [Raw].
	Type string
	// Source is the cell's text, its lines joined.
	Source   string
	Metadata Metadata
	// Attachments are the files a markdown or raw cell carries, by name.
	Attachments map[string]MimeBundle
	// Outputs and ExecutionCount belong to code cells only.
	Outputs []*Output
	// ExecutionCount counts from 1; 0 means the cell has not been run, and is
	// written as null.
	ExecutionCount int

	extra map[string]json.RawMessage
}

// Output is one output of a code cell. Which fields carry meaning depends on
// Type; the others are not written.
type Output struct {
	// Type is [Stream], [DisplayData], [ExecuteResult] or [Error]. Outputs of
	// other types are kept as they were read.
	Type string

	// Name is the stream's name, "stdout" or "stderr", and Text its text.
	Name string
	Text string

	// Data holds the representations of a display or a result.
	Data     MimeBundle
	Metadata Metadata
	// ExecutionCount is that of a result; 0 is written as null.
	ExecutionCount int

	// EName, EValue and Traceback describe an error.
	EName     string
	EValue    string
	Traceback []string

	extra map[string]json.RawMessage
}

// HasTag reports whether the cell's metadata carries the tag.
func (c *Cell) HasTag(tag string) bool { return c.Metadata.hasTag(tag) }

// HasTag reports whether the notebook's own metadata carries the tag.
func (nb *Notebook) HasTag(tag string) bool { return nb.Metadata.hasTag(tag) }

func (m Metadata) hasTag(tag string) bool {
	var tags []string
	if ok, err := m.Get("tags", &tags); !ok || err != nil {
		return false
	}
	return slices.Contains(tags, tag)
}

// ClearOutputs removes the outputs and the execution count of every code cell.
func (nb *Notebook) ClearOutputs() {
	for _, c := range nb.Cells {
		c.Outputs = nil
		c.ExecutionCount = 0
	}
}
