package syntax

import (
	"go/scanner"
	"go/token"
	"strings"
)

// scanned is what a look at the tokens of code tells.
type scanned struct {
	open      []token.Token // the brackets that are open at the end
	text      bool          // a string or comment is open at the end
	wantsMore bool          // the last token cannot be the last
	invalid   bool          // no further text makes it right
	declared  []span        // functions and imports that stand outside of brackets
}

// span is a part of the code, in bytes.
type span struct{ from, to int }

var closers = map[token.Token]token.Token{
	token.LPAREN: token.RPAREN, token.LBRACK: token.RBRACK, token.LBRACE: token.RBRACE,
}

// scan reads the tokens of code.
func scan(code string) scanned {
	var s scanned
	file := token.NewFileSet().AddFile("", -1, len(code))
	var sc scanner.Scanner
	sc.Init(file, []byte(code), func(pos token.Position, msg string) {
		switch {
		case msg == "raw string literal not terminated" || msg == "comment not terminated":
			s.text = true
		case msg == "string literal not terminated" && !strings.Contains(code[pos.Offset:], "\n"):
			s.text = true // the user may still go back and close it
		default:
			s.invalid = true
		}
	}, 0)
	var tokens []placed
	for {
		pos, tok, _ := sc.Scan()
		if tok == token.EOF {
			break
		}
		tokens = append(tokens, placed{file.Offset(pos), tok, len(s.open)})
		switch tok {
		case token.LPAREN, token.LBRACK, token.LBRACE:
			s.open = append(s.open, tok)
		case token.RPAREN, token.RBRACK, token.RBRACE:
			n := len(s.open)
			if n == 0 || closers[s.open[n-1]] != tok {
				s.invalid = true
				return s
			}
			s.open = s.open[:n-1]
		}
	}
	if n := len(tokens); n > 0 {
		// The scanner ends a line with a semicolon only where a statement can end.
		s.wantsMore = continues(tokens[n-1].tok)
	}
	s.declared = declared(tokens, len(code))
	return s
}

// placed is a token, its byte offset, and how many brackets are open before it.
type placed struct {
	at    int
	tok   token.Token
	depth int
}

// continues reports whether the token cannot be the last of a cell: an operator
// waits for its operand, a keyword for what it announces.
func continues(t token.Token) bool {
	switch t {
	case token.INC, token.DEC, token.RPAREN, token.RBRACK, token.RBRACE, token.SEMICOLON, token.ELLIPSIS:
		return false
	case token.BREAK, token.CONTINUE, token.FALLTHROUGH, token.RETURN:
		return false
	}
	return t.IsOperator() || t.IsKeyword()
}

// declared finds the functions and imports that stand outside of brackets in
// code of the length, given its tokens.
func declared(tokens []placed, length int) []span {
	var spans []span
	for i := 0; i < len(tokens); i++ {
		end := i // of the statement that begins with token i
		for end < len(tokens) && (tokens[end].tok != token.SEMICOLON || tokens[end].depth > 0) {
			end++
		}
		if declares(tokens[i:end]) {
			to := length
			if end < len(tokens) {
				to = tokens[end].at
			}
			spans = append(spans, span{tokens[i].at, to})
		}
		i = end
	}
	return spans
}

// declares reports whether the statement is an import or declares a function,
// rather than using a function without a name.
func declares(tokens []placed) bool {
	tokenAt := func(i int) token.Token {
		if i < len(tokens) {
			return tokens[i].tok
		}
		return token.EOF
	}
	switch tokenAt(0) {
	case token.IMPORT:
		return true
	case token.FUNC:
		if tokenAt(1) != token.LPAREN {
			return true
		}
		i := 2 // past the receiver, if it is one
		for i < len(tokens) && tokens[i].depth > 0 {
			i++
		}
		return tokenAt(i) == token.IDENT && tokenAt(i+1) == token.LPAREN
	}
	return false
}
