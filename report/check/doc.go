// Package check says what holds of a report: whether its results follow from the build
// sheet that it carries, whether its pages print these results and nothing else, and
// whether it is as it was signed.
//
//	c := check.Run(pdf, check.Options{Certificates: pinned, Version: version})
//	for _, f := range c.Findings { fmt.Println(f) }
//
// The report is made again from its own sheet and compared. Where the same version made
// it, its pages have to come out the same, byte for byte or, packed by another build of
// the program, in everything that they draw.
package check

import (
	"crypto/x509"
	"fmt"
	"slices"

	"example.com/railbook/sizing/quantity"
)

// Options say what a report is held against.
type Options struct {
	Certificates []*x509.Certificate // of signers that are known, or of who issued theirs; empty: not checked
	Version      string              // of the program that checks; empty: [report.Version]
	Unsigned     bool                // whether a report without a signature is accepted
}

// Outcome is what came of one check. The zero value is Holds.
type Outcome uint8

// The outcomes.
const (
	Holds   Outcome = iota
	Noted           // holds, with something to know of
	Skipped         // was not checked, for the reason given
	Fails
)

var outcomes = [...]string{"holds", "note", "skipped", "FAILS"}

// String returns a word for o.
func (o Outcome) String() string {
	if int(o) < len(outcomes) {
		return outcomes[o]
	}
	return fmt.Sprintf("outcome %d", o)
}

// MarshalText returns String.
func (o Outcome) MarshalText() ([]byte, error) { return []byte(o.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (o *Outcome) UnmarshalText(text []byte) error {
	i := slices.Index(outcomes[:], string(text))
	if i < 0 {
		return &quantity.ParseError{Text: string(text), Reason: "is no outcome", Accepted: "holds, note, skipped or FAILS", Err: quantity.ErrSyntax}
	}
	*o = Outcome(i)
	return nil
}

// Finding is the outcome of one check.
type Finding struct {
	Check   string  `json:"check"` // what was checked: one or two words
	Outcome Outcome `json:"outcome"`
	Text    string  `json:"text"` // in one line
}

// String gives the finding on one line.
func (f Finding) String() string { return fmt.Sprintf("%-7s  %-11s  %s", f.Outcome, f.Check, f.Text) }

// Checked is what was found of a report, in the order in which it was checked.
type Checked struct {
	Findings []Finding `json:"findings"`
}

// Failed lists the checks that failed, each once.
func (c Checked) Failed() []string {
	var list []string
	for _, f := range c.Findings {
		if f.Outcome == Fails && !slices.Contains(list, f.Check) {
			list = append(list, f.Check)
		}
	}
	return list
}

func (c *Checked) add(check string, o Outcome, format string, args ...any) {
	c.Findings = append(c.Findings, Finding{check, o, fmt.Sprintf(format, args...)})
}
