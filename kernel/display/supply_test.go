package display

import (
	"math"
	"strings"
	"testing"

	"example.com/railbook/report/figure"
	"example.com/railbook/sizing/quantity"
)

// The mark lies on both curves: what the pumps bring there is what it takes to bring it.
func TestPumpBalance(t *testing.T) {
	a := Assess(bench(t))
	f := PumpBalance(a)
	if f.ID != "pump-balance" || len(f.Chart.Series) != 4 {
		t.Fatalf("%q with %d series", f.ID, len(f.Chart.Series))
	}
	mark := f.Chart.Series[3]
	if mark.Style != figure.Marks || len(mark.Points) != 1 || mark.Points[0].Y != quantity.Number(a.Delivery.PumpFlow, quantity.SI) {
		t.Errorf("the mark is %+v", mark)
	}
	for _, s := range f.Chart.Series[:2] {
		near := math.Inf(1)
		for k := 1; k < len(s.Points); k++ {
			p, q := s.Points[k-1], s.Points[k]
			if (p.X-mark.Points[0].X)*(q.X-mark.Points[0].X) > 0 {
				continue
			}
			y := p.Y
			if q.X != p.X {
				y += (mark.Points[0].X - p.X) / (q.X - p.X) * (q.Y - p.Y)
			}
			near = min(near, math.Abs(y-mark.Points[0].Y)/mark.Points[0].Y)
		}
		if s.Name == "pumps together at full speed" && near > 0.01 {
			t.Errorf("the mark lies %.1f %% off %q", 100*near, s.Name)
		}
	}
	if !strings.Contains(f.Alt, "the engine needs "+quantity.Format(a.Demand.Volume, quantity.SI)) {
		t.Errorf("it says %q", f.Alt)
	}
	if _, err := bundle(f); err != nil {
		t.Error(err)
	}
}

// A rail that sags is said to, since the curves then do not meet where the mark is.
func TestPumpBalanceOfASaggingRail(t *testing.T) {
	a := Assess(With(bench(t), "boost = 4 bar, injector flow = 3000 cc/min at 3 bar on n-heptane"))
	if !a.Delivery.Sags {
		t.Fatal("the rail does not sag")
	}
	if f := PumpBalance(a); !strings.Contains(f.Alt, "cannot hold the rail") {
		t.Errorf("it says %q", f.Alt)
	}
}

func TestSupplyTable(t *testing.T) {
	a := Assess(bench(t))
	if got, want := SupplyTable(a), a.SupplyTable(quantity.SI); got.Caption != want.Caption || len(got.Rows) != len(want.Rows) || len(got.Rows) == 0 {
		t.Errorf("it has %d rows under %q", len(got.Rows), got.Caption)
	}
}
