package quantity_test

import (
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"strings"
	"testing"

	"golang.org/x/tools/go/packages"
)

const loadMode = packages.NeedName | packages.NeedSyntax | packages.NeedTypes | packages.NeedTypesInfo |
	packages.NeedImports | packages.NeedExportFile | packages.NeedFiles | packages.NeedCompiledGoFiles

const quantityPath = "example.com/railbook/sizing/quantity"

// dimensionless quantities may be written as bare numbers.
var dimensionless = map[string]bool{"Ratio": true, "VolumeFraction": true, "MassFraction": true}

// TestMisuse closes the holes that the compiler leaves open in defined float
// types, for every package of the module: a bare number used as a quantity, the
// product of two quantities, and the quotient of two that stays a quantity.
func TestMisuse(t *testing.T) {
	conf := &packages.Config{Mode: loadMode, Dir: "../.."}
	pkgs, err := packages.Load(conf, "./...")
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, p := range pkgs {
		if p.PkgPath == quantityPath {
			continue // the package that defines the units
		}
		for _, e := range p.Errors {
			t.Fatalf("%s: %v", p.PkgPath, e)
		}
		for _, file := range p.Syntax {
			seen++
			for _, m := range misuses(file, p.TypesInfo) {
				t.Errorf("%s: %s", p.Fset.Position(m.pos), m.why)
			}
		}
	}
	if seen == 0 {
		t.Fatal("no file was checked")
	}
}

// TestMisuseFinds proves that the check sees each hole, and nothing else.
func TestMisuseFinds(t *testing.T) {
	conf := &packages.Config{Mode: loadMode, Dir: "testdata/misuse"}
	pkgs, err := packages.Load(conf, ".")
	if err != nil || len(pkgs) != 1 || len(pkgs[0].Errors) > 0 {
		t.Fatalf("loading the sample: %v %v", err, pkgs)
	}
	p := pkgs[0]
	for _, file := range p.Syntax {
		want := map[int]bool{}
		for _, group := range file.Comments {
			for _, c := range group.List {
				if strings.Contains(c.Text, "want misuse") {
					want[p.Fset.Position(c.Pos()).Line] = true
				}
			}
		}
		if len(want) == 0 {
			t.Fatal("the sample marks no misuse")
		}
		got := map[int]bool{}
		for _, m := range misuses(file, p.TypesInfo) {
			line := p.Fset.Position(m.pos).Line
			got[line] = true
			if !want[line] {
				t.Errorf("line %d: false alarm: %s", line, m.why)
			}
		}
		for line := range want {
			if !got[line] {
				t.Errorf("line %d: misuse not found", line)
			}
		}
	}
}

type misuse struct {
	pos token.Pos
	why string
}

func misuses(file *ast.File, info *types.Info) []misuse {
	var found []misuse
	var stack []ast.Node
	ast.Inspect(file, func(n ast.Node) bool {
		if n == nil {
			stack = stack[:len(stack)-1]
			return true
		}
		var parent ast.Node
		for i := len(stack) - 1; i >= 0; i-- {
			if _, paren := stack[i].(*ast.ParenExpr); !paren {
				parent = stack[i]
				break
			}
		}
		stack = append(stack, n)
		expr, ok := n.(ast.Expr)
		if !ok {
			return true
		}
		name := quantityName(info.TypeOf(expr))
		if name == "" {
			return true
		}
		if value := info.Types[expr].Value; value != nil {
			if constant.Sign(value) != 0 && bare(expr, info) && !scales(parent) {
				found = append(found, misuse{expr.Pos(), value.String() + " is used as a " + name + " without a unit"})
			}
			return true
		}
		b, ok := expr.(*ast.BinaryExpr)
		if !ok || b.Op != token.MUL && b.Op != token.QUO || info.Types[b.X].Value != nil || info.Types[b.Y].Value != nil {
			return true // neither product nor quotient, or a quantity scaled by a number
		}
		if call, ok := parent.(*ast.CallExpr); ok && b.Op == token.QUO && info.Types[call.Fun].IsType() && quantityName(info.TypeOf(call)) == "" {
			return true // float64(p / q), or a ratio made of it
		}
		found = append(found, misuse{b.OpPos, "the " + b.Op.String() + " of two quantities is no " + name})
		return true
	})
	return found
}

// bare reports whether the constant expression e is made of numbers alone.
func bare(e ast.Expr, info *types.Info) bool {
	numbersOnly := true
	ast.Inspect(e, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok && info.TypeOf(id) != nil {
			numbersOnly = false
		}
		return numbersOnly
	})
	return numbersOnly
}

// scales reports whether n multiplies or divides, so that a number in it is a factor.
func scales(n ast.Node) bool {
	b, ok := n.(*ast.BinaryExpr)
	return ok && (b.Op == token.MUL || b.Op == token.QUO)
}

// quantityName returns the name of a quantity type with a dimension, or "".
func quantityName(t types.Type) string {
	named, ok := types.Unalias(t).(*types.Named)
	if !ok || named.Obj().Pkg() == nil || named.Obj().Pkg().Path() != quantityPath {
		return ""
	}
	if b, ok := named.Underlying().(*types.Basic); !ok || b.Kind() != types.Float64 || dimensionless[named.Obj().Name()] {
		return ""
	}
	return named.Obj().Name()
}
