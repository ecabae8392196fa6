package assist

import (
	"net/url"
	"path/filepath"
	"sort"
	"strings"
	"unicode/utf8"
)

// position is a place in a file as the language server protocol counts it: lines from
// zero, and in them the code units of UTF-16.
type position struct {
	Line      int `json:"line"`
	Character int `json:"character"`
}

// span is a part of a file.
type span struct {
	Start position `json:"start"`
	End   position `json:"end"`
}

// text is a file in which places are looked up.
type text struct {
	source string
	lines  []int // offsets of their beginnings
}

func newText(source string) *text {
	t := &text{source: source, lines: []int{0}}
	for i := range len(source) {
		if source[i] == '\n' {
			t.lines = append(t.lines, i+1)
		}
	}
	return t
}

// position of a byte offset.
func (t *text) position(offset int) position {
	line := sort.SearchInts(t.lines, offset+1) - 1
	return position{line, units(t.source[t.lines[line]:offset])}
}

// offset of a position; one beyond the end of a line is the end of the line.
func (t *text) offset(p position) int {
	if p.Line >= len(t.lines) {
		return len(t.source)
	}
	rest := t.source[t.lines[max(p.Line, 0)]:]
	if end := strings.IndexByte(rest, '\n'); end >= 0 {
		rest = rest[:end]
	}
	at, left := 0, p.Character
	for at < len(rest) && left > 0 {
		r, size := utf8.DecodeRuneInString(rest[at:])
		left--
		if r > 0xFFFF {
			left--
		}
		at += size
	}
	return t.lines[max(p.Line, 0)] + at
}

// units counts the code units that a text takes in UTF-16.
func units(s string) int {
	n := 0
	for _, r := range s {
		n++
		if r > 0xFFFF {
			n++
		}
	}
	return n
}

// fileURI is the address of a file.
func fileURI(path string) string {
	path = filepath.ToSlash(path)
	if !strings.HasPrefix(path, "/") {
		path = "/" + path // a drive
	}
	return (&url.URL{Scheme: "file", Path: path}).String()
}
