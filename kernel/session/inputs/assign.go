package inputs

import (
	"go/scanner"
	"go/token"
	"strings"
)

// place is where a cell gives a name a value.
type place struct {
	name     string
	from, to int // the value in the source, in bytes
	// The name's own place, and whether it is declared by :=, by var or by
	// const.
	nameFrom, nameTo int
	form             token.Token // DEFINE, VAR or CONST
	typed            bool        // a type is stated
	alone            bool        // no other name is declared in the same go
}

// tok is a token and where it is.
type tok struct {
	kind     token.Token
	text     string
	from, to int
}

// assignments lists the places outside all functions and blocks where the cell
// gives a name a value. It needs no valid program: what it does not understand
// it passes over.
func assignments(source string) []place {
	toks := tokens(source)
	var list []place
	for i := 0; i < len(toks); {
		end := statement(toks, i)
		switch part := toks[i:end]; {
		case len(part) == 0:
		case part[0].kind == token.VAR || part[0].kind == token.CONST:
			list = append(list, declared(part[0].kind, part[1:])...)
		case part[0].kind == token.IDENT:
			list = append(list, defined(part)...)
		}
		i = end + 1
	}
	return list
}

// tokens reads the source, in which the kernel's own commands, lines that begin
// with % or !, count as blank. A cell that begins with a command for all its
// text, such as %%bash, has none.
func tokens(source string) []tok {
	masked := []byte(source)
	at, first := 0, true
	for line := range strings.Lines(source) {
		text := strings.TrimSpace(line)
		if first && len(text) > 2 && strings.HasPrefix(text, "%%") && text[2] != ' ' {
			return nil
		}
		first = first && text == ""
		if strings.HasPrefix(text, "%") || strings.HasPrefix(text, "!") {
			for i := range strings.TrimRight(line, "\r\n") {
				masked[at+i] = ' '
			}
		}
		at += len(line)
	}
	var s scanner.Scanner
	file := token.NewFileSet().AddFile("", -1, len(masked))
	s.Init(file, masked, func(token.Position, string) {}, 0)
	var list []tok
	for {
		pos, kind, text := s.Scan()
		if kind == token.EOF {
			return list
		}
		from := file.Offset(pos)
		if kind == token.SEMICOLON && text == "\n" {
			text = "" // put in by the scanner
		}
		if text == "" && kind != token.SEMICOLON {
			text = kind.String()
		}
		list = append(list, tok{kind, text, from, from + len(text)})
	}
}

// statement returns the index of the semicolon that ends the statement
// beginning at i, or the number of tokens.
func statement(toks []tok, i int) int {
	depth := 0
	for ; i < len(toks); i++ {
		switch toks[i].kind {
		case token.LPAREN, token.LBRACK, token.LBRACE:
			depth++
		case token.RPAREN, token.RBRACK, token.RBRACE:
			depth--
		case token.SEMICOLON:
			if depth <= 0 {
				return i
			}
		}
	}
	return i
}

// declared lists the places of a declaration after its keyword.
func declared(form token.Token, part []tok) []place {
	if len(part) == 0 || part[0].kind != token.LPAREN {
		return specified(form, part)
	}
	var list []place
	for i := 1; i < len(part); {
		end := statement(part, i)
		spec := part[i:end]
		if n := len(spec); end == len(part) && n > 0 && spec[n-1].kind == token.RPAREN {
			spec = spec[:n-1]
		}
		list = append(list, specified(form, spec)...)
		i = end + 1
	}
	return list
}

// specified lists the places of "a, b T = x, y".
func specified(form token.Token, part []tok) []place {
	names, rest := nameList(part)
	for i, t := range rest {
		if t.kind == token.ASSIGN {
			return pair(form, names, rest[i+1:], i > 0)
		}
	}
	return nil
}

// defined lists the places of "a, b := x, y".
func defined(part []tok) []place {
	names, rest := nameList(part)
	if len(rest) == 0 || rest[0].kind != token.DEFINE {
		return nil
	}
	return pair(token.DEFINE, names, rest[1:], false)
}

// nameList takes the names, parted by commas, that part begins with.
func nameList(part []tok) (names, rest []tok) {
	for len(part) > 0 && part[0].kind == token.IDENT {
		names = append(names, part[0])
		if part = part[1:]; len(part) == 0 || part[0].kind != token.COMMA {
			break
		}
		part = part[1:]
	}
	return names, part
}

// pair joins names with their values.
func pair(form token.Token, names, values []tok, typed bool) []place {
	var list []place
	depth, start, n := 0, 0, 0
	flush := func(end int) {
		if n < len(names) && start < end && names[n].text != "_" {
			list = append(list, place{
				name: names[n].text, from: values[start].from, to: values[end-1].to,
				nameFrom: names[n].from, nameTo: names[n].to,
				form: form, typed: typed, alone: len(names) == 1,
			})
		}
		n++
		start = end + 1
	}
	for i, t := range values {
		switch t.kind {
		case token.LPAREN, token.LBRACK, token.LBRACE:
			depth++
		case token.RPAREN, token.RBRACK, token.RBRACE:
			depth--
		case token.COMMA:
			if depth == 0 {
				flush(i)
			}
		}
	}
	flush(len(values))
	return list
}
