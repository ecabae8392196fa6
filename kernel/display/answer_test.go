package display

import (
	"strings"
	"testing"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/sizing/quantity"
)

// An answer is folded away, its title is not, and what is in it is escaped.
func TestAnswer(t *testing.T) {
	b, err := answer("Answer to <1>", []any{Table("Fuel", "Flow in lb/h", Row(514*quantity.PoundPerHour)), 22 * quantity.PSI, "because 1 < 2"})
	if err != nil {
		t.Fatal(err)
	}
	html := b[cell.HTML].(string)
	if !strings.HasPrefix(html, "<details><summary>Answer to &lt;1&gt;</summary>\n<table") || !strings.HasSuffix(html, "\n</details>") {
		t.Errorf("the HTML is\n%s", html)
	}
	for _, want := range []string{`<td class="rb-num">`, "151.7 kPa = 22 psi", "<p>because 1 &lt; 2</p>"} {
		if want == `<td class="rb-num">` {
			want = "514" // the only cell heads its row
		}
		if !strings.Contains(html, want) {
			t.Errorf("the HTML lacks %q:\n%s", want, html)
		}
	}
	if text := b[cell.Text].(string); !strings.HasPrefix(text, "Answer to <1>\n\nFuel") || !strings.HasSuffix(text, "because 1 < 2") {
		t.Errorf("the text is\n%s", text)
	}
}

func TestAnswerMistakes(t *testing.T) {
	plot := Plot("A plot", "x", "y", Dots("a", 1, 2))
	for want, things := range map[string][]any{
		"an answer needs a title and something in it": {},
		"an answer cannot hold a figure.Figure":       {plot},
		"cannot show a []int":                         {[]int{1}},
	} {
		if _, err := answer("Answer", things); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want one with %q", err, want)
		}
	}
	if _, err := answer(" ", []any{1}); err == nil {
		t.Error("an answer without a title")
	}
}
