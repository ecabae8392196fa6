package layout

import (
	"reflect"
	"strings"
	"testing"
)

func TestMarks(t *testing.T) {
	const d, c = divides, closes
	o := opening
	for _, tt := range []struct {
		name, text, plain string
		marks             []mark
	}{
		{"none", "plain", "plain", nil},
		{"a link", "see " + Link("A-7", "assumption 7") + ".", "see assumption 7.", []mark{{4, 16, "A-7", false}}},
		{"a place", Anchor("A-7") + "A7", "A7", []mark{{0, 0, "A-7", true}}},
		{"two links", Link("a", "λ") + Link("b", "y"), "λy", []mark{{0, 2, "a", false}, {2, 3, "b", false}}},
		{"a place and a link", Anchor("x") + Link("y", "z"), "z", []mark{{0, 0, "x", true}, {0, 1, "y", false}}},
		{"a link without words", Link("a", ""), "", nil},
		{"a link in a link", Link("a", "x"+Link("b", "y")), "xy", []mark{{0, 2, "a", false}}},
		{"never closed", "x" + o + "y", "x" + opens + "y", nil},
		{"opened twice", o + "x" + o + "n" + c + "y", opens + "xy", []mark{{4, 4, "n", true}}},
		{"of another's making", opens + "x" + d + "y" + c, opens + "x" + d + "y" + c, nil},
		{"only closed", "x" + d + "y" + c, "x" + d + "y" + c, nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			plain, marks := unmark(tt.text)
			if plain != tt.plain || !reflect.DeepEqual(marks, tt.marks) || Plain(tt.text) != tt.plain {
				t.Errorf("%q, %v; want %q, %v", plain, marks, tt.plain, tt.marks)
			}
		})
	}
}

// Broken into lines of any width, a link still holds its own words and no others.
func TestLinksAreFoundInBrokenLines(t *testing.T) {
	const words = "λ of the long-part-name/with-a-seam at\u00a0640\u00a0hp, de\u0301ja\u0300 漢字, x\u00adx"
	text := "before it, " + Link("to", words) + " and behind " + Anchor("here") + "behind-it it ends" + Anchor("end")
	for _, width := range []float64{3, 8, 15, 30, 60, 200} {
		d := newDoc()
		var linked, all strings.Builder
		here := ""
		lines := d.setLines(text, Body, width)
		for i, l := range lines {
			all.WriteString(l.text)
			for _, r := range l.links {
				linked.WriteString(l.text[r.from:r.to])
			}
			for _, a := range l.anchors {
				switch a {
				case "here":
					here = l.text
				case "end":
					if i != len(lines)-1 {
						t.Errorf("at %v mm: the end is in line %d of %d", width, i+1, len(lines))
					}
				}
			}
		}
		if got, want := letters(linked.String()), letters(d.printable(words)); got != want {
			t.Errorf("at %v mm: the link holds %q, want %q", width, got, want)
		}
		if got, want := letters(all.String()), letters(d.printable(Plain(text))); got != want {
			t.Errorf("at %v mm: the lines hold %q, want %q", width, got, want)
		}
		if !strings.Contains(here, "b") {
			t.Errorf("at %v mm: the place is in the line %q", width, here)
		}
	}
}
