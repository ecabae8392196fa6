package display

import (
	"slices"
	"strings"
	"testing"

	"example.com/railbook/kernel/display/live"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/catalogue"
)

const demoSheet, demoParts = notebooks + "/first-build.toml", notebooks + "/parts"

func TestChoose(t *testing.T) {
	c, err := choose(Open(demoSheet), demoParts, []string{"43.5, 50, 58, 65, 72.5 psi"})
	if err != nil {
		t.Fatal(err)
	}
	best := BestTable(c)
	if len(best.Rows) != 10 || best.Columns[1].Name != "Injectors" || !strings.Contains(best.Caption, "of 27,300") {
		t.Errorf("got %s", best.Text())
	}
	if rejected := RejectionTable(c); len(rejected.Rows) < 4 {
		t.Errorf("got %s", rejected.Text())
	}
	if misses := MissTable(c); len(misses.Rows) != 10 {
		t.Errorf("got %s", misses.Text())
	}
}

// TestTradeOff wants every priced set of the front as one mark, with the shape that its
// idle pulse gives it, and the figure to be one that can be shown.
func TestTradeOff(t *testing.T) {
	c, err := choose(Open(demoSheet), demoParts, []string{"43.5, 58, 72.5 psi"})
	if err != nil {
		t.Fatal(err)
	}
	f, err := tradeOff(c)
	if err != nil {
		t.Fatal(err)
	}
	marks := 0
	for _, s := range f.Chart.Series {
		if s.Style != figure.Marks || len(s.Points) == 0 {
			t.Errorf("series %q has the style %q and %d points", s.Name, s.Style, len(s.Points))
		}
		marks += len(s.Points)
	}
	if marks != len(c.Front) || len(f.Chart.Series) < 2 {
		t.Errorf("%d marks in %d series, %d sets", marks, len(f.Chart.Series), len(c.Front))
	}
	first := c.Front[0]
	class := slices.IndexFunc(idleClasses, func(x idleClass) bool { return *first.IdleMargin >= x.from })
	at := slices.IndexFunc(f.Chart.Series, func(s figure.Series) bool { return s.Name == idleClasses[class].name })
	if at < 0 || f.Chart.Series[at].Points[0].X != float64(first.Cost.Sum)/100 || f.Chart.Series[at].Points[0].Y != 100*float64(first.Headroom) {
		t.Errorf("the cheapest set, %v with %v, is not the first mark of its class", first.Cost, first.Headroom)
	}
	if f.Chart.X.Unit != "EUR" || !strings.Contains(f.Alt, first.Cost.Text("EUR")) {
		t.Errorf("cost in %q, %s", f.Chart.X.Unit, f.Alt)
	}
	if _, err := live.Spec(f); err != nil {
		t.Error(err)
	}
	for i := range c.Front {
		c.Front[i].Cost.Unpriced = 1
	}
	if _, err := tradeOff(c); err == nil || !strings.Contains(err.Error(), "no cost to show") {
		t.Errorf("without prices: %v", err)
	}
	if _, err := tradeOff(&catalogue.Choice{}); err == nil || !strings.Contains(err.Error(), "nothing to trade") {
		t.Errorf("without sets: %v", err)
	}
}

func TestPlanParts(t *testing.T) {
	p, err := planParts(Open(demoSheet), "power = 800 hp, blend = E85", demoParts, []string{"43.5, 50, 58, 65, 72.5 psi"})
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Rows) != 3 || !strings.Contains(p.Caption, "later with power 800 hp, blend E85: in two steps ") || !strings.Contains(p.Caption, " EUR, once ") {
		t.Errorf("got %s", p.Text())
	}
}

func TestWhatCannotBeChosen(t *testing.T) {
	b := Open(demoSheet)
	for name, tc := range map[string]struct {
		do   func() error
		want string
	}{
		"folder":   {func() error { _, err := choose(b, "nowhere", nil); return err }, "nowhere: cannot read the folder of parts lists: "},
		"pressure": {func() error { _, err := choose(b, demoParts, []string{"58"}); return err }, "the unit is missing"},
		"change":   {func() error { _, err := planParts(b, "powr = 800 hp", demoParts, nil); return err }, `perhaps "power" is meant`},
		"build":    {func() error { _, err := choose(sizing.Build{}, demoParts, nil); return err }, "build has "},
	} {
		if err := tc.do(); err == nil || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("%s: got %v, want %s", name, err, tc.want)
		}
	}
}
