package page

import (
	"fmt"
	"strings"
	"unicode"
)

// idSet holds the element ids given out so far.
type idSet map[string]bool

// claim takes an id that is still free: want, or want with a number.
func (s idSet) claim(want string) string {
	id := want
	for n := 2; s[id]; n++ {
		id = fmt.Sprintf("%s-%d", want, n)
	}
	s[id] = true
	return id
}

// headingID turns a heading into the id under which Jupyter links to it: the
// text with its spaces replaced by hyphens.
func headingID(text string) string {
	return strings.Join(strings.Fields(text), "-")
}

// chartID turns a chart's own id into one for the page.
func chartID(id string) string {
	return "chart-" + strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || r == '_' {
			return r
		}
		return '-'
	}, id)
}
