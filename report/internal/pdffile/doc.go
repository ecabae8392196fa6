// Package pdffile reads the objects of a PDF file and appends to it, or writes it anew, as
// far as links, attachments and signatures of reports need that.
//
// It is strict, not forgiving: a file has classic cross-reference tables, each
// revision a place of its own behind the one before, and nothing is repaired. What
// other programs made of a report, by rewriting it, is refused with a reason. Other
// programs that append to a report, as a signature does, are read.
//
// The format is that of ISO 32000-1:2008; sections are named where they matter.
package pdffile

import "errors"

// What can be wrong with a file.
var (
	// ErrFormat marks a file that is not a PDF, is cut short, or is written in a way
	// that this package does not read.
	ErrFormat = errors.New("not a PDF file as reports are")
	// ErrEncrypted marks a PDF file that is encrypted.
	ErrEncrypted = errors.New("the PDF file is encrypted")
	// ErrSize marks a file, or a stream in it, that is larger than a report can be.
	ErrSize = errors.New("too large")
)

// MaxFile is the size of the largest file that is read, in bytes. A report is about
// half a megabyte.
const MaxFile = 64 << 20

// The objects of a file (section 7.3). An object is nil, a bool, an int64, a float64,
// a Name, a String, a Ref, an Array, a Dict or a *Stream.
type (
	// Object is any of them.
	Object any
	// Name is a name without its slash.
	Name string
	// String is a string of bytes; see [Text].
	String string
	// Ref refers to an object by its number.
	Ref struct{ Number, Generation int }
	// Array is a list of objects.
	Array []Object
	// Dict is a dictionary.
	Dict map[Name]Object
	// Stream is a stream with its bytes as they stand in the file.
	Stream struct {
		Dict Dict
		Data []byte
	}
)
