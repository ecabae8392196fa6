package sizing_test

import (
	"maps"
	"math"
	"path/filepath"
	"slices"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

// sheets opens every build sheet of the test data, by name.
func sheets(t testing.TB) map[string]sizing.Build {
	t.Helper()
	paths, err := filepath.Glob("../testdata/sheets/*.toml")
	if err != nil || len(paths) < 6 {
		t.Fatalf("%d sheets, %v", len(paths), err)
	}
	list := map[string]sizing.Build{}
	for _, p := range paths {
		name := filepath.Base(p)
		list[name[:len(name)-len(".toml")]] = open(t, name)
	}
	return list
}

// arrangements is every sheet, and each with another regulator, with other pumps, with
// other wiring and short of pump.
func arrangements(t testing.TB) map[string]sizing.Build {
	t.Helper()
	list := sheets(t)
	change := func(name, of string, change func(*sizing.Build)) {
		b, found := list[of]
		if !found {
			t.Fatalf("no sheet %s", of)
		}
		b.Pumps = slices.Clone(b.Pumps)
		b.Suction, b.ReturnLine = slices.Clone(b.Suction), slices.Clone(b.ReturnLine)
		change(&b)
		list[name] = b
	}
	for _, of := range slices.Sorted(maps.Keys(list)) {
		if list[of].Regulator.Control == sizing.ByPumpSpeed {
			continue
		}
		for _, kind := range []regulator.Kind{regulator.ManifoldReferenced, regulator.Fixed, regulator.Returnless} {
			if kind == list[of].Regulator.Kind {
				continue
			}
			change(of+" "+kind.String(), of, func(b *sizing.Build) {
				b.Regulator.Kind = kind
				b.Regulator.BasePressure = 70 * quantity.PSI
			})
		}
	}
	change("turbo starved", "turbo", func(b *sizing.Build) { b.Pumps[0].Count = 1 })
	change("surge starved", "surge", func(b *sizing.Build) { b.Pumps[1].Count = 1 })
	change("surge main tank", "surge", func(b *sizing.Build) {
		s := *b.SurgeTank
		s.Return = sizing.ToMainTank
		b.SurgeTank = &s
	})
	change("surge shared wire", "surge", func(b *sizing.Build) {
		w := *b.Pumps[1].Wiring
		w.Feeds = sizing.AllOfIt
		b.Pumps[1].Wiring = &w
	})
	change("surge without suction", "surge", func(b *sizing.Build) { b.Suction = nil })
	change("surge tight return", "surge", func(b *sizing.Build) {
		b.ReturnLine[0].Dash, b.ReturnLine[0].Bore = plumbing.Dash{}, 4*quantity.Millimetre
	})
	change("series of the surge pumps", "surge", func(b *sizing.Build) { b.SurgeTank = nil })
	change("driven starved", "driven", func(b *sizing.Build) { b.Pumps[0] = halved(b.Pumps[0]) })
	change("driven beside electric", "driven", func(b *sizing.Build) {
		b.Pumps[0] = halved(b.Pumps[0])
		b.Pumps = append(b.Pumps, list["turbo"].Pumps[0])
	})
	change("lift starved", "lift", func(b *sizing.Build) { b.Pumps[0].Wear = 0.6 })
	change("speed starved", "speed", func(b *sizing.Build) { b.Pumps[0].Wear = 0.5 })
	change("speed with suction", "speed", func(b *sizing.Build) {
		b.Suction = []sizing.Segment{{Bore: 5.5 * quantity.Millimetre, Length: 1.5 * quantity.Metre, LossCoefficient: 2}}
	})
	change("speed with surge tank", "speed", func(b *sizing.Build) {
		b.Suction, b.SurgeTank = list["surge"].Suction, list["surge"].SurgeTank
		b.Pumps = append([]sizing.Pump{list["surge"].Pumps[0]}, b.Pumps...)
	})
	return list
}

// halved is an engine-driven pump of half the displacement.
func halved(p sizing.Pump) sizing.Pump {
	m := *p.Mechanical
	m.Displacement /= 2
	p.Mechanical = &m
	return p
}

// darcy is what a round line loses to friction and fittings at the flow q, in SI, by
// the textbook: Poiseuille where laminar, Colebrook's equation solved by substitution
// where turbulent. In the critical zone between there is no law to compare with.
func darcy(t testing.TB, q, bore, length, k, roughness, rho, mu float64) float64 {
	t.Helper()
	if q == 0 {
		return 0
	}
	v := q / (math.Pi / 4 * bore * bore)
	re := rho * v * bore / mu
	f := 64 / re
	switch {
	case re >= 4000:
		x := 8.0
		for range 200 {
			x = -2 * math.Log10(roughness/bore/3.7+2.51*x/re)
		}
		f = 1 / (x * x)
	case re > 2000:
		t.Fatalf("Reynolds number %.0f: the test cannot compute in the critical zone", re)
	}
	return (f*length/bore + k) * rho * v * v / 2
}

const gravity = 9.80665

// lost is what the way through segments takes off the pressure at the flow q: friction,
// fittings, filters, height and the vehicle's acceleration, Pa.
func lost(t testing.TB, a *sizing.Assessment, segments []sizing.Segment, q quantity.VolumeFlow) float64 {
	t.Helper()
	f := a.Build.Fuel
	rho, mu := float64(f.Blend.Density(f.Temperature)), float64(f.Blend.Viscosity(f.Temperature))
	var sum float64
	for _, s := range segments {
		line := s.Line()
		if line.Bore != 0 {
			sum += darcy(t, float64(q), float64(line.Bore), float64(s.Length), float64(s.LossCoefficient), float64(s.Roughness), rho, mu)
		}
		sum += rho * (gravity*float64(s.Rise) + float64(a.Build.Vehicle.Acceleration)*float64(s.Ahead))
		if s.Filter.Drop != 0 {
			part := float64(q) / float64(s.Filter.Flow)
			sum += float64(s.Filter.Drop) * part * part
		}
	}
	return sum
}

// atRail reports whether the pressure is held at the rail.
func atRail(b sizing.Build) bool {
	return b.Regulator.Control == sizing.ByPumpSpeed || b.Regulator.Kind != regulator.Returnless
}
