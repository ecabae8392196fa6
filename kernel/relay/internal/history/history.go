// Package history keeps the cells a kernel has run and answers the Jupyter
// protocol's questions about them.
package history

import (
	"encoding/json"
	"regexp"
	"slices"
	"strings"
)

// Entry is one cell.
type Entry struct {
	Line   int    // the execution count
	Input  string // as the user wrote it
	Run    string // as it was run
	Output string // the value of the cell as text, "" if it has none
}

// Store keeps the cells of one session. Its zero value is ready for use, by one
// goroutine at a time.
type Store struct {
	entries []Entry
}

// Session is the number of the only session there is: cells are forgotten with
// the kernel.
const Session = 1

// limit is how many cells are kept.
const limit = 10_000

// Add adds a cell.
func (s *Store) Add(e Entry) {
	if len(s.entries) == limit {
		s.entries = slices.Delete(s.entries, 0, limit/10)
	}
	s.entries = append(s.entries, e)
}

// Query is the content of a history_request.
type Query struct {
	Output  bool   `json:"output"`
	Raw     bool   `json:"raw"`
	Access  string `json:"hist_access_type"`
	Session int    `json:"session"`
	Start   int    `json:"start"`
	Stop    *int   `json:"stop"`
	N       *int   `json:"n"`
	Pattern string `json:"pattern"`
	Unique  bool   `json:"unique"`
}

// Item is one cell of an answer. In JSON it is a list of session, line and
// input, or, with output, of session, line and a list of input and output.
type Item struct {
	Line          int
	Input, Output string
	WithOutput    bool
}

// MarshalJSON writes the item as the protocol wants it.
func (i Item) MarshalJSON() ([]byte, error) {
	if !i.WithOutput {
		return json.Marshal([]any{Session, i.Line, i.Input})
	}
	var output *string // none is null
	if i.Output != "" {
		output = &i.Output
	}
	return json.Marshal([]any{Session, i.Line, []any{i.Input, output}})
}

// Find answers a query, the oldest cell first.
//
// "tail" gives the last N cells, "search" the last N that match the pattern, in
// which * stands for any text and ? for any character; without N it gives all.
// "range" gives the cells of the session with counts from Start up to, but
// without, Stop; sessions 0 and Session are this one, and no other is known. Any
// other way of access gives nothing.
func (s *Store) Find(q Query) []Item {
	found := []Item{}
	keep := func(e Entry) {
		item := Item{Line: e.Line, Input: e.Run, Output: e.Output, WithOutput: q.Output}
		if q.Raw {
			item.Input = e.Input
		}
		found = append(found, item)
	}
	switch q.Access {
	case "range":
		if q.Session != 0 && q.Session != Session {
			return found
		}
		for _, e := range s.entries {
			if e.Line >= q.Start && (q.Stop == nil || e.Line < *q.Stop) {
				keep(e)
			}
		}
		return found
	case "tail":
		for _, e := range s.entries {
			keep(e)
		}
	case "search":
		pattern := glob(q.Pattern)
		seen := map[string]bool{}
		for _, e := range slices.Backward(s.entries) {
			if pattern.MatchString(e.Input) && !(q.Unique && seen[e.Input]) {
				seen[e.Input] = true
				keep(e)
			}
		}
		slices.Reverse(found)
	}
	if q.N != nil {
		found = found[max(0, len(found)-max(0, *q.N)):]
	}
	return found
}

// glob returns what matches the pattern as a whole. No pattern matches all.
func glob(pattern string) *regexp.Regexp {
	if pattern == "" {
		pattern = "*"
	}
	quoted := regexp.QuoteMeta(strings.ToValidUTF8(pattern, "\uFFFD"))
	quoted = strings.NewReplacer(`\*`, ".*", `\?`, ".").Replace(quoted)
	return regexp.MustCompile(`(?s)\A` + quoted + `\z`)
}
