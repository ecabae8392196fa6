package report

import (
	"fmt"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// TestBill wants what would carry to be enough: with it in the sheet, the part keeps its
// margin.
func TestBill(t *testing.T) {
	b := openSheet(t, "testdata/short.toml")
	w := writerOf(t, b)
	for _, x := range w.bill() {
		if !x.wrong || !strings.Contains(x.name, "Harrow 900") {
			continue
		}
		var cc float64
		if _, err := fmt.Sscanf(x.needs, "for the margin wanted %f cc/min", &cc); err != nil {
			t.Fatalf("%q: %v", x.needs, err)
		}
		bigger := b
		var err error
		if bigger.Injectors.Flow, err = b.Injectors.Flow.Resized(quantity.Of(cc*1.001, quantity.CCPerMinute)); err != nil {
			t.Fatal(err)
		}
		p, _ := writerOf(t, bigger).a.Part(sizing.InjectorsPart)
		if p.Status != sizing.Carries || p.Margin > p.Wanted+0.01 {
			t.Errorf("with %s the margin is %v, want %v", x.needs, p.Margin, p.Wanted)
		}
		return
	}
	t.Error("the injectors are not on the bill as too small")
}
