package assist

import (
	"context"
	"encoding/json"
	"strings"
)

// Completion says what may stand at a place of a cell.
type Completion struct {
	// Start and End are the byte offsets in the cell of what a match replaces.
	Start, End int
	Matches    []Match
}

// Match is one way to complete.
type Match struct {
	Text      string
	Kind      string // "function", "field" and the like; empty where unknown
	Signature string // of a function, or the type of what else it is
}

// kinds are those of the language server protocol 3.17 that Go has, by number.
var kinds = map[int]string{
	2: "method", 3: "function", 5: "field", 6: "variable", 7: "type", 8: "interface", 9: "package", 14: "keyword", 21: "constant", 22: "struct",
}

// Complete lists what may stand at the cursor, a byte offset in the code of a cell, the
// best first.
func (s *Server) Complete(ctx context.Context, code string, cursor int) (Completion, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	none := Completion{Start: cursor, End: cursor}
	t, at, err := s.show(ctx, code, cursor)
	if err != nil {
		return none, err
	}
	var list struct {
		Items []struct {
			Label      string          `json:"label"`
			Kind       int             `json:"kind"`
			Detail     string          `json:"detail"`
			InsertText string          `json:"insertText"`
			TextEdit   json.RawMessage `json:"textEdit"`
		} `json:"items"`
	}
	if err := s.call(ctx, "textDocument/completion", s.place(t, at), &list); err != nil {
		return none, err
	}
	c := none
	for i, item := range list.Items {
		m := Match{Text: item.Label, Kind: kinds[item.Kind], Signature: strings.TrimPrefix(item.Detail, "func")}
		if item.InsertText != "" {
			m.Text = item.InsertText
		}
		var edit struct {
			NewText string `json:"newText"`
			Range   span   `json:"range"`
		}
		if len(item.TextEdit) > 0 && json.Unmarshal(item.TextEdit, &edit) == nil && edit.NewText != "" {
			m.Text = edit.NewText
			// The cell stands in the program as it is around the cursor.
			start, end := cursor-(at-t.offset(edit.Range.Start)), cursor+(t.offset(edit.Range.End)-at)
			if start < 0 || start > cursor || end < cursor || end > len(code) {
				continue
			}
			if i > 0 && (start != c.Start || end != c.End) {
				continue // a message has one range for all
			}
			c.Start, c.End = start, end
		}
		c.Matches = append(c.Matches, m)
	}
	return c, nil
}

// place is what questions are asked about.
func (s *Server) place(t *text, at int) map[string]any {
	return map[string]any{"textDocument": map[string]string{"uri": s.uri}, "position": t.position(at)}
}
