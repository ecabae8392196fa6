package regulator

import (
	"errors"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func TestParseKind(t *testing.T) {
	for text, want := range map[string]Kind{
		"manifold-referenced":    ManifoldReferenced,
		" Manifold-Referenced\t": ManifoldReferenced,
		"fixed":                  Fixed,
		"RETURNLESS":             Returnless,
	} {
		got, err := ParseKind(text)
		if err != nil || got != want {
			t.Errorf("ParseKind(%q) = %v, %v, want %v", text, got, err, want)
		}
		written, err := got.MarshalText()
		if err != nil || string(written) != strings.ToLower(strings.TrimSpace(text)) {
			t.Errorf("%v is written %q, %v", got, written, err)
		}
	}
	for _, text := range []string{"", "?", "manifold", "manifold referenced", "boost-referenced", "fixed,", "1"} {
		k := Returnless
		err := k.UnmarshalText([]byte(text))
		var pe *quantity.ParseError
		if !errors.As(err, &pe) || pe.Text != text || !strings.Contains(pe.Accepted, `"manifold-referenced", "fixed", "returnless"`) {
			t.Errorf("%q: error %v, want the list of kinds", text, err)
		}
		if k != Returnless {
			t.Errorf("%q: changed the kind", text)
		}
	}
}

func TestKind(t *testing.T) {
	if got := Kind(0).Accepts(); got != `one of "manifold-referenced", "fixed", "returnless"` {
		t.Errorf("Accepts: %q", got)
	}
	for k, atRail := range map[Kind]bool{0: false, ManifoldReferenced: true, Fixed: true, Returnless: false, 4: false} {
		if k.AtRail() != atRail {
			t.Errorf("%v at the rail: %v, want %v", k, k.AtRail(), atRail)
		}
	}
	for _, k := range []Kind{0, 4, 255} {
		if text, err := k.MarshalText(); err == nil || k.String() != "?" {
			t.Errorf("kind %d is written %q and prints %q", uint8(k), text, k)
		}
	}
}

// FuzzParseKind: whatever reads is written so that it reads back the same.
func FuzzParseKind(f *testing.F) {
	for _, seed := range []string{"manifold-referenced", "Fixed", " returnless ", "?", "", "fixéd"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		k, err := ParseKind(text)
		if err != nil {
			if k != 0 {
				t.Errorf("%q: kind %v with error %v", text, k, err)
			}
			return
		}
		written, err := k.MarshalText()
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		var back Kind
		if err := back.UnmarshalText(written); err != nil || back != k {
			t.Errorf("%q: written %q, reads as %v, %v", text, written, back, err)
		}
	})
}
