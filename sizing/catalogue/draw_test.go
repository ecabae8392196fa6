package catalogue_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/catalogue"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/pump"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

// sheets are the build sheets of the demo scenario and of the tests, by their names.
func sheets(t testing.TB) map[string]sizing.Build {
	t.Helper()
	files, err := filepath.Glob("../../testdata/sheets/*.toml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no sheets: %v", err)
	}
	list := map[string]sizing.Build{}
	for _, f := range append(files, "../../notebooks/first-build.toml") {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		if list[filepath.Base(f)], err = sizing.Read(f, data); err != nil {
			t.Fatal(err)
		}
	}
	return list
}

// draw makes random lists that lie around what a sheet has.
type draw struct{ *rand.Rand }

func (r draw) around(low, high float64) float64 { return low * math.Pow(high/low, r.Float64()) }

func (r draw) item(maker string, i int) catalogue.Item {
	// Few prices, so that many sets cost the same; some none at all.
	price := catalogue.Price(1000 * (1 + r.IntN(6)))
	if r.IntN(12) == 0 {
		price = catalogue.Unpriced
	}
	return catalogue.Item{Maker: maker, Part: fmt.Sprint(i), Price: price}
}

func (r draw) injectors(b sizing.Build, n int) []catalogue.Injector {
	list := make([]catalogue.Injector, n)
	for i := range list {
		p := catalogue.Injector{Item: r.item("Invented", i), DeadTime: b.Injectors.DeadTime, Coil: b.Injectors.Coil, LowPulse: b.Injectors.LowPulse}
		p.Flow, _ = b.Injectors.Flow.Resized(quantity.Of(r.around(0.6, 2.5), b.Injectors.Flow.Volume()))
		switch r.IntN(4) {
		case 0:
			p.DeadTime = nil
			for _, v := range []float64{12, 14} {
				for _, bar := range []float64{2.5, 3.5, 5} {
					p.DeadTime = append(p.DeadTime, injector.DeadTimePoint{
						Time:    quantity.Of(r.around(0.5, 1.5)*(1+0.2*bar)/v*6, quantity.Millisecond),
						Voltage: quantity.Of(v, quantity.Volt), Pressure: quantity.Of(bar, quantity.BarDiff),
					})
				}
			}
			// Less time at more voltage.
			for k := range 3 {
				p.DeadTime[k+3].Time = min(p.DeadTime[k+3].Time, p.DeadTime[k].Time)
			}
		case 1:
			p.DeadTime = []injector.DeadTimePoint{{Time: quantity.Of(r.around(0.4, 2), quantity.Millisecond)}}
		}
		if r.IntN(4) > 0 {
			p.MinimumPulse = quantity.Of(r.around(0.6, 2), quantity.Millisecond)
		}
		if r.IntN(3) == 0 {
			p.Spread = quantity.Ratio(0.05 * r.Float64())
		}
		if r.IntN(8) == 0 {
			p.Coil = injector.Coil{}
		}
		if r.IntN(4) == 0 {
			p.LowPulse, _ = injector.NewLowPulse(injector.LowPulsePoint{Pulse: 0.5 * quantity.Millisecond, Factor: 0.8}, injector.LowPulsePoint{Pulse: 2 * quantity.Millisecond, Factor: 1})
		}
		list[i] = p
	}
	return list
}

