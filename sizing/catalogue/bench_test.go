package catalogue_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"runtime"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/catalogue"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/pump"
	"example.com/railbook/sizing/quantity"
)

// generated are lists of parts that exist nowhere, made by rule and chance for the
// benchmark alone: bigger parts tend to cost more.
func generated(injectors, pumps, hoses int) *catalogue.Lists {
	r := draw{rand.New(rand.NewPCG(1, 2))}
	price := func(base, per, size float64) catalogue.Price {
		return catalogue.Price(100*(base+per*size)*r.around(0.8, 1.25)) / 5 * 5
	}
	l := &catalogue.Lists{Currency: "EUR"}
	for i := range injectors {
		size := r.around(200, 3000)
		p := catalogue.Injector{
			Item:         catalogue.Item{Maker: "Generated", Part: fmt.Sprintf("injector %d", i+1), Price: price(25, 0.05, size)},
			MinimumPulse: quantity.Of(r.around(0.9, 1.3)*(1+size/6000), quantity.Millisecond), Spread: quantity.Ratio(0.01 + 0.02*r.Float64()),
		}
		p.Flow, _ = injector.NewRating(quantity.Of(size, quantity.CCPerMinute), injector.Conditions{Pressure: 3 * quantity.BarDiff})
		late := r.around(0.6, 1.3)
		for k, v := range []float64{12, 13.5, 15} {
			p.DeadTime = append(p.DeadTime, injector.DeadTimePoint{Time: quantity.Of(late*(1.3-0.2*float64(k)), quantity.Millisecond), Voltage: quantity.Of(v, quantity.Volt)})
		}
		l.Injectors = append(l.Injectors, p)
	}
	for i := range pumps {
		size := r.around(120, 1100)
		p := catalogue.Pump{Item: catalogue.Item{Maker: "Generated", Part: fmt.Sprintf("pump %d", i+1), Price: price(60, 0.6, size)}}
		for k, v := range []float64{12, 13.5} {
			c := sizing.PumpCurve{Voltage: quantity.Of(v, quantity.Volt)}
			for j := range 5 {
				c.Points = append(c.Points, pump.Point{
					Flow:     quantity.Of(size*(0.86+0.14*float64(k))*(1-0.03*float64(j*j)), quantity.LitrePerHour),
					Pressure: quantity.Of(200+100*float64(j), quantity.KilopascalDiff),
				})
			}
			p.Curves = append(p.Curves, c)
		}
		l.Pumps = append(l.Pumps, p)
	}
	for i := range hoses {
		h := catalogue.Hose{Item: catalogue.Item{Maker: "Generated", Part: fmt.Sprintf("hose %d", i+1), Price: price(8, 2, float64(i))}, Rating: 35 * quantity.BarDiff}
		h.Dash, _ = plumbing.DashHose(4 + 2*i)
		l.Hoses = append(l.Hoses, h)
	}
	return l
}

// usualPressures are five base pressures.
func usualPressures() []quantity.PressureDiff {
	var list []quantity.PressureDiff
	for _, psi := range []float64{43.5, 50, 58, 65, 72.5} {
		list = append(list, quantity.Of(psi, quantity.PSI))
	}
	return list
}

// BenchmarkChoose chooses among 75 million sets of generated parts. The creeping
// regulator gives injectors another pressure with every supply side.
func BenchmarkChoose(b *testing.B) {
	list := sheets(b)
	lists := generated(5000, 500, 6)
	creeping := list["first-build.toml"]
	creeping.Regulator.Slope.Rise, creeping.Regulator.Slope.Per = 8*quantity.KilopascalDiff, 100*quantity.LitrePerHour
	creeping.Regulator.SetFlow = 100 * quantity.LitrePerHour
	for _, bb := range []struct {
		name  string
		build sizing.Build
	}{{"ideal", list["first-build.toml"]}, {"creeping", creeping}} {
		b.Run(bb.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				c, err := catalogue.Choose(context.Background(), bb.build, lists, catalogue.Options{Pressures: usualPressures()})
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(c.Sets), "sets")
				b.ReportMetric(float64(c.Carry), "carry")
				b.ReportMetric(float64(len(c.Front)), "front")
			}
			b.ReportMetric(float64(runtime.GOMAXPROCS(0)), "processors")
		})
	}
}
