package figure

import (
	"context"
	"os"
	"slices"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/catalogue"
	"example.com/railbook/sizing/quantity"
)

// TestTradeOff wants every priced set of the front as one mark, with the shape that its
// idle pulse gives it, and the figure to be one that can be shown.
func TestTradeOff(t *testing.T) {
	c := demoChoice(t)
	f, err := OfTradeOff("trade-off", c)
	if err != nil {
		t.Fatal(err)
	}
	marks := 0
	for _, s := range f.Chart.Series {
		if s.Style != Marks || len(s.Points) == 0 {
			t.Errorf("series %q has the style %q and %d points", s.Name, s.Style, len(s.Points))
		}
		marks += len(s.Points)
	}
	if marks != len(c.Front) || len(f.Chart.Series) < 2 {
		t.Errorf("%d marks in %d series, %d sets", marks, len(f.Chart.Series), len(c.Front))
	}
	first := c.Front[0]
	class := slices.IndexFunc(idleClasses, func(x idleClass) bool { return *first.IdleMargin >= x.from })
	at := slices.IndexFunc(f.Chart.Series, func(s Series) bool { return s.Name == idleClasses[class].name })
	if at < 0 || f.Chart.Series[at].Points[0].X != float64(first.Cost.Sum)/100 || f.Chart.Series[at].Points[0].Y != 100*float64(first.Headroom) {
		t.Errorf("the cheapest set, %v with %v, is not the first mark of its class", first.Cost, first.Headroom)
	}
	if f.Chart.X.Unit != "EUR" || !strings.Contains(f.Alt, first.Cost.Text("EUR")) {
		t.Errorf("cost in %q, %s", f.Chart.X.Unit, f.Alt)
	}
	for i := range c.Front {
		c.Front[i].Cost.Unpriced = 1
	}
	if _, err := OfTradeOff("x", c); err == nil || !strings.Contains(err.Error(), "no cost to show") {
		t.Errorf("without prices: %v", err)
	}
	if _, err := OfTradeOff("x", &catalogue.Choice{}); err == nil || !strings.Contains(err.Error(), "nothing to trade") {
		t.Errorf("without sets: %v", err)
	}
}

func demoChoice(t *testing.T) *catalogue.Choice {
	t.Helper()
	build, err := sizing.Open("../../notebooks/first-build.toml")
	if err != nil {
		t.Fatal(err)
	}
	lists, err := catalogue.Read(os.DirFS("../../notebooks/parts"))
	if err != nil {
		t.Fatal(err)
	}
	c, err := catalogue.Choose(context.Background(), build, &lists, catalogue.Options{
		Pressures: []quantity.PressureDiff{43.5 * quantity.PSI, 58 * quantity.PSI, 72.5 * quantity.PSI},
	})
	if err != nil {
		t.Fatal(err)
	}
	return c
}
