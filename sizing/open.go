package sizing

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"example.com/railbook/sizing/internal/sheet"
)

// Problem is one thing wrong with a build: its field and, where the build came
// from a sheet, the line and the text that was given there; the reason; and what
// would be accepted.
type Problem = sheet.Problem

// BuildError lists everything wrong with a build, in the order of the sheet's
// lines.
type BuildError struct {
	Sheet    string // the file's name; empty for a build made by Go code
	Problems []Problem
}

// Error gives one line per problem under a heading.
func (e *BuildError) Error() string {
	name := e.Sheet
	if name == "" {
		name = "build"
	}
	var b strings.Builder
	if n := len(e.Problems); n == 1 {
		fmt.Fprintf(&b, "%s has a problem:", name)
	} else {
		fmt.Fprintf(&b, "%s has %d problems:", name, n)
	}
	for _, p := range e.Problems {
		b.WriteString("\n  ")
		b.WriteString(p.String())
	}
	return b.String()
}

// maxSheet is the largest build sheet that is read; a real one is some kilobytes.
const maxSheet = 1 << 20

// Open reads a build sheet. A file that cannot be read gives the system's error;
// a sheet with mistakes gives a [*BuildError] that lists them all.
func Open(path string) (Build, error) {
	f, err := os.Open(path)
	if err != nil {
		return Build{}, fmt.Errorf("cannot open the build sheet: %w", err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxSheet+1))
	if err != nil {
		return Build{}, fmt.Errorf("cannot read the build sheet: %w", err)
	}
	if len(data) > maxSheet {
		return Build{}, fmt.Errorf("%s is larger than %d bytes and no build sheet", path, maxSheet)
	}
	return Read(path, data)
}

// Read reads a build sheet from its text; name stands in messages. A value that is given
// as a range, with a tolerance or as a distribution is a doubt: the build holds its
// middle, and Doubts keeps what the sheet says. The error is a [*BuildError]; the build is
// then zero.
func Read(name string, data []byte) (Build, error) {
	doc, problem := sheet.Parse(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")))
	if problem != nil {
		return Build{}, &BuildError{Sheet: name, Problems: []Problem{*problem}}
	}
	var b Build
	doubts := readDoubts(doc)
	b.Doubts = doubts.Doubts
	problems := doubts.problems
	for _, p := range doc.Decode(&b) {
		if !slices.ContainsFunc(doubts.problems, func(q Problem) bool { return q.Field == p.Field }) {
			problems = append(problems, refusedDoubt(p))
		}
	}
	// A field that did not decode, or whose table is missing, would only be
	// complained about again.
	decoded := len(problems)
	for _, p := range b.problems() {
		if slices.ContainsFunc(problems[:decoded], func(q Problem) bool {
			return inside(q.Field, p.Field) || inside(p.Field, q.Field) || p.Value == "" && stands(q.Field, p.Field)
		}) {
			continue
		}
		p.Line = doc.Line(p.Field)
		problems = append(problems, p)
	}
	if len(problems) == 0 {
		problems = b.endProblems(doc)
	}
	if len(problems) > 0 {
		slices.SortStableFunc(problems, func(a, b Problem) int { return a.Line - b.Line })
		return Build{}, &BuildError{Sheet: name, Problems: problems}
	}
	return b, nil
}

// stands reports whether a field that did not decode could have stood in for the one that
// is said to be missing.
func stands(field, missing string) bool {
	if at, ok := strings.CutSuffix(missing, ".bore"); ok {
		return field == at+".dash"
	}
	if at, ok := strings.CutSuffix(missing, ".curves"); ok {
		return inside(at+".mechanical", field) || inside(at, field) && sheet.Nearest(strings.TrimPrefix(field, at+"."), []string{"mechanical"}) != ""
	}
	if missing == "surge_tank" || missing == "pumps" {
		return strings.HasPrefix(field, "pumps[") && strings.HasSuffix(field, ".role")
	}
	return false
}

// inside reports whether field lies in the table, or array, or is it.
func inside(table, field string) bool {
	rest, ok := strings.CutPrefix(field, table)
	return ok && (rest == "" || rest[0] == '.' || rest[0] == '[')
}

// Validate returns nil, or a [*BuildError] that lists everything wrong with b.
func (b Build) Validate() error {
	if problems := b.problems(); len(problems) > 0 {
		return &BuildError{Problems: problems}
	}
	return nil
}
