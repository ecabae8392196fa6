// Package attach puts files into a PDF as attachments, and takes them out again.
//
// A report carries its own build sheet, its results and the parts lists it was made
// with, so that whoever holds the PDF can make and compare it again. [Add] appends them
// as a revision of the file: what was there before stays as it is, byte for byte, but
// for the version in the first line. The same file and attachments give the same bytes.
//
//	pdf, err := attach.Add(pdf, attach.About{Title: "…", Language: "en"}, files)
//	…
//	files, err := attach.Files(pdf)
//
// The attachments are embedded files in the sense of ISO 32000-1, section 7.11.4, which
// every reader of PDF lists. Add gives the file a language, a title to show and
// metadata (XMP) too, as they have to be in the same place. It does not make it tagged
// or an archive file: see package report.
package attach

import (
	"errors"
	"time"
)

// Relation says what an attachment is to the document (ISO 32000-2, section 7.11.3).
type Relation string

// What attachments of reports are.
const (
	Source     Relation = "Source"     // what the document was made from
	Data       Relation = "Data"       // what it shows, for programs
	Schema     Relation = "Schema"     // how Data is made up
	Supplement Relation = "Supplement" // what else belongs to it
	Other      Relation = "Unspecified"
)

// File is an attachment.
type File struct {
	Name        string   // such as "results.json", without a folder
	Type        string   // such as "application/json"
	Description string   // for the list that readers show
	Relation    Relation // empty reads as Other
	Data        []byte
}

// About describes the document as a whole.
type About struct {
	Title, Author, Subject, Creator string
	Language                        string    // such as "en"
	Date                            time.Time // of the document and of its attachments
}

// What an attachment can be at most. Reports carry some kilobytes each.
const (
	MostFiles = 50
	MostBytes = 16 << 20 // of one file, inflated
	mostName  = 200      // bytes of a name
)

// ErrFile marks an attachment that cannot be one: its name or size is not acceptable.
var ErrFile = errors.New("cannot be attached")
