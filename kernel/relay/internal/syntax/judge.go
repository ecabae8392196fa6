// Package syntax judges whether the text of a cell is complete, so that a
// console knows whether to run it or to ask for another line.
package syntax

import (
	"go/parser"
	"go/token"
	"strings"
)

// Status is what the Jupyter protocol calls the answer.
type Status string

// The answers.
const (
	Complete   Status = "complete"   // ready to be run
	Incomplete Status = "incomplete" // another line is wanted
	Invalid    Status = "invalid"    // no further line can make it right
)

// Judge tells whether the cell is complete and, if it is incomplete, the text
// to indent the next line with.
//
// A cell is Go as a file and the body of a function have it, mixed: imports,
// declarations and statements. Lines that begin with % or !, or with //gonb: and
// one of these, are the cell kernel's commands; so is all of a cell whose first
// line is the command to run or write it as something else.
func Judge(cell string) (Status, string) {
	code, open := commands(cell)
	if open {
		return Incomplete, ""
	}
	s := scan(code)
	switch {
	case s.invalid:
		return Invalid, ""
	case s.text:
		return Incomplete, ""
	case len(s.open) > 0 || s.wantsMore:
		return Incomplete, indent(code, len(s.open), s.wantsMore)
	case !parses(code, s):
		return Invalid, ""
	}
	return Complete, ""
}

// indent returns the indentation for a line below code, in which so many
// brackets are open.
func indent(code string, open int, wantsMore bool) string {
	if open == 0 && wantsMore {
		open = 1
	}
	return strings.Repeat("\t", open)
}

// cellCommands are the commands that take the whole cell.
var cellCommands = []string{"%%writefile", "%%script", "%%bash", "%%sh", "%%gx"}

// commands blanks the lines of code that are commands. It reports whether the
// last of them goes on in a next line.
func commands(cell string) (code string, open bool) {
	lines := strings.Split(cell, "\n")
	first := strings.TrimPrefix(lines[0], "//gonb:")
	word, _, _ := strings.Cut(first, " ")
	for _, c := range cellCommands {
		if word == c {
			return "", false
		}
	}
	raw := rawLines(lines)
	for i, line := range lines {
		line = strings.TrimPrefix(line, "//gonb:")
		begins := line != "" && (line[0] == '%' || line[0] == '!') && !raw[i]
		if begins || open {
			lines[i] = ""
			open = strings.HasSuffix(line, `\`)
		}
	}
	return strings.Join(lines, "\n"), open
}

// rawLines tells for each line whether it begins within a raw string or a
// comment, where nothing is a command. Lines before it may be commands, which
// are no Go; so it looks at them one by one.
//
// The cell kernel itself does take such a line for a command. To a reader of
// the cell it is not one, and the answer must not depend on it.
func rawLines(lines []string) []bool {
	inside := make([]bool, len(lines))
	var closing string // of the raw string or comment that is open
	for i, line := range lines {
		inside[i] = closing != ""
		command := strings.HasPrefix(line, "%") || strings.HasPrefix(line, "!")
		if closing == "" && command {
			continue
		}
		closing = openAfter(line, closing)
	}
	return inside
}

// openAfter returns what closes the raw string or comment that is open after
// the line, given what closes the one open before; "" stands for none.
func openAfter(line, closing string) string {
	for line != "" {
		if closing != "" {
			_, rest, found := strings.Cut(line, closing)
			if !found {
				return closing
			}
			line, closing = rest, ""
			continue
		}
		switch {
		case line[0] == '`':
			closing, line = "`", line[1:]
		case strings.HasPrefix(line, "/*"):
			closing, line = "*/", line[2:]
		case strings.HasPrefix(line, "//"):
			return ""
		case line[0] == '"' || line[0] == '\'':
			line = afterQuoted(line)
		default:
			line = line[1:]
		}
	}
	return closing
}

// afterQuoted returns what follows the string or character at the start of line.
func afterQuoted(line string) string {
	for i := 1; i < len(line); i++ {
		switch line[i] {
		case '\\':
			i++
		case line[0]:
			return line[i+1:]
		}
	}
	return ""
}

// parses reports whether code, all of whose brackets are closed, is Go once the
// functions and imports are taken out of it.
func parses(code string, s scanned) bool {
	var body strings.Builder
	at := 0
	for _, d := range s.declared {
		if !parsesFile(code[d.from:d.to]) {
			return false
		}
		body.WriteString(code[at:d.from])
		at = d.to
	}
	body.WriteString(code[at:])
	return parsesFile("func _() {\n" + body.String() + "\n}")
}

func parsesFile(code string) bool {
	_, err := parser.ParseFile(token.NewFileSet(), "", "package p\n"+code, parser.SkipObjectResolution)
	return err == nil
}
