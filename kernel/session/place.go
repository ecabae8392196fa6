package session

import (
	"fmt"
	"strings"

	"example.com/railbook/kernel/nbformat"
)

// Place says which cell of the notebook is meant. The zero value means the
// setup code before the first cell.
type Place struct {
	Number int // among all cells, from 1
	Of     int // how many cells there are
	Code   int // among the code cells, from 1
	CodeOf int // how many code cells there are
	// Title is the comment the cell begins with or else the nearest heading
	// above it; it may be empty.
	Title string
}

func (p Place) String() string {
	switch {
	case p.Number == 0:
		return "the setup code"
	case p.Title == "":
		return fmt.Sprintf("cell %d (code cell %d)", p.Number, p.Code)
	default:
		return fmt.Sprintf("cell %d (code cell %d, %q)", p.Number, p.Code, p.Title)
	}
}

// places lists the notebook's code cells.
func places(nb *nbformat.Notebook) []Place {
	var list []Place
	above := ""
	for i, c := range nb.Cells {
		switch c.Type {
		case nbformat.Markdown:
			if h := heading(c.Source); h != "" {
				above = h
			}
		case nbformat.Code:
			title := comment(c.Source)
			if title == "" {
				title = above
			}
			list = append(list, Place{Number: i + 1, Of: len(nb.Cells), Code: len(list) + 1, Title: title})
		}
	}
	for i := range list {
		list[i].CodeOf = len(list)
	}
	return list
}

// heading returns the text of the last heading in a markdown cell.
func heading(source string) string {
	last, fenced := "", false
	for line := range strings.Lines(source) {
		line = strings.TrimSpace(line)
		if strings.HasPrefix(line, "```") || strings.HasPrefix(line, "~~~") {
			fenced = !fenced
		}
		text := strings.TrimLeft(line, "#")
		if level := len(line) - len(text); !fenced && 1 <= level && level <= 6 && strings.HasPrefix(text, " ") {
			last = strings.TrimSpace(strings.TrimRight(text, "#"))
		}
	}
	return last
}

// comment returns the text of the comment line a code cell begins with, its
// gonb commands aside.
func comment(source string) string {
	for line := range strings.Lines(source) {
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "%") || strings.HasPrefix(line, "//gonb:") {
			continue
		}
		text, ok := strings.CutPrefix(line, "//")
		if !ok {
			return ""
		}
		return strings.TrimSpace(text)
	}
	return ""
}
