package predict

import (
	"fmt"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestTold: what is printed says what the numbers say, with data and without.
func TestTold(t *testing.T) {
	low := asked
	low.Boost = 1 * quantity.BarDiff
	pulls := append(engines(2, 0.10), observed(low, "mild", 0.05), observed(low, "mild", 0.06))
	p := predicted(t, asked, "", pulls)
	text := p.Table(quantity.US).Text() + p.SourceTable().Text() + p.EffectTable(quantity.US).Text() +
		p.BoostAnswer(quantity.US) + strings.Join(p.Remarks(quantity.US), "\n")
	for _, want := range []string{
		"turbocharged, E70, 21.76 psi of boost, 4 valves per cylinder",
		"With 4 pulls of 3 engines",
		quantity.Format(p.After.Quantile(0.9), quantity.US),
		"mild                               2                   +5.7 %",
		"boost, per 10 psi",
		"with a chance of " + chance(p.Effect(Boost).After.Rises()) + " it rises at all. The pulls were made at 14.5 psi to 21.76 psi of boost.",
		"The chance of more than the band's high end",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	if got, want := p.SheetLine(0.9, quantity.US), fmt.Sprintf(`bsfc = "%s"`, quantity.Format(p.After.Quantile(0.9), quantity.US)); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	// The line is one that a sheet takes, to the digits printed.
	value := strings.Trim(strings.TrimPrefix(p.SheetLine(0.9, quantity.US), "bsfc = "), `"`)
	read, err := quantity.Parse[quantity.SpecificConsumption](value)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "what the sheet reads", float64(read)/float64(p.After.Quantile(0.9)), 1, 5e-4)
	none := predicted(t, asked, "", nil)
	if got := none.BoostAnswer(quantity.SI); !strings.Contains(got, "per 100 kPa (5 to 95 %), and with a chance of 50 % it rises at all. No pull tells") {
		t.Error(got)
	}
	same := predicted(t, asked, "", engines(2, 0.1))
	if got := same.BoostAnswer(quantity.SI); !strings.Contains(got, "All pulls were made at 150 kPa of boost; they tell nothing of it.") {
		t.Error(got)
	}
}

// TestRemarks: each is made where it holds.
func TestRemarks(t *testing.T) {
	far, methanol := asked, asked
	far.Boost = 4 * quantity.BarDiff
	far.Blend = blend("gasoline")
	methanol.Blend = blend("methanol")
	for _, c := range []struct {
		asked Combination
		pulls []Observation
		want  string
	}{
		{far, engines(3, 0), "400 kPa of boost lies outside"},
		{far, engines(3, 0), "The ethanol of gasoline lies outside"},
		{methanol, engines(3, 0), "Methanol has only its band"},
		{asked, engines(1, 0.3), "The pulls contradict the band"},
	} {
		if got := strings.Join(predicted(t, c.asked, "", c.pulls).Remarks(quantity.SI), "\n"); !strings.Contains(got, c.want) {
			t.Errorf("%q is missing in\n%s", c.want, got)
		}
	}
	if got := predicted(t, asked, "", engines(3, 0)).Remarks(quantity.SI); len(got) != 2 {
		t.Errorf("more than there is to remark: %q", got)
	}
}
