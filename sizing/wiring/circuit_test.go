package wiring

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestCircuit follows the worked example on the page about wire gauges at rftools.io:
// 16 A through 50 ft of 12 AWG and back is 159 mΩ by 5.21 mΩ/m, 2.54 V and 40.7 W.
func TestCircuit(t *testing.T) {
	c := Circuit{Conductor: mustConductor(t, "12 AWG"), Length: 50 * quantity.Foot}
	near(t, "resistance", c.Resistance().In(quantity.Milliohm), 159, 3e-3)
	near(t, "drop", float64(c.Drop(16*quantity.Ampere)), 2.54, 2e-3)
	near(t, "heat", float64(c.Heat(16*quantity.Ampere)), 40.7, 3e-3)
}

// TestBilgePump: a chart of boat wiring for at most 3 % of 12 V (hollandmarine.com,
// catalogue of 2021, p. 52) has 10 AWG for 10 A over 21 ft there and back.
func TestBilgePump(t *testing.T) {
	c := Circuit{Length: 11 * quantity.Foot, Return: 10 * quantity.Foot}
	for text, holds := range map[string]bool{"10 AWG": true, "12 AWG": true, "14 AWG": false} {
		c.Conductor = mustConductor(t, text)
		if got := c.Drop(10*quantity.Ampere) <= 0.36*quantity.Volt; got != holds {
			t.Errorf("%s loses %v", text, c.Drop(10*quantity.Ampere))
		}
	}
	// The chart goes in steps of 5 ft, so 25 ft counts. With the wire at 90 °C, a guess at
	// what the chart allows for, 12 AWG no longer does.
	c = Circuit{Conductor: mustConductor(t, "12 AWG"), Length: 12.5 * quantity.Foot, Temperature: quantity.Celsius(90)}
	if got := c.Drop(10 * quantity.Ampere); got <= 0.36*quantity.Volt {
		t.Errorf("hot 12 AWG over 25 ft loses %v", got)
	}
	area, err := c.SectionFor(10*quantity.Ampere, 0.36*quantity.Volt)
	if err != nil {
		t.Fatal(err)
	}
	if thick, ok := AtLeast(area); !ok || thick.String() != "10 AWG" {
		t.Errorf("%v asks for %v, %v, want the chart's 10 AWG", area, thick, ok)
	}
}

func TestCircuitParts(t *testing.T) {
	wire := mustConductor(t, "4 mm2")
	per := float64(wire.Resistance(1*quantity.Metre, room))
	tests := []struct {
		name    string
		circuit Circuit
		want    float64
	}{
		{"nothing", Circuit{}, 0},
		{"contacts alone", Circuit{Contacts: 10 * quantity.Milliohm}, 0.010},
		{"there and back", Circuit{Conductor: wire, Length: 5 * quantity.Metre}, 10 * per},
		{"back through the body", Circuit{Conductor: wire, Length: 5 * quantity.Metre, Return: 0.5 * quantity.Metre}, 5.5 * per},
		{"hot", Circuit{Conductor: wire, Length: 5 * quantity.Metre, Temperature: quantity.Celsius(80)}, 10 * per * (1 + 0.00393*60)},
		{"all", Circuit{Conductor: wire, Length: 5 * quantity.Metre, Allowance: 0.15, Contacts: 10 * quantity.Milliohm}, 0.010 + 1.15*10*per},
	}
	for _, tt := range tests {
		if err := tt.circuit.Validate(); err != nil {
			t.Errorf("%s: %v", tt.name, err)
		}
		if got := float64(tt.circuit.Resistance()); math.Abs(got-tt.want) > 1e-15 {
			t.Errorf("%s: %g Ω, want %g", tt.name, got, tt.want)
		}
	}
}

// TestSectionInverts: a circuit of the section found loses what was allowed.
func TestSectionInverts(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	for range 2000 {
		c := Circuit{
			Length: quantity.Of(0.1+10*random.Float64(), quantity.Metre), Return: quantity.Of(0.1+10*random.Float64(), quantity.Metre),
			Temperature: quantity.Celsius(-40 + 150*random.Float64()), Allowance: quantity.Ratio(0.2 * random.Float64()),
			Contacts: quantity.Of(10*random.Float64(), quantity.Milliohm),
		}
		i, allowed := quantity.Of(1+30*random.Float64(), quantity.Ampere), quantity.Of(0.05+random.Float64(), quantity.Volt)
		area, err := c.SectionFor(i, allowed)
		if errors.Is(err, ErrTooLong) {
			if c.Drop(i) < allowed {
				t.Fatalf("%+v: %v though contacts lose %v of %v", c, err, c.Drop(i), allowed)
			}
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		c.Conductor = Conductor{area: area}
		near(t, "drop", float64(c.Drop(i)), float64(allowed), 1e-12)
	}
}

func TestSectionRefuses(t *testing.T) {
	c := Circuit{Length: 5 * quantity.Metre, Contacts: 10 * quantity.Milliohm}
	if _, err := c.SectionFor(50*quantity.Ampere, 0.5*quantity.Volt); !errors.Is(err, ErrTooLong) || !strings.Contains(err.Error(), "0.5 V allowed, 0.5 V lost in 0.01 Ω") {
		t.Errorf("contacts lose all: %v", err)
	}
	for want, call := range map[string]func() (quantity.Area, error){
		"current: ":      func() (quantity.Area, error) { return c.SectionFor(0, 1*quantity.Volt) },
		"allowed drop: ": func() (quantity.Area, error) { return c.SectionFor(1*quantity.Ampere, 0) },
		"length: ": func() (quantity.Area, error) {
			return Circuit{Length: -1 * quantity.Metre}.SectionFor(1*quantity.Ampere, 1*quantity.Volt)
		},
	} {
		if area, err := call(); !errors.Is(err, quantity.ErrRange) || !strings.HasPrefix(err.Error(), want) || area != 0 {
			t.Errorf("%v, %v; want an error on %q", area, err, want)
		}
	}
}

func TestCircuitValidate(t *testing.T) {
	bad := Circuit{
		Length: -1 * quantity.Metre, Return: quantity.Length(math.NaN()), Temperature: 20 * quantity.Kelvin,
		Allowance: -0.1, Contacts: quantity.Resistance(math.Inf(1)),
	}
	err := bad.Validate()
	want := []string{
		`conductor: "": is missing beside a length; want a gauge such as "10 AWG"`, `length: "-1000 mm": must not be negative`, "return length: ",
		`temperature: "-253.1 °C": must lie from -60 °C to 250 °C`, `allowance: "-0.1": must not be negative`, "contacts: ",
	}
	lines := strings.Split(err.Error(), "\n")
	if len(lines) != len(want) || !errors.Is(err, quantity.ErrRange) {
		t.Fatalf("error %q, want %d lines", err, len(want))
	}
	for i, line := range lines {
		if !strings.HasPrefix(line, want[i]) {
			t.Errorf("line %d is %q, want it to start %q", i+1, line, want[i])
		}
	}
	if err := (Circuit{}).Validate(); err != nil {
		t.Errorf("the zero circuit: %v", err)
	}
}
