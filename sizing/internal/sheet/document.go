// Package sheet reads a TOML document into Go structs whose fields know how to
// read themselves from text, and reports everything that is wrong with it at
// once, each problem with its line, field, value and what would be accepted.
//
// It knows nothing of engines or fuel: the struct's tags and types say what a
// document may hold.
package sheet

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// Problem is one thing wrong with a document.
type Problem struct {
	Line     int    // 1 is the first; 0 where the document has no such place
	Field    string // path of the field, such as "pumps[1].curves[1].points[2]"; elements count from 1
	Value    string // what was given; empty where something is missing
	Reason   string // what is wrong
	Accepted string // what would be accepted; may be empty
}

// String gives the problem on one line.
func (p Problem) String() string {
	var b strings.Builder
	if p.Line > 0 {
		fmt.Fprintf(&b, "line %d: ", p.Line)
	}
	b.WriteString(p.Field)
	if p.Value != "" {
		fmt.Fprintf(&b, " = %s", p.Value)
	}
	fmt.Fprintf(&b, ": %s", p.Reason)
	if p.Accepted != "" {
		fmt.Fprintf(&b, "; want %s", p.Accepted)
	}
	return b.String()
}

// Document is a parsed TOML document that remembers where each field stands.
type Document struct {
	tree  map[string]any
	lines map[string]int
	taken []string // names that the document may hold beside those it is decoded into
}

// Parse reads TOML text. Where it is not TOML, the one problem returned says
// where it stops being so.
func Parse(data []byte) (*Document, *Problem) {
	d := &Document{lines: map[string]int{}}
	if err := toml.Unmarshal(data, &d.tree); err != nil {
		p := Problem{Field: "document", Reason: "not TOML: " + strings.TrimPrefix(err.Error(), "toml: "), Accepted: "TOML 1.0 text"}
		var at *toml.DecodeError
		if errors.As(err, &at) {
			p.Line, _ = at.Position()
			if key := at.Key(); len(key) > 0 {
				p.Field = strings.Join(key, ".")
			}
		}
		return nil, &p
	}
	if err := d.index(data); err != nil {
		return nil, &Problem{Field: "document", Reason: "not TOML: " + err.Error(), Accepted: "TOML 1.0 text"}
	}
	return d, nil
}

// Has reports whether the document gives a value for the field.
func (d *Document) Has(path string) bool {
	_, ok := d.lines[path]
	return ok
}

// Line returns the line of the field, or of the nearest table around it that
// the document has, or 0.
func (d *Document) Line(path string) int {
	for path != "" {
		if line, ok := d.lines[path]; ok {
			return line
		}
		cut := strings.LastIndexAny(path, ".[")
		path = path[:max(cut, 0)]
	}
	return 0
}

// index walks the document's syntax and notes the line of every key and of
// every array element.
func (d *Document) index(data []byte) error {
	var p unstable.Parser
	p.Reset(data)
	newlines := make([]int, 0, 64) // offsets
	for i, c := range data {
		if c == '\n' {
			newlines = append(newlines, i)
		}
	}
	lineOf := func(r unstable.Range) int {
		line := 1
		for _, at := range newlines {
			if at >= int(r.Offset) {
				break
			}
			line++
		}
		return line
	}
	counts := map[string]int{} // of array tables
	join := func(path, key string) string {
		if path == "" {
			return key
		}
		return path + "." + key
	}
	// enter follows key from path and notes each step's line, seen first.
	enter := func(path string, key unstable.Iterator, arrayTable bool) string {
		for key.Next() {
			n := key.Node()
			path = join(path, string(n.Data))
			if _, seen := d.lines[path]; !seen {
				d.lines[path] = lineOf(n.Raw)
			}
			if arrayTable && key.IsLast() {
				counts[path]++
			}
			if c := counts[path]; c > 0 {
				path += "[" + strconv.Itoa(c) + "]"
				if _, seen := d.lines[path]; !seen {
					d.lines[path] = lineOf(n.Raw)
				}
			}
		}
		return path
	}
	var value func(path string, n *unstable.Node, line int)
	value = func(path string, n *unstable.Node, line int) {
		switch n.Kind {
		case unstable.Array:
			i := 0
			for it := n.Children(); it.Next(); {
				if it.Node().Kind == unstable.Comment {
					continue
				}
				i++
				element := path + "[" + strconv.Itoa(i) + "]"
				at := line
				if r := it.Node().Raw; r.Length > 0 {
					at = lineOf(r)
				}
				d.lines[element] = at
				value(element, it.Node(), at)
			}
		case unstable.InlineTable:
			for it := n.Children(); it.Next(); {
				if kv := it.Node(); kv.Kind == unstable.KeyValue {
					inner := enter(path, kv.Key(), false)
					value(inner, kv.Value(), d.lines[inner])
				}
			}
		}
	}
	table := ""
	for p.NextExpression() {
		switch e := p.Expression(); e.Kind {
		case unstable.Table:
			table = enter("", e.Key(), false)
		case unstable.ArrayTable:
			table = enter("", e.Key(), true)
		case unstable.KeyValue:
			path := enter(table, e.Key(), false)
			value(path, e.Value(), d.lines[path])
		}
	}
	return p.Error()
}
