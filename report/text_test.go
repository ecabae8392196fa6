package report_test

import (
	"strings"
	"testing"

	"example.com/railbook/report"
	"example.com/railbook/report/figure"
	"example.com/railbook/report/internal/pdftest"
	"example.com/railbook/report/internal/pdftext"
	"example.com/railbook/report/internal/typeface"
	"example.com/railbook/sizing/quantity"
)

// TestTextOfAnyKind sets every text that a sheet can hold: what the type can print is
// printed, what it cannot is named in a note, and nothing lies over anything else.
func TestTextOfAnyKind(t *testing.T) {
	marked := strings.Repeat("Z\u0301\u0323\u0302\u0330\u0306", 60)
	for _, c := range []struct{ name, text, notes string }{
		{"control characters", "a\x00b\x07\x1b[31mc\x7f\u0085d", ""},
		{"right to left", "from עברית and العربية to 12 ק״ג", ""},
		{"turned about", "a\u202ednuora\u202c \u2067b\u2069", ""},
		{"Chinese, Japanese, Korean", "漢字かなカナ한글", ""},
		{"emoji", "\U0001f600 \U0001f468\u200d\U0001f527 ❤\ufe0f \U0001f1f3\U0001f1f1", ""},
		{"combining marks", "e\u0301 V\u0307 " + marked, ""},
		{"private and no characters", "\ue000\ufdd0\ufdd1\ufdd2\uffff\U0010ffff", ""},
		{"not UTF-8", "\xff\xfe\xc3", ""},
		{"white space", "\t\r\n  \u2003\u3000\u200b x \v\f", ""},
		{"a long word", strings.Repeat("w", 5000), ""},
		{"long words with seams", strings.Repeat("long-part/name", 300), ""},
		{"long notes", "plain", strings.Repeat("All of it is to be read. ", 400)},
		{"notes of one word", "plain", strings.Repeat("x", 10_000)},
		{"notes of many lines", "plain", strings.Repeat("a\n", 3000)},
		{"what PDF writes otherwise", `(a) \b\ [c] <d> %e /f {current} of {total}`, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := open(t, longSheet)
			b.Job.Units = quantity.US
			for _, s := range []*string{
				&b.Job.Name, &b.Job.Reference, &b.Job.Revision, &b.Job.Maker, &b.Job.Engineer, &b.Job.Customer, &b.Job.Notes,
				&b.Injectors.Part, &b.Regulator.Part, &b.Pumps[0].Part, &b.FeedLine.Part,
			} {
				*s = c.text
			}
			if c.notes != "" {
				b.Job.Notes = c.notes
			}
			pdf := rendered(t, assessed(t, b), report.Options{Figures: []figure.Figure{}})
			pdftest.Fits(t, pdf)
			pdftest.Valid(t, pdf)
			text := withoutFeet(t, pdf)
			for _, s := range []string{c.text, c.notes} {
				if want := squeeze(s); !strings.Contains(text, want) {
					t.Errorf("%.60q is not in the report", want)
				}
				// The note holds the first dozen.
				if _, replaced := typeface.Printable(s); len(replaced) > 0 && !strings.Contains(text, "Thesign□standsfor") {
					t.Errorf("no note says what became of %.60q", string(replaced))
				}
			}
		})
	}
}

// withoutFeet is the text of all pages but for what stands at the foot of each, so that
// what runs from one to the next is in one piece; squeezed.
func withoutFeet(t *testing.T, pdf []byte) string {
	t.Helper()
	pages, err := pdftext.Pages(pdf)
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range pages {
		pages[i] = p[:len(p)-2]
	}
	return squeeze(pdftext.Join(pages))
}
