package typeface

import (
	"math"
	"strings"
	"testing"

	"github.com/phpdave11/gofpdf"
	"golang.org/x/image/font/sfnt"
)

// The signs of the trade's notation, all of which every style has to hold.
const notation = "λ≥≤°²³●◐○▲△■□☐–—…·×±−√πρμµηεωΔσṁΩ½→’"

func TestEveryStyleHoldsTheNotation(t *testing.T) {
	for _, r := range notation {
		if !prints(r) {
			t.Errorf("%c (U+%04X) cannot be printed", r, r)
		}
	}
}

func TestPostScriptNamesAreThoseOfTheFonts(t *testing.T) {
	for s := range styles {
		if want, err := s.Font().Name(nil, sfnt.NameIDPostScript); err != nil || s.PostScript() != want {
			t.Errorf("style %d is named %q, its font says %q, %v", s, s.PostScript(), want, err)
		}
	}
}

func TestPrintable(t *testing.T) {
	for _, c := range []struct{ name, text, want, replaced string }{
		{"plain", "Maud Okparo", "Maud Okparo", ""},
		{"notation", "λ ≥ 0.82 at 35 °C", "λ ≥ 0.82 at 35 °C", ""},
		{"white space folded", "  a\tb\r\nc\u00a0d  ", "a b c d", ""},
		{"accent behind its letter becomes one character", "e\u0301", "é", ""},
		{"dot over V, for which there is no one character", "V\u0307", "V\u0307", ""},
		{"control character", "a\x07b", "a□b", "\x07"},
		{"direction override", "a\u202eb", "a□b", "\u202e"},
		{"soft hyphen and byte order mark go", "\ufeffa\u00adb", "ab", ""},
		{"joiners and variation selectors go", "❤\ufe0f x\u200dy\u200bz e\u200d\u0301", "❤ xyz é", ""},
		{"people at work", "\U0001f468\u200d\U0001f527", "□□", "\U0001f468\U0001f527"},
		{"Chinese", "漢字漢", "□□□", "字漢"},
		{"Hebrew would come out reversed", "אב", "□□", "אב"},
		{"Arabic", "عب", "□□", "بع"},
		{"beyond the basic plane", "a𝐀b", "a□b", "𝐀"},
		{"not UTF-8", "a\xffb", "a\ufffdb", ""},
		{"Cyrillic and Greek", "Дмитрий Λάμδα", "Дмитрий Λάμδα", ""},
		{"empty", " \n ", "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, replaced := Printable(c.text)
			if got != c.want || string(replaced) != c.replaced {
				t.Errorf("Printable(%q) = %q, %q; want %q, %q", c.text, got, string(replaced), c.want, c.replaced)
			}
		})
	}
}

// The PDF library measures text by itself; lines broken here must fit there.
func TestWidthAgreesWithThePDFLibrary(t *testing.T) {
	pdf := gofpdf.New("P", "pt", "A4", "")
	pdf.AddPage()
	for s, style := range map[Style]string{Regular: "", Bold: "B", Oblique: "I"} {
		pdf.AddUTF8FontFromBytes(Name, style, s.TTF())
		pdf.SetFont(Name, style, 9)
		for _, text := range []string{"", "640 hp", "ṁ = ṁ_test · √(ρ/ρ_test · Δp/Δp_test)", notation, strings.Repeat("WiV\u0307j", 40)} {
			got, want := s.Width(text, 9), pdf.GetStringWidth(text)
			if math.Abs(got-want) > 1e-9*max(1, want) {
				t.Errorf("style %d, %q: %v points wide, the PDF library says %v", s, text, got, want)
			}
		}
	}
}

func TestEllipsis(t *testing.T) {
	const text = "a part with a name that does not fit"
	for _, width := range []float64{0, 5, 20, 50, 100, 500} {
		got := Bold.Ellipsis(text, 10, width)
		switch fits := Bold.Width(text, 10) <= width; {
		case fits && got != text:
			t.Errorf("at %v: %q though the whole fits", width, got)
		case !fits && !strings.HasSuffix(got, "…"):
			t.Errorf("at %v: %q does not end with an ellipsis", width, got)
		case !fits && got != "…" && Bold.Width(got, 10) > width:
			t.Errorf("at %v: %q is %v wide", width, got, Bold.Width(got, 10))
		}
	}
}

func FuzzPrintable(f *testing.F) {
	for _, s := range []string{"", "λ", "\xff\xfe", "漢字", "e\u0301\u0301", "\u202e\u0000", strings.Repeat("a ", 50)} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, _ := Printable(text)
		for _, r := range got {
			if r > 0xffff || r != ' ' && !prints(r) {
				t.Fatalf("Printable(%q) = %q, with U+%04X in it", text, got, r)
			}
		}
		if again, replaced := Printable(got); again != got || len(replaced) > 0 {
			t.Fatalf("Printable(%q) = %q, and again %q", text, got, again)
		}
	})
}