func (r draw) pumps(b sizing.Build, n int) []catalogue.Pump {
	var like []sizing.PumpCurve
	for _, p := range b.Pumps {
		if p.Role == sizing.Main && len(p.Curves) > 0 {
			like = p.Curves
		}
	}
	if like == nil {
		like = []sizing.PumpCurve{{Voltage: 13.5 * quantity.Volt, Points: []pump.Point{
			{Flow: 900 * quantity.LitrePerHour, Pressure: 200 * quantity.KilopascalDiff}, {Flow: 600 * quantity.LitrePerHour, Pressure: 700 * quantity.KilopascalDiff},
		}}}
	}
	list := make([]catalogue.Pump, n)
	for i := range list {
		p := catalogue.Pump{Item: r.item("Fictive", i), Most: r.IntN(4)}
		scale, amps := r.around(0.4, 2.2), r.IntN(8) > 0
		for _, c := range like {
			own := sizing.PumpCurve{Voltage: c.Voltage}
			for _, x := range c.Points {
				x.Flow = quantity.Of(scale, x.Flow)
				if !amps {
					x.Current = 0
				}
				own.Points = append(own.Points, x)
			}
			p.Curves = append(p.Curves, own)
		}
		if r.IntN(3) == 0 {
			p.Relief = quantity.Of(r.around(5, 12), quantity.BarDiff)
		}
		list[i] = p
	}
	return list
}

func (r draw) hoses(n int) []catalogue.Hose {
	list := make([]catalogue.Hose, n)
	for i := range list {
		list[i] = catalogue.Hose{Item: r.item("Imagined", i), Bore: quantity.Of(r.around(4, 16), quantity.Millimetre)}
		if r.IntN(2) == 0 {
			list[i].Bore = 0
			list[i].Dash, _ = plumbing.DashHose(4 + r.IntN(9))
		}
		if r.IntN(2) == 0 {
			list[i].Rating = quantity.Of(r.around(3, 40), quantity.BarDiff)
		}
	}
	return list
}

func (r draw) filters(n int) []catalogue.Filter {
	list := make([]catalogue.Filter, n)
	for i := range list {
		list[i] = catalogue.Filter{Item: r.item("Madeup", i), Loss: plumbing.Filter{Flow: 400 * quantity.LitrePerHour, Drop: quantity.Of(r.around(2, 30), quantity.KilopascalDiff)}}
		if r.IntN(3) == 0 {
			list[i].Rating = quantity.Of(r.around(3, 40), quantity.BarDiff)
		}
	}
	return list
}

func (r draw) regulators(n int) []catalogue.Regulator {
	list := make([]catalogue.Regulator, n)
	for i := range list {
		g := catalogue.Regulator{Item: r.item("Supposed", i), Kind: regulator.Kind(1 + r.IntN(3))}
		if r.IntN(2) == 0 {
			g.Least, g.Most = quantity.Of(r.around(1.5, 3.5), quantity.BarDiff), quantity.Of(r.around(3.6, 7), quantity.BarDiff)
		}
		if r.IntN(2) == 0 {
			g.MaxReturn = quantity.Of(r.around(200, 2000), quantity.LitrePerHour)
		}
		if r.IntN(2) == 0 {
			g.Slope, g.SetFlow = regulator.Slope{Rise: 9 * quantity.KilopascalDiff, Per: 100 * quantity.LitrePerHour}, 80*quantity.LitrePerHour
		}
		list[i] = g
	}
	return list
}

// lists are small enough to look at every set.
func (r draw) lists(b sizing.Build) (*catalogue.Lists, catalogue.Options) {
	l := &catalogue.Lists{Injectors: r.injectors(b, r.IntN(6)), Pumps: r.pumps(b, r.IntN(4)), Filters: r.filters(r.IntN(3))}
	if b.FeedLine.Length != 0 {
		l.Hoses = r.hoses(r.IntN(3))
	}
	if b.Regulator.Control == sizing.ByValve && len(b.ReturnLine) == 0 && b.Heat.Return == 0 || r.IntN(2) == 0 && b.Regulator.Control == sizing.ByValve {
		l.Regulators = r.regulators(r.IntN(3))
	}
	if len(l.Injectors)+len(l.Pumps) == 0 {
		l.Injectors = r.injectors(b, 1)
	}
	o := catalogue.Options{Top: 1 + r.IntN(8)}
	for range r.IntN(4) {
		o.Pressures = append(o.Pressures, quantity.Of(r.around(0.7, 1.5), b.Regulator.BasePressure))
	}
	return l, o
}
