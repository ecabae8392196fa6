package catalogue

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"example.com/railbook/sizing"
)

// ErrRewrite is wrapped by the error of [Lists.Rewrite] for a sheet that is written in a
// way that it does not know how to change.
var ErrRewrite = errors.New("the build sheet cannot be changed line by line")

// Rewrite returns the text of a build sheet with the parts of a candidate in place of its
// own. All other lines stay as they are, comments too.
//
// What it returns has been read again and is the build that [Lists.Build] makes. The
// error is that of [sizing.Read], or wraps [ErrRewrite] where the sheet has the tables
// to change inline or in dotted keys.
func (l *Lists) Rewrite(name string, sheet []byte, c Candidate) ([]byte, error) {
	b, err := sizing.Read(name, sheet)
	if err != nil {
		return nil, err
	}
	out := l.rewrite(b, sheet, c)
	got, err := sizing.Read(name, out)
	if err != nil {
		return nil, fmt.Errorf("%w: with the chosen parts it would not be read: %w", ErrRewrite, err)
	}
	want := l.Build(b, c)
	got.Doubts, want.Doubts = sizing.Doubts{}, sizing.Doubts{} // of what has been replaced there are none left
	if !reflect.DeepEqual(got, want) {
		return nil, fmt.Errorf("%w; want [injectors], [regulator], [[pumps]] and [feed_line] as tables of their own", ErrRewrite)
	}
	return out, nil
}

func (l *Lists) rewrite(b sizing.Build, sheet []byte, c Candidate) []byte {
	e := &editor{text: sheet, gone: make([]bool, len(sheet)), more: map[int]string{}}
	e.statements = scan(sheet)
	newline := "\n"
	if bytes.Contains(sheet, []byte("\r\n")) {
		newline = "\r\n"
	}
	var appended strings.Builder
	for _, t := range l.tables(b, c) {
		lines := strings.Join(t.lines, newline) + newline
		at, ok := e.table(t.name)
		if t.array {
			at, ok = e.pumps(b)
		}
		if !ok {
			appended.WriteString(newline + t.header() + newline + lines)
			continue
		}
		e.drop(at, t.drops)
		e.more[e.statements[at].end] += lines
	}
	out := e.result()
	if appended.Len() > 0 && len(out) > 0 && out[len(out)-1] != '\n' {
		out = append(out, newline...)
	}
	return append(out, appended.String()...)
}

// editor changes a text by its statements.
type editor struct {
	text       []byte
	statements []statement
	gone       []bool         // of each byte
	more       map[int]string // what is put in before a byte
}

// table finds the header of a table.
func (e *editor) table(name string) (at int, ok bool) {
	at = slices.IndexFunc(e.statements, func(s statement) bool { return s.table == name && !s.array })
	return at, at >= 0
}

// pumps finds the first main pump and takes the other ones out, and what drives it by
// the engine.
func (e *editor) pumps(b sizing.Build) (first int, ok bool) {
	n := 0
	for k, s := range e.statements {
		if !s.array || s.table != "pumps" {
			continue
		}
		lift := n < len(b.Pumps) && b.Pumps[n].Role == sizing.Lift
		n++
		switch {
		case lift:
		case !ok:
			first, ok = k, true
			e.block(k+1, func(sub statement) bool { return sub.table == "pumps.mechanical" })
		default:
			e.cut(s)
			e.block(k+1, func(statement) bool { return true })
		}
	}
	return first, ok
}

// block takes out those tables, with their fields, that belong to an element of an array
// and that are chosen; fields right below the element's header belong to a table without
// a name.
func (e *editor) block(from int, chosen func(statement) bool) {
	current := statement{}
	for _, s := range e.statements[from:] {
		if s.table != "" {
			if !strings.HasPrefix(s.table, "pumps.") {
				return
			}
			current = s
		}
		if chosen(current) {
			e.cut(s)
		}
	}
}

// drop takes fields out of the table whose header is given.
func (e *editor) drop(header int, fields []string) {
	for _, s := range e.statements[header+1:] {
		if s.table != "" {
			return
		}
		if slices.Contains(fields, s.field) {
			e.cut(s)
		}
	}
}

func (e *editor) cut(s statement) {
	for i := s.start; i < s.end; i++ {
		e.gone[i] = true
	}
}

func (e *editor) result() []byte {
	var out []byte
	for i := 0; i <= len(e.text); i++ {
		if more := e.more[i]; more != "" {
			if len(out) > 0 && out[len(out)-1] != '\n' {
				out = append(out, '\n')
			}
			out = append(out, more...)
		}
		if i < len(e.text) && !e.gone[i] {
			out = append(out, e.text[i])
		}
	}
	return out
}

// statement is a header or a field of a TOML document, with the lines that it takes.
type statement struct {
	table      string // of a header
	array      bool   // it heads an element of an array of tables
	field      string
	start, end int // of whole lines
}

// scan finds the statements of a valid TOML document.
func scan(text []byte) []statement {
	var list []statement
	for at := 0; at < len(text); {
		s := statement{start: at}
		begin := at
		for begin < len(text) && (text[begin] == ' ' || text[begin] == '\t') {
			begin++
		}
		at = past(text, begin)
		s.end = at
		line := strings.TrimSpace(string(text[begin:at]))
		switch {
		case line == "" || line[0] == '#':
			continue
		case strings.HasPrefix(line, "[["):
			s.array = true
			s.table = nameBefore(line[2:], "]")
		case line[0] == '[':
			s.table = nameBefore(line[1:], "]")
		default:
			s.field = nameBefore(line, "=")
		}
		list = append(list, s)
	}
	return list
}

// nameBefore is the name before a mark, bare or in quotes.
func nameBefore(text, mark string) string {
	name, _, _ := strings.Cut(text, mark)
	return strings.Trim(strings.ReplaceAll(strings.TrimSpace(name), " ", ""), `"'`)
}

// past is the end of the line on which the statement ends that begins at a place:
// strings, arrays and inline tables may go over lines.
func past(text []byte, at int) int {
	depth := 0
	for at < len(text) {
		switch c := text[at]; c {
		case '\n':
			if depth == 0 {
				return at + 1
			}
		case '#':
			for at < len(text) && text[at] != '\n' {
				at++
			}
			continue
		case '[', '{':
			depth++
		case ']', '}':
			depth--
		case '"', '\'':
			at = pastString(text, at)
			continue
		}
		at++
	}
	return at
}

// pastString is the place behind a string that begins at a place.
func pastString(text []byte, at int) int {
	mark := text[at : at+1]
	if triple := bytes.Repeat(mark, 3); bytes.HasPrefix(text[at:], triple) {
		mark = triple
	}
	for at += len(mark); at < len(text); at++ {
		switch {
		case mark[0] == '"' && text[at] == '\\':
			at++
		case bytes.HasPrefix(text[at:], mark):
			at += len(mark)
			for len(mark) == 3 && at < len(text) && text[at] == mark[0] {
				at++ // quotes right before the end belong to the string
			}
			return at
		}
	}
	return len(text)
}
