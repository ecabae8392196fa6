package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"reflect"
	"regexp"
	"strings"

	"example.com/railbook/sizing/quantity"
)

// quantitySource is [inputs.Quantities] for package quantity: it knows a number
// times a unit, a temperature by its scale, and MustParse of a text.
func quantitySource(present, text string) (source string, ok bool, err error) {
	e, err := parser.ParseExpr(present)
	if err != nil {
		return "", false, nil
	}
	kind, ok := quantityKinds[kindOfQuantity(e)]
	if !ok {
		return "", false, nil
	}
	source, err = kind(text)
	return source, true, err
}

// kindOfQuantity returns the name of the type in package quantity that the
// expression's literal form has, or "".
func kindOfQuantity(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.BinaryExpr:
		if e.Op != token.MUL {
			return ""
		}
		for _, pair := range [][2]ast.Expr{{e.X, e.Y}, {e.Y, e.X}} {
			if isNumber(pair[0]) {
				return quantityUnits[quantityName(pair[1])]
			}
		}
	case *ast.CallExpr:
		if name := quantityName(e.Fun); name == "Celsius" || name == "Fahrenheit" {
			return "Temperature"
		}
		if index, ok := e.Fun.(*ast.IndexExpr); ok && quantityName(index.X) == "MustParse" {
			return quantityName(index.Index)
		}
	}
	return ""
}

// isNumber reports whether the expression is a number, perhaps with a sign.
func isNumber(e ast.Expr) bool {
	if unary, ok := e.(*ast.UnaryExpr); ok && (unary.Op == token.SUB || unary.Op == token.ADD) {
		e = unary.X
	}
	lit, ok := e.(*ast.BasicLit)
	return ok && (lit.Kind == token.INT || lit.Kind == token.FLOAT)
}

// quantityName returns X of quantity.X, or "".
func quantityName(e ast.Expr) string {
	if s, ok := e.(*ast.SelectorExpr); ok {
		if x, ok := s.X.(*ast.Ident); ok && x.Name == "quantity" {
			return s.Sel.Name
		}
	}
	return ""
}

// quantityKinds makes Go source of the text of a quantity, by the name of its
// type, and quantityUnits names the type of each unit.
var (
	quantityKinds = map[string]func(text string) (string, error){}
	quantityUnits = map[string]string{}
)

// A number as quantities are written with.
var leadingNumber = regexp.MustCompile(`^\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*?)\s*$`)

// register notes a quantity and its units.
func register[Q quantity.Quantity](units map[string]Q) bool {
	typ := reflect.TypeFor[Q]().Name()
	bySymbol := map[string]string{}
	for name, unit := range units {
		quantityUnits[name] = typ
		bySymbol[quantity.Symbol(unit)] = name
	}
	quantityKinds[typ] = func(text string) (string, error) {
		if _, err := quantity.Parse[Q](text); err != nil {
			return "", err
		}
		if m := leadingNumber.FindStringSubmatch(text); m != nil {
			if symbol, _, _, err := quantity.Scale[Q](m[2]); err == nil {
				number := strings.TrimPrefix(m[1], "+")
				switch unit, ok := bySymbol[symbol]; {
				case ok:
					return fmt.Sprintf("%s * quantity.%s", number, unit), nil
				case symbol == "°C":
					return fmt.Sprintf("quantity.Celsius(%s)", number), nil
				case symbol == "°F":
					return fmt.Sprintf("quantity.Fahrenheit(%s)", number), nil
				}
			}
		}
		return fmt.Sprintf("quantity.MustParse[quantity.%s](%q)", typ, strings.TrimSpace(text)), nil
	}
	return true
}
