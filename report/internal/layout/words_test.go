package layout

import (
	"strings"
	"testing"
)

func TestLines(t *testing.T) {
	d := newDoc()
	texts := []string{
		"", " ", "short", "two\nlines", "\n\n",
		strings.Repeat("The rail settles where both are equal. ", 9),
		strings.Repeat("x", 300), strings.Repeat("e\u0323\u0301", 90), strings.Repeat("long-part-name/", 20),
		"640\u00a0hp at\u00a0the\u00a0crank 漢字",
	}
	for _, text := range texts {
		for _, width := range []float64{3, 12, 40, 170} {
			lines := d.lines(text, Body, width)
			for _, l := range lines {
				// A single character may be wider than a very narrow line.
				if Body.width(l) > width && len([]rune(l)) > 3 {
					t.Errorf("%.20q at %v mm: line %q is %v mm wide", text, width, l, Body.width(l))
				}
			}
			// Nothing is lost and nothing added but breaks.
			if got, want := letters(strings.Join(lines, "")), letters(d.printable(text)); got != want {
				t.Errorf("%.20q at %v mm: came out as %q", text, width, got)
			}
			if want := strings.Count(text, "\n") + 1; len(lines) < want {
				t.Errorf("%.20q at %v mm: %d lines, want at least %d", text, width, len(lines), want)
			}
		}
	}
}

func TestTieIsNotBroken(t *testing.T) {
	d := newDoc()
	width := Body.width("a target of 640") + 1
	if got := d.lines("a target of 640 hp", Body, width); got[0] != "a target of 640" {
		t.Errorf("without a tie: %q", got)
	}
	if got := d.lines("a target of 640\u00a0hp", Body, width); got[0] != "a target of" || got[1] != "640 hp" {
		t.Errorf("with a tie: %q", got)
	}
}

func TestLongWordIsBrokenAtItsSeams(t *testing.T) {
	d := newDoc()
	for _, l := range d.lines("left-hand-collector-tank-bracket", Body, 30)[:1] {
		if !strings.HasSuffix(l, "-") {
			t.Errorf("first line is %q, want it to end with a hyphen", l)
		}
	}
}
