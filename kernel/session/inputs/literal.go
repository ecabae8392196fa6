package inputs

import (
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"strconv"
	"strings"
)

// kind is what a value is, as far as its source tells.
type kind int

const (
	computed kind = iota // no literal, or that of a quantity
	text
	whole    // a whole number
	fraction // a number with a point or an exponent
	truth    // true or false
)

// types are the Go types that names get from literals of a kind.
var types = map[kind]string{text: "string", whole: "int", fraction: "float64", truth: "bool"}

// words name the kinds for people.
var words = map[kind]string{text: "a text", whole: "a whole number", fraction: "a number", truth: "true or false"}

// kindOf tells the kind of the source of an expression.
func kindOf(source string) kind {
	e, err := parser.ParseExpr(source)
	if err != nil {
		return computed
	}
	if unary, ok := e.(*ast.UnaryExpr); ok && (unary.Op == token.SUB || unary.Op == token.ADD) {
		if k := kindOfExpr(unary.X); k == whole || k == fraction {
			return k
		}
		return computed
	}
	return kindOfExpr(e)
}

func kindOfExpr(e ast.Expr) kind {
	switch e := e.(type) {
	case *ast.BasicLit:
		switch e.Kind {
		case token.STRING:
			return text
		case token.INT:
			return whole
		case token.FLOAT:
			return fraction
		}
	case *ast.Ident:
		if e.Name == "true" || e.Name == "false" {
			return truth
		}
	}
	return computed
}

// constant reports whether a source is made of literals and of what packages
// offer alone, as that of a quantity is. What else a name may stand for cannot
// be told here.
func constant(source string) bool {
	e, err := parser.ParseExpr(source)
	if err != nil {
		return false
	}
	fixed := true
	ast.Inspect(e, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.SelectorExpr:
			_, ok := n.X.(*ast.Ident)
			fixed = fixed && ok
			return false
		case *ast.Ident:
			fixed = fixed && (n.Name == "true" || n.Name == "false")
		case *ast.FuncLit, *ast.CompositeLit:
			fixed = false
		}
		return fixed
	})
	return fixed
}

// put returns the edit that gives the name the value, and the value's source.
func (p place) put(source, value string, quantities Quantities) (edit, string, error) {
	present := source[p.from:p.to]
	was := kindOf(present)
	if was == computed {
		if quantities != nil {
			if now, ok, err := quantities(present, value); ok || err != nil {
				return edit{p.from, p.to, now}, now, err
			}
		}
		return edit{}, "", fmt.Errorf("%s is not a literal but computed, so it cannot be set", oneLine(present))
	}
	now, is := literal(strings.TrimSpace(value), was)
	if fits(p, was, is) {
		if was == fraction && is == whole && !p.typed {
			now += ".0" // or it would become a whole number
		}
		return edit{p.from, p.to, now}, now, nil
	}
	if p.typed { // the compiler will see it
		return edit{p.from, p.to, now}, now, nil
	}
	if !p.alone {
		return edit{}, "", fmt.Errorf("got %s, want %s", now, words[was])
	}
	// State the type the name has, so that the compiler sees it here.
	head := source[p.nameTo:p.from]
	switch p.form {
	case token.DEFINE:
		return edit{p.nameFrom, p.to, fmt.Sprintf("var %s %s = %s", p.name, types[was], now)}, now, nil
	default:
		return edit{p.nameTo, p.to, " " + types[was] + head + now}, now, nil
	}
}

// literal returns Go source for the value: as it is if it is a number or a truth
// value and the name is not for a text, and else as a text.
func literal(value string, was kind) (source string, is kind) {
	if was != text {
		number := strings.TrimPrefix(value, "+")
		plain := !strings.HasPrefix(number, "+") && !strings.ContainsAny(number, " \t\n/")
		if k := kindOf(number); plain && (k == truth || k == whole || k == fraction) {
			return number, k
		}
	}
	return strconv.Quote(value), text
}

// fits reports whether a value of one kind may take the place of another's
// without a change of the name's type.
func fits(p place, was, is kind) bool {
	switch {
	case was == is:
		return true
	case was == fraction && is == whole:
		return true
	case was == whole && is == fraction:
		return p.form == token.CONST // which has no type of its own
	}
	return false
}

// oneLine shortens a source for a message.
func oneLine(source string) string {
	const most = 60
	words := strings.Join(strings.Fields(source), " ")
	if r := []rune(words); len(r) > most {
		return string(r[:most]) + "…"
	}
	return words
}

// ErrSyntax is the error for an argument that is not of the form name=value.
var ErrSyntax = errors.New("want name=value")

// Parse reads arguments of the form name=value, of which later ones win.
func Parse(args []string) (map[string]string, error) {
	values := map[string]string{}
	for _, arg := range args {
		name, value, ok := strings.Cut(arg, "=")
		name = strings.TrimSpace(name)
		if !ok || !token.IsIdentifier(name) {
			return nil, fmt.Errorf("got %q, %w, where name is a Go name", arg, ErrSyntax)
		}
		values[name] = value
	}
	return values, nil
}
