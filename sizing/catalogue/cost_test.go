package catalogue_test

import (
	"reflect"
	"testing"

	"example.com/railbook/sizing/catalogue"
	"example.com/railbook/sizing/quantity"
)

func TestBill(t *testing.T) {
	b := sheets(t)["first-build.toml"] // six cylinders, 14 ft of feed line
	item := func(part string, p catalogue.Price) catalogue.Item { return catalogue.Item{Part: part, Price: p} }
	l := &catalogue.Lists{
		Injectors: []catalogue.Injector{{Item: item("i", 5000)}, {Item: item("j", 100)}}, Pumps: []catalogue.Pump{{Item: item("p", 12000), Most: 3}},
		Hoses: []catalogue.Hose{{Item: item("h", 1234)}}, Filters: []catalogue.Filter{{Item: item("f", catalogue.Unpriced)}}, Regulators: []catalogue.Regulator{{Item: item("r", 7000)}},
	}
	c := catalogue.Candidate{Pump: 0, Count: 3}
	metres := (14 * quantity.Foot).In(quantity.Metre)
	hose := catalogue.Line{Part: "h", Kind: "hose", Quantity: metres, Each: 1234, Price: 5266} // 4.2672 m at 12.34, 52.657, to the next hundredth
	filter := catalogue.Line{Part: "f", Kind: "filter", Quantity: 1, Each: catalogue.Unpriced, Price: catalogue.Unpriced}
	regulator := catalogue.Line{Part: "r", Kind: "regulator", Quantity: 1, Each: 7000, Price: 7000}
	injectors := catalogue.Line{Part: "i", Kind: "injectors", Quantity: 6, Each: 5000, Price: 30000}
	pumps := func(n int) catalogue.Line {
		return catalogue.Line{Part: "p", Kind: "pumps", Quantity: float64(n), Each: 12000, Price: catalogue.Price(n) * 12000}
	}
	none := catalogue.Candidate{Injector: -1, Pump: -1, Hose: -1, Filter: -1, Regulator: -1}
	own := func(change func(*catalogue.Candidate)) *catalogue.Candidate {
		o := none
		change(&o)
		return &o
	}
	for _, tt := range []struct {
		name  string
		owned *catalogue.Candidate
		want  []catalogue.Line
	}{
		{"all", nil, []catalogue.Line{injectors, pumps(3), hose, filter, regulator}},
		{"nothing that is used", own(func(o *catalogue.Candidate) { o.Injector = 1 }), []catalogue.Line{injectors, pumps(3), hose, filter, regulator}},
		{"the injectors", own(func(o *catalogue.Candidate) { o.Injector = 0 }), []catalogue.Line{pumps(3), hose, filter, regulator}},
		{"one of the pumps", own(func(o *catalogue.Candidate) { o.Pump, o.Count = 0, 1 }), []catalogue.Line{injectors, pumps(2), hose, filter, regulator}},
		{"more pumps", own(func(o *catalogue.Candidate) { o.Pump, o.Count = 0, 4 }), []catalogue.Line{injectors, hose, filter, regulator}},
		{"hose and filter", own(func(o *catalogue.Candidate) { o.Hose, o.Filter = 0, 0 }), []catalogue.Line{injectors, pumps(3), regulator}},
		{"regulator", own(func(o *catalogue.Candidate) { o.Regulator = 0 }), []catalogue.Line{injectors, pumps(3), hose, filter}},
	} {
		if got := l.Bill(b, c, tt.owned); !reflect.DeepEqual(got, tt.want) {
			t.Errorf("%s owned: got %+v, want %+v", tt.name, got, tt.want)
		}
	}
	if got := l.Bill(b, none, nil); got != nil {
		t.Errorf("a bill for nothing: %+v", got)
	}
	for line, want := range map[catalogue.Line]string{
		injectors: "6 × i at 50.00: 300.00", hose: "4.27 m of h at 12.34 a metre: 52.66", filter: "f: no price", regulator: "r: 70.00",
	} {
		if got := line.Text(); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}
