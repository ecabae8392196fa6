package sizing_test

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/sizing"
)

// TestNamedFields changes every field that has a name and holds a number, reads it
// back, and wants the build that it was changed from to be as before.
func TestNamedFields(t *testing.T) {
	b := open(t, "turbo.toml")
	a := assess(t, b)
	for _, name := range sizing.FieldNames() {
		f, err := sizing.FieldNamed(strings.ReplaceAll(name, " ", "_"))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if f.Name() != name || f.About() == "" {
			t.Errorf("%s: named %q, about %q", name, f.Name(), f.About())
		}
		if !f.Numeric() {
			if _, err := f.Set(b, 1); err == nil {
				t.Errorf("%s took a number", name)
			}
			continue
		}
		own, ok := f.Number(a.Build)
		if !ok && name != "voltage" && name != "altitude" {
			t.Errorf("%s: the build has no value of it", name)
		}
		if own == 0 {
			own = 1000
		}
		to := own * 1.02
		changed, err := f.Set(b, to)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got, _ := f.Number(assess(t, changed).Build); !near(got, to, 1e-9) {
			t.Errorf("%s: set to %v, reads back %v", name, to, got)
		}
	}
}

// TestSheetFields finds every field of every sheet by its path, and for those that
// hold a number changes it and reads it back. A build must not change with another
// that was made of it.
func TestSheetFields(t *testing.T) {
	sheets, err := filepath.Glob("../testdata/sheets/*.toml")
	if err != nil || len(sheets) == 0 {
		t.Fatal(err)
	}
	numbers := 0
	for _, path := range sheets {
		b := open(t, filepath.Base(path))
		before, err := json.Marshal(b)
		if err != nil {
			t.Fatal(err)
		}
		for _, field := range sizing.SheetPaths() {
			f, err := sizing.FieldNamed(field)
			if err != nil {
				t.Errorf("%s: %v", field, err)
				continue
			}
			if !f.Numeric() {
				continue
			}
			own, ok := f.Number(b)
			if !ok || own == 0 {
				continue
			}
			to := own * 1.25
			if own == math.Round(own) {
				to = own + 1
			}
			changed, err := f.Set(b, to)
			if err != nil {
				t.Errorf("%s: %v", field, err)
				continue
			}
			if got, ok := f.Number(changed); !ok || got != to {
				t.Errorf("%s: set to %v, reads back %v", field, to, got)
			}
			numbers++
		}
		if after, _ := json.Marshal(b); string(after) != string(before) {
			t.Errorf("%s: the build has changed with those made of it", path)
		}
	}
	if numbers < 50 {
		t.Errorf("only %d fields held a number", numbers)
	}
}

func TestFieldText(t *testing.T) {
	b := open(t, "turbo.toml")
	for field, text := range map[string]string{
		"blend": "E85", "injector flow": "900 cc/min at 3 bar", "job.name": "Another", "regulator.kind": "returnless",
		"pumps[1].part": "Other", "feed_line.filter": "20 kPa at 400 L/h", "boost": "18 psi", "engine.cylinders": "8",
	} {
		f, err := sizing.FieldNamed(field)
		if err != nil {
			t.Errorf("%s: %v", field, err)
			continue
		}
		changed, err := f.Read(b, text)
		if err != nil {
			t.Errorf("%s = %s: %v", field, text, err)
			continue
		}
		if err := changed.Validate(); err != nil {
			t.Errorf("%s = %s: %v", field, text, err)
		}
	}
	if b.Pumps[0].Part == "Other" {
		t.Error("the build has changed with one made of it")
	}
}

func TestFieldErrors(t *testing.T) {
	for name, says := range map[string]string{
		"bost": `perhaps "boost" is meant`, "feed_line.lenght": `perhaps "feed_line.length" is meant`,
		"colour": "want one of boost, power", "pumps[0].wear": "unknown field", "engine": "unknown field", "": "unknown field",
		"engine.speed[1]": "unknown field", "pumps.curves.points.flow": "unknown field",
	} {
		if _, err := sizing.FieldNamed(name); !errors.Is(err, sizing.ErrField) || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, want one saying %q", name, err, says)
		}
	}
	b := open(t, "turbo.toml")
	for _, tt := range []struct{ field, text, says string }{
		{"boost", "3 kg", "unknown unit"}, {"engine.cylinders", "6.5", "is not a whole number"}, {"pumps[3].wear", "5 %", "the build has 1 of pumps"},
		{"return_line.length", "3 m", "the build has none"}, {"regulator.kind", "open", "want"},
	} {
		f, err := sizing.FieldNamed(tt.field)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Read(b, tt.text); err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s = %s: %v, want one saying %q", tt.field, tt.text, err, tt.says)
		}
	}
	f, err := sizing.FieldNamed("boost")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.Set(open(t, "natural.toml"), 1e5); err == nil {
		t.Error("an engine without a compressor took boost")
	}
}

func FuzzFieldNamed(f *testing.F) {
	for _, seed := range []string{"boost", "pumps[1].wear", "feed_line.length", "a.b[2].c", "pumps[", "[1]", "...", "pumps[1][2].wear"} {
		f.Add(seed)
	}
	data, err := os.ReadFile("../testdata/sheets/turbo.toml")
	if err != nil {
		f.Fatal(err)
	}
	b, err := sizing.Read("turbo.toml", data)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, name string) {
		field, err := sizing.FieldNamed(name)
		if err != nil {
			return
		}
		field.Number(b)
		if _, err := field.Read(b, "1"); err == nil && field.Name() == "" {
			t.Error("a field without a name")
		}
	})
}
