package session

import (
	"strings"
	"testing"

	"example.com/railbook/kernel/nbformat"
)

// located returns a run of the cells, numbered from 1 as they are counted, and
// the program made of them.
func located(program string, cells ...string) *run {
	r := &run{kernel: &fakeKernel{source: program}}
	for i, source := range cells {
		r.records = append(r.records, &record{
			place: Place{Number: i + 1}, count: i + 1,
			cell: &nbformat.Cell{Type: nbformat.Code, Source: source},
		})
	}
	return r
}

func TestLocate(t *testing.T) {
	const program = `package main

import (
	"fmt"
)

var (
	bar int = "x"
)

func at(list []int, i int) int {
	if i < 0 {
		return 0
	}
	return list[i]
}

func other(i int) int {
	if i < 0 {
		return 0
	}
	return i
}

func main() {
	flag.Parse()
	fmt.Println(at(nil, 5))

}
`
	cells := []string{
		"// Helpers.\nvar bar  int = \"x\"",
		"func other(i int) int {\n\tif i < 0 {\n\t\treturn 0\n\t}\n\treturn i\n}\n\n" +
			"func at(list []int, i int) int {\n  if i < 0 {\n    return 0\n  }\n\treturn list[i]\n}",
		"%%\r\n\tfmt.Println(at(nil, 5))\r\n",
	}
	for _, tt := range []struct {
		name string
		hint hint
		want Position
	}{
		{"in main, told", hint{27, 14, 3, 2}, Position{3, 2, 14, "\tfmt.Println(at(nil, 5))"}},
		{"in main, not told", hint{line: 27, column: 14}, Position{3, 2, 14, "\tfmt.Println(at(nil, 5))"}},
		{"in main, told wrongly", hint{27, 14, 2, 3}, Position{3, 2, 14, "\tfmt.Println(at(nil, 5))"}},
		{"a variable, told", hint{8, 12, 1, 2}, Position{1, 2, 16, `var bar  int = "x"`}},
		{"a variable, not told", hint{line: 8, column: 12}, Position{}},
		{"a function", hint{line: 15, column: 9}, Position{2, 12, 9, "\treturn list[i]"}},
		{"of two equal lines the one whose neighbours fit", hint{line: 20}, Position{2, 3, 0, "\t\treturn 0"}},
		{"and the other, indented otherwise", hint{line: 13}, Position{2, 10, 0, "    return 0"}},
		{"made by gonb", hint{line: 26, column: 2}, Position{}},
		{"blank", hint{line: 28}, Position{}},
		{"no such line", hint{line: 99}, Position{}},
		{"no such cell", hint{27, 14, 9, 2}, Position{3, 2, 14, "\tfmt.Println(at(nil, 5))"}},
		{"no such column", hint{line: 27, column: 99}, Position{3, 2, 0, "\tfmt.Println(at(nil, 5))"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := located(program, cells...)
			if got := r.locator()(tt.hint); got != tt.want {
				t.Errorf("got %+v, want %+v", got, tt.want)
			}
		})
	}
}

func TestMarked(t *testing.T) {
	for _, tt := range []struct {
		name         string
		at           Position
		source, mark string
	}{
		{"start", Position{Line: 1, Column: 1, Text: "x := 1"}, "x := 1", "^"},
		{"tabs", Position{Line: 1, Column: 3, Text: "\t\tx\t:= 1"}, "        x    := 1", "        ^"},
		{"bytes are not columns", Position{Line: 1, Column: 11, Text: `s := "°λ" + 1`}, `s := "°λ" + 1`, "        ^"},
		{"no column", Position{Line: 1, Text: "\tx"}, "    x", "    ^"},
		{"column beyond the line", Position{Line: 1, Column: 9, Text: "x"}, "x", "^"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			source, mark := tt.at.marked()
			if source != tt.source || mark != tt.mark {
				t.Errorf("got\n%q\n%q, want\n%q\n%q", source, mark, tt.source, tt.mark)
			}
		})
	}
}

// FuzzLocate checks that no hint and no source brings the search down.
func FuzzLocate(f *testing.F) {
	f.Add("package main\n\nfunc main() {\n\tx()\n}", "%%\nx()", 4, 2, 1, 2)
	f.Add("", "", -1, 0, 1, 1)
	f.Fuzz(func(t *testing.T, program, cell string, line, column, count, cellLine int) {
		at := located(program, cell).locator()(hint{line, column, count, cellLine})
		if at.Line < 0 || at.Line > strings.Count(cell, "\n")+1 {
			t.Errorf("line %d is not in the cell", at.Line)
		}
		at.marked()
	})
}
