package page

import (
	"go/scanner"
	"go/token"
	"html/template"
	"strings"
)

// marked returns the source of a cell as HTML, in which keywords, texts, numbers,
// comments and the kernel's own commands are told apart. It need not be valid Go.
func marked(source string) template.HTML {
	source = newlines.Replace(source)
	masked := []byte(source)
	var b strings.Builder
	done := 0
	put := func(from, to int, class string) {
		if from < done || to > len(source) {
			return
		}
		b.WriteString(template.HTMLEscapeString(source[done:from]))
		b.WriteString(`<span class="` + class + `">` + template.HTMLEscapeString(source[from:to]) + `</span>`)
		done = to
	}

	// Lines for the kernel are no Go. What they are is known before the Go around
	// them is read, and put where the reading comes by.
	type line struct{ from, to int }
	var commands []line
	at := 0
	for text := range strings.Lines(source) {
		if t := strings.TrimSpace(text); strings.HasPrefix(t, "%") || strings.HasPrefix(t, "!") {
			end := at + len(strings.TrimRight(text, "\n"))
			commands = append(commands, line{at, end})
			for i := at; i < end; i++ {
				masked[i] = ' '
			}
		}
		at += len(text)
	}
	commandsBefore := func(offset int) {
		for len(commands) > 0 && commands[0].from < offset {
			put(commands[0].from, commands[0].to, "rb-m")
			commands = commands[1:]
		}
	}

	var s scanner.Scanner
	file := token.NewFileSet().AddFile("", -1, len(masked))
	s.Init(file, masked, func(token.Position, string) {}, scanner.ScanComments)
	for {
		pos, kind, text := s.Scan()
		from := file.Offset(pos)
		if kind == token.EOF {
			break
		}
		commandsBefore(from)
		class := ""
		switch {
		case kind.IsKeyword():
			class = "rb-k"
		case kind == token.COMMENT:
			class = "rb-c"
		case kind == token.STRING || kind == token.CHAR:
			class = "rb-s"
		case kind == token.INT || kind == token.FLOAT || kind == token.IMAG:
			class = "rb-n"
		}
		if class != "" {
			put(from, from+len(text), class)
		}
	}
	commandsBefore(len(source) + 1)
	b.WriteString(template.HTMLEscapeString(source[done:]))
	return template.HTML(b.String())
}
