package wiring

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func ohms(r float64) Circuit { return Circuit{Contacts: quantity.Of(r, quantity.Ohm)} }

// TestFeed compares with loads whose answer is known in closed form.
func TestFeed(t *testing.T) {
	const supply = 14 * quantity.Volt
	random := rand.New(rand.NewPCG(7, 8))
	for range 2000 {
		r := 0.5 * random.Float64() * random.Float64()
		load := 0.2 + 10*random.Float64()
		s, err := ohms(r).Feed(supply, Resistor(quantity.Of(load, quantity.Ohm)))
		if err != nil {
			t.Fatal(err)
		}
		if want := 14 * load / (load + r); math.Abs(float64(s.Voltage)-want) > 3e-9 { // a voltage divider
			t.Fatalf("%g Ω behind %g Ω has %v, want %.12g", load, r, s.Voltage, want)
		}
		i := 14 / (r + 1e-3) * random.Float64()
		if s, err = ohms(r).Feed(supply, ConstantCurrent(quantity.Of(i, quantity.Ampere))); err != nil || math.Abs(float64(s.Voltage)-(14-r*i)) > 3e-9 {
			t.Fatalf("%g A behind %g Ω: %v, %v", i, r, s, err)
		}
		// V² - V_s V + R P = 0: the higher root, real up to P = V_s²/4R.
		most := 14 * 14 / (4 * r)
		p := most * 1.2 * random.Float64()
		s, err = ohms(r).Feed(supply, ConstantPower(quantity.Power(p)))
		if p > most {
			if !errors.Is(err, ErrCollapse) || s.Voltage != 0 {
				t.Fatalf("%g W of at most %g: %v, %v", p, most, s, err)
			}
			continue
		}
		want := 7 * (1 + math.Sqrt(1-p/most))
		if near := 1e-6 + 1e-8/(1-p/most+1e-9); err != nil || math.Abs(float64(s.Voltage)-want) > near {
			t.Fatalf("%g W behind %g Ω has %v, %v, want %.12g", p, r, s.Voltage, err, want)
		}
	}
}

// TestFeedBalance: what the supply gives is what the load takes and the wires heat.
func TestFeedBalance(t *testing.T) {
	c := Circuit{Conductor: mustConductor(t, "12 AWG"), Length: 6 * quantity.Metre, Contacts: 8 * quantity.Milliohm}
	for name, load := range map[string]Load{
		"motor":   func(v quantity.Voltage) quantity.Current { return quantity.Current(9 + 0.4*float64(v)) },
		"falling": func(v quantity.Voltage) quantity.Current { return quantity.Current(20 - 0.8*float64(v)) },
		"power":   ConstantPower(150 * quantity.WattPower),
		"curved":  func(v quantity.Voltage) quantity.Current { return quantity.Current(2 * math.Sqrt(float64(v))) },
		"none":    ConstantCurrent(0),
	} {
		for supply := 8 * quantity.Volt; supply < 16*quantity.Volt; supply += 0.5 * quantity.Volt {
			s, err := c.Feed(supply, load)
			if err != nil {
				t.Fatalf("%s at %v: %v", name, supply, err)
			}
			given := supply.Power(s.Current)
			if got := s.Power() + c.Heat(s.Current); math.Abs(float64(got-given)) > 1e-7 {
				t.Errorf("%s at %v: %v taken and lost of %v given", name, supply, got, given)
			}
			near(t, "drop", float64(supply-s.Voltage)+1, float64(c.Drop(s.Current))+1, 1e-8)
		}
	}
}

// TestFeedMonotone: the voltage at the load falls as the wiring gets worse and rises
// with the supply, and does not jump until it collapses.
func TestFeedMonotone(t *testing.T) {
	load := ConstantPower(180 * quantity.WattPower)
	last := 14.0
	for r := 0.0; r < 0.27; r += 1e-4 {
		s, err := ohms(r).Feed(14*quantity.Volt, load)
		if err != nil {
			t.Fatal(err)
		}
		if v := float64(s.Voltage); !(v <= last && last-v < 0.3) {
			t.Fatalf("from %g to %g V at %g Ω", last, v, r)
		}
		last = float64(s.Voltage)
	}
	last = 0
	for supply := 8 * quantity.Volt; supply < 16*quantity.Volt; supply += 10 * quantity.Millivolt {
		s, err := ohms(0.05).Feed(supply, load)
		if err != nil || !(float64(s.Voltage) > last) {
			t.Fatalf("%v at %v, %v; before %g V", s, supply, err, last)
		}
		last = float64(s.Voltage)
	}
}

func TestFeedEdges(t *testing.T) {
	full := ConstantCurrent(10 * quantity.Ampere)
	if s, err := (Circuit{}).Feed(13.5*quantity.Volt, full); err != nil || s != (State{13.5 * quantity.Volt, 10 * quantity.Ampere}) {
		t.Errorf("no circuit: %+v, %v", s, err)
	}
	if s, err := ohms(2).Feed(13.5*quantity.Volt, full); !errors.Is(err, ErrCollapse) || s.Voltage != 0 || s.Current != 10*quantity.Ampere {
		t.Errorf("too long a wire: %+v, %v", s, err)
	}
	for _, supply := range []quantity.Voltage{0, -12 * quantity.Volt, quantity.Voltage(math.NaN())} {
		if s, err := ohms(0.01).Feed(supply, full); err == nil || s != (State{}) {
			t.Errorf("supply %v: %+v, %v", supply, s, err)
		}
	}
	notNumber := func(quantity.Voltage) quantity.Current { return quantity.Current(math.NaN()) }
	if _, err := ohms(0.01).Feed(12*quantity.Volt, notNumber); err == nil {
		t.Error("a current that is no number passes")
	}
}

func TestAllocations(t *testing.T) {
	c := Circuit{Conductor: mustConductor(t, "10 AWG"), Length: 5 * quantity.Metre, Contacts: 5 * quantity.Milliohm}
	k := 0.3
	var sum float64
	n := testing.AllocsPerRun(100, func() {
		s, err := c.Feed(13.8*quantity.Volt, func(v quantity.Voltage) quantity.Current { return quantity.Current(8 + k*float64(v)) })
		if err != nil {
			t.Fatal(err)
		}
		sum += float64(s.Voltage) + float64(c.Heat(s.Current)) + float64(c.Drop(s.Current))
		_, _ = c.Feed(13.8*quantity.Volt, func(quantity.Voltage) quantity.Current { return 9999 * quantity.Ampere })
	})
	if n != 0 {
		t.Errorf("%v allocations, want none (%g)", n, sum)
	}
}

func BenchmarkFeed(b *testing.B) {
	c := Circuit{Conductor: mustConductor(b, "10 AWG"), Length: 5 * quantity.Metre, Contacts: 5 * quantity.Milliohm}
	for _, load := range []struct {
		name string
		load Load
	}{
		{"current", ConstantCurrent(12 * quantity.Ampere)},
		{"motor", func(v quantity.Voltage) quantity.Current { return quantity.Current(8 + 0.3*float64(v)) }},
		{"power", ConstantPower(150 * quantity.WattPower)},
	} {
		b.Run(fmt.Sprint(load.name), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_, _ = c.Feed(13.8*quantity.Volt, load.load)
			}
		})
	}
}
