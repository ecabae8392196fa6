package cell

import (
	"go/scanner"
	"go/token"
	"strings"
)

// itemKind tells what an item of a cell is.
type itemKind int

const (
	statementItem itemKind = iota
	importItem
	funcItem
	typeItem
	constItem
	varItem
	packageItem // which the kernel sets
	emptyItem   // a semicolon alone
)

// An item is one declaration or statement of a cell, at the top level.
type item struct {
	kind     itemKind
	from, to int // in the text, without the semicolon
	// semicolon is where one was written behind it, 0 if none was.
	semicolon int
}

func (it item) ended() bool { return it.semicolon > 0 }

// open is a bracket that has not been closed yet.
type open struct {
	tok token.Token
	at  int
}

var closes = map[token.Token]token.Token{token.RPAREN: token.LPAREN, token.RBRACK: token.LBRACK, token.RBRACE: token.LBRACE}

// split divides Go text into the items it consists of. What it cannot make sense
// of ends up in some item, whose parser then says what is wrong; only brackets
// that do not match are an error here, as they upset everything behind them. The
// last item then goes on to the end of the text.
func split(text string) ([]item, *problem) {
	var s scanner.Scanner
	file := token.NewFileSet().AddFile("", -1, len(text))
	s.Init(file, []byte(text), func(token.Position, string) {}, 0)
	var items []item
	var brackets []open
	var kinds kinder
	from := -1
	end := func(at int, written bool) {
		it := item{kind: emptyItem, from: at, to: at}
		if from >= 0 {
			it = item{kind: kinds.kind(), from: from, to: from + len(strings.TrimRight(text[from:at], " \t\r\n"))}
		}
		if written {
			it.semicolon = at
			if from < 0 {
				it.to = at + 1
			}
		}
		if from >= 0 || written {
			items = append(items, it)
		}
		from, kinds = -1, kinder{}
	}
	for {
		pos, tok, lit := s.Scan()
		at := file.Offset(pos)
		if tok == token.EOF {
			end(len(text), false)
			break
		}
		if tok == token.SEMICOLON && len(brackets) == 0 {
			end(at, lit == ";")
			continue
		}
		if from < 0 {
			from = at
		}
		switch tok {
		case token.LPAREN, token.LBRACK, token.LBRACE:
			brackets = append(brackets, open{tok, at})
		case token.RPAREN, token.RBRACK, token.RBRACE:
			n := len(brackets)
			if n == 0 {
				end(len(text), false)
				return items, &problem{at: at, message: "unexpected " + tok.String() + ", as nothing is open that it could close"}
			}
			if last := brackets[n-1]; last.tok != closes[tok] {
				end(len(text), false)
				return items, &problem{at: at, message: "unexpected " + tok.String() + ", as the " + last.tok.String() + " of line " + lineOf(text, last.at) + " is still open"}
			}
			brackets = brackets[:n-1]
		}
		kinds.see(tok, len(brackets))
	}
	if n := len(brackets); n > 0 {
		return items, &problem{at: brackets[n-1].at, message: "this " + brackets[n-1].tok.String() + " is never closed", incomplete: true}
	}
	return items, nil
}

// kinder finds the kind of an item by its tokens.
type kinder struct {
	tokens [6]token.Token // the first at the top level, parentheses and what is in them as one
	n      int
}

func (k *kinder) see(tok token.Token, depth int) {
	if k.n < len(k.tokens) && (depth == 0 || depth == 1 && (tok == token.LPAREN || tok == token.LBRACK || tok == token.LBRACE)) {
		k.tokens[k.n] = tok
		k.n++
	}
}

func (k *kinder) kind() itemKind {
	switch k.tokens[0] {
	case token.IMPORT:
		return importItem
	case token.TYPE:
		return typeItem
	case token.CONST:
		return constItem
	case token.VAR:
		return varItem
	case token.PACKAGE:
		return packageItem
	case token.FUNC:
		// func name, or func (receiver) name (; else it is a function literal.
		if k.tokens[1] == token.IDENT ||
			k.tokens[1] == token.LPAREN && k.tokens[3] == token.IDENT && k.tokens[4] == token.LPAREN {
			return funcItem
		}
	}
	return statementItem
}
