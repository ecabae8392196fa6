package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func TestQuantitySource(t *testing.T) {
	for _, tt := range []struct{ present, text, want string }{
		{"43.5 * quantity.PSI", "58 psi", "58 * quantity.PSI"},
		{"quantity.PSI * 43.5", "-0.5psi", "-0.5 * quantity.PSI"},
		{"-43.5 * quantity.PSI", "4 bar", "4 * quantity.BarDiff"},
		{"300 * quantity.Kilopascal", "1 bar", "1 * quantity.Bar"},
		{"500 * quantity.PoundPerHour", "1.5e2 g/s", "1.5e2 * quantity.GramPerSecond"},
		{"640 * quantity.Horsepower", "+700 hp", "700 * quantity.Horsepower"},
		{"quantity.Celsius(25)", "77 °F", "quantity.Fahrenheit(77)"},
		{"quantity.Fahrenheit(95)", "30 C", "quantity.Celsius(30)"},
		{"300 * quantity.Kelvin", "310 K", "310 * quantity.Kelvin"},
		{`quantity.MustParse[quantity.VolumeFraction]("70 %")`, "85 %", `quantity.MustParse[quantity.VolumeFraction]("85 %")`},
		{`quantity.MustParse[quantity.PressureDiff]("14 psi")`, "1 bar", "1 * quantity.BarDiff"},
	} {
		got, ok, err := quantitySource(tt.present, tt.text)
		if got != tt.want || !ok || err != nil {
			t.Errorf("%s set to %s: got %q, %v, %v, want %s", tt.present, tt.text, got, ok, err, tt.want)
		}
	}
	for present, text := range map[string]string{
		"43.5 * quantity.PSI":     "58",        // no unit
		"44.5 * quantity.PSI":     "58 lb/h",   // of another kind
		"45.5 * quantity.PSI":     "58 psia",   // absolute for gauge
		"500 * quantity.Kelvin":   "-1 K",      // below the least
		"quantity.Celsius(25)":    "warm",      // no number
		"2 * quantity.Kilopascal": "1,000 kPa", // ambiguous
	} {
		if got, ok, err := quantitySource(present, text); !ok || err == nil {
			t.Errorf("%s set to %q: got %q, %v, want an error", present, text, got, ok)
		}
	}
	for _, present := range []string{"14.0", `"14 psi"`, "boost * quantity.PSI", "2 + quantity.PSI", "other.PSI * 2", "quantity.Of(x, quantity.PSI)", "f(", "3 * quantity.Nosuch"} {
		if got, ok, err := quantitySource(present, "58 psi"); ok || err != nil {
			t.Errorf("%s counts as a quantity: %q, %v", present, got, err)
		}
	}
}

// TestEveryUnitIsKnown reads the package's source for its units and its types.
func TestEveryUnitIsKnown(t *testing.T) {
	files, err := filepath.Glob("../../sizing/quantity/*.go")
	if err != nil || len(files) == 0 {
		t.Fatalf("no source of package quantity: %v", err)
	}
	units := map[string]string{}
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		source, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		f, err := parser.ParseFile(token.NewFileSet(), file, source, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range f.Decls {
			if method, ok := d.(*ast.FuncDecl); ok && method.Recv != nil && method.Name.Name == "dimension" {
				if typ, ok := method.Recv.List[0].Type.(*ast.Ident); ok && quantityKinds[typ.Name] == nil {
					t.Errorf("the quantity %s is not registered", typ.Name)
				}
			}
			group, ok := d.(*ast.GenDecl)
			if !ok || group.Tok != token.CONST {
				continue
			}
			for _, s := range group.Specs {
				spec := s.(*ast.ValueSpec)
				if typ, ok := spec.Type.(*ast.Ident); ok && ast.IsExported(spec.Names[0].Name) && typ.Name != "System" {
					units[spec.Names[0].Name] = typ.Name
				}
			}
		}
	}
	if len(units) < 100 {
		t.Fatalf("found only %d units", len(units))
	}
	for name, typ := range units {
		if got := quantityUnits[name]; got != typ {
			t.Errorf("unit %s: registered for %q, is one of %s", name, got, typ)
		}
	}
	if len(quantityUnits) != len(units) {
		t.Errorf("%d units are registered, there are %d", len(quantityUnits), len(units))
	}
}

// Every unit's own symbol leads back to it, or to another unit of the same size.
func TestUnitsReadBack(t *testing.T) {
	got, _, err := quantitySource("1 * quantity.PSI", quantity.FormatIn(43.5*quantity.PSI, quantity.PSI))
	if err != nil || got != "43.5 * quantity.PSI" {
		t.Errorf("got %q, %v", got, err)
	}
}
