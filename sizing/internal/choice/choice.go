// Package choice reads and prints small sets of names, for enumerations that
// stand in text.
package choice

import (
	"strings"

	"example.com/railbook/sizing/quantity"
)

// Set is an ordered set of names.
type Set struct {
	what  string
	names []string
}

// New returns a set of the names, lower case; what names it in messages with its
// article: "a route".
func New(what string, names ...string) Set { return Set{what: what, names: names} }

// Name returns the i-th name, or "?" where there is none.
func (s Set) Name(i int) string {
	if i < 0 || i >= len(s.names) {
		return "?"
	}
	return s.names[i]
}

// Index returns the place of text in the set, without regard to case and outer
// space. The error is a [*quantity.ParseError] that lists the names.
func (s Set) Index(text string) (int, error) {
	folded := strings.ToLower(strings.TrimSpace(text))
	for i, name := range s.names {
		if name == folded {
			return i, nil
		}
	}
	return 0, &quantity.ParseError{Text: text, Reason: "is not " + s.what, Accepted: s.Accepts(), Err: quantity.ErrSyntax}
}

// Accepts lists the names as a phrase.
func (s Set) Accepts() string { return `one of "` + strings.Join(s.names, `", "`) + `"` }
