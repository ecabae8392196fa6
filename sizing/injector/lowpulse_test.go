package injector

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// The corrections of these tests are made up.
const (
	addedTimes  = "0.10 ms at 0.4 ms; 0.06 ms at 0.8 ms; 0.02 ms at 1.4 ms; 0 ms at 2 ms"
	lessTimes   = "-0.15 ms at 0.4 ms; -0.05 ms at 0.9 ms; 0 ms at 1.5 ms"
	flowFactors = "70 % at 0.4 ms; 90 % at 0.8 ms; 103 % at 1.4 ms; 100 % at 2 ms"
)

func mustLowPulse(t testing.TB, text string) LowPulse {
	t.Helper()
	l, err := ParseLowPulse(text)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// TestLowPulse works by hand.
func TestLowPulse(t *testing.T) {
	for _, tt := range []struct {
		table     string
		net, open float64 // ms
	}{
		{addedTimes, 0.4, 0.5}, {addedTimes, 0.6, 0.68}, {addedTimes, 1.4, 1.42}, {addedTimes, 2, 2}, {addedTimes, 5, 5}, {addedTimes, 0.2, 0.3}, {addedTimes, 0, 0.1},
		{lessTimes, 0.4, 0.25}, {lessTimes, 0.9, 0.85}, {lessTimes, 1.5, 1.5}, {lessTimes, 0.2, 0.05}, {lessTimes, 0.1, 0},
		{flowFactors, 0.28, 0.4}, {flowFactors, 0.72, 0.8}, {flowFactors, 0.48, 0.6}, {flowFactors, 1.4 * 1.03, 1.4}, {flowFactors, 2, 2}, {flowFactors, 7, 7}, {flowFactors, 0.14, 0.2}, {flowFactors, 0, 0},
		{"none", 0.3, 0.3},
	} {
		l := mustLowPulse(t, tt.table)
		if got := l.Open(quantity.Of(tt.net, quantity.Millisecond)).In(quantity.Millisecond); math.Abs(got-tt.open) > 1e-12 {
			t.Errorf("%s: open %.6f ms for %g, want %g", tt.table, got, tt.net, tt.open)
		}
	}
}

// TestLowPulseInverts: each way undoes the other, neither falls nor jumps.
func TestLowPulseInverts(t *testing.T) {
	for _, table := range []string{addedTimes, lessTimes, flowFactors, "none", "150 % at 0.5 ms; 1 at 3 ms", "0.4 ms at 0.1 ms; 0 ms at 0.6 ms"} {
		l := mustLowPulse(t, table)
		last, lastNet := l.Open(0), l.Net(0)
		for x := 0.0; x < 6e-3; x += 1e-6 {
			open := l.Open(quantity.Time(x))
			if !(open >= last && open-last < 6e-6) {
				t.Fatalf("%s: open from %v to %v at %g s", table, last, open, x)
			}
			net := l.Net(quantity.Time(x))
			if !(net >= lastNet && net-lastNet < 6e-6) {
				t.Fatalf("%s: net from %v to %v at %g s", table, lastNet, net, x)
			}
			last, lastNet = open, net
			if back := float64(l.Net(open)); open > 0 && math.Abs(back-x) > 1e-15 {
				t.Fatalf("%s: %g s opens for %v and that gives %g", table, x, open, back)
			}
			if back := float64(l.Open(net)); net > 0 && math.Abs(back-x) > 1e-15 {
				t.Fatalf("%s: %g s gives %v and that opens for %g", table, x, net, back)
			}
		}
	}
}

func TestLowPulseCovers(t *testing.T) {
	for table, from := range map[string]float64{addedTimes: 0.4, flowFactors: 0.28, "none": 0} {
		l := mustLowPulse(t, table)
		if !l.Covers(quantity.Of(from*1.0001, quantity.Millisecond)) || from > 0 && l.Covers(quantity.Of(from*0.999, quantity.Millisecond)) {
			t.Errorf("%s does not cover from %g ms on", table, from)
		}
	}
	if got := mustLowPulse(t, flowFactors).Ends(); got != 2*quantity.Millisecond || (LowPulse{}).Ends() != 0 {
		t.Errorf("ends at %v", got)
	}
}

func TestLowPulseRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"":                                   `no " at "`,
		"0.08 ms":                            `no " at "`,
		"0.08 ms at 0.6 ms":                  "at least two rows",
		"0.08 V at 0.6 ms; 0 ms at 2 ms":     "is neither a time nor a factor",
		"0.08 ms at 0.6 V; 0 ms at 2 ms":     `unknown unit "V"`,
		"0.08 ms at 0.6 ms; 0.02 ms at 2 ms": `row 2: "0.02 ms at 2 ms": the last row must be none`,
		"82 % at 0.6 ms; 99 % at 2 ms":       "the last row must be none",
		"82 % at 0.6 ms; 0 ms at 2 ms":       "row 2: \"0 ms at 2 ms\": added times and flow factors do not mix",
		"0.08 ms at 2 ms; 0 ms at 0.6 ms":    "the pulse must exceed that of the row before, 0.08 ms at 2 ms",
		"0.08 ms at 2 ms; 0 ms at 2 ms":      "the pulse must exceed",
		"2 ms at 0.6 ms; 0 ms at 2 ms":       "more fuel would take no more time",
		"400 % at 1 ms; 100 % at 2 ms":       "more fuel would take no more time",
		"-0.6 ms at 0.6 ms; 0 ms at 2 ms":    "the added time leaves nothing of the pulse",
		"0 at 0.6 ms; 1 at 2 ms":             "the flow factor must be greater than zero",
		"-5 % at 0.6 ms; 1 at 2 ms":          "the flow factor must be greater than zero",
		"82 at 0.6 ms; 1 at 2 ms":            "not above 10",
		"0.08 ms at 0 ms; 0 ms at 2 ms":      "the pulse must be greater than zero",
		"0.08 ms at 600 s; 0 ms at 700 s":    "the pulse must not exceed 1000 ms",
		"9 s at 0.6 ms; 0 ms at 2 ms":        "the added time must lie within 1000 ms",
		"1e999 at 0.6 ms; 0 ms at 2 ms":      "too large",
	} {
		before := mustLowPulse(t, addedTimes)
		l := before
		err := l.UnmarshalText([]byte(text))
		var pe *quantity.ParseError
		if !errors.As(err, &pe) || !strings.Contains(err.Error(), want) || pe.Accepted == "" {
			t.Errorf("%q: error %v, want %q and what is accepted", text, err, want)
		}
		if l.String() != before.String() {
			t.Errorf("%q: changed the correction", text)
		}
	}
	for _, bad := range []LowPulsePoint{
		{Pulse: quantity.Time(math.NaN())}, {Pulse: 1 * quantity.Millisecond, Added: quantity.Time(math.NaN())},
		{Pulse: 1 * quantity.Millisecond, Factor: quantity.Ratio(math.NaN())}, {Pulse: 1 * quantity.Millisecond, Factor: 0.9, Added: 1 * quantity.Microsecond},
	} {
		if _, err := NewLowPulse(bad, LowPulsePoint{Pulse: 2 * quantity.Millisecond}); !errors.Is(err, quantity.ErrRange) || !strings.HasPrefix(err.Error(), "row 1: ") {
			t.Errorf("%+v: %v", bad, err)
		}
	}
}

func TestLowPulsePrints(t *testing.T) {
	if got := mustLowPulse(t, "80us at 0.6ms; 0ms at 2ms").String(); got != "0.08 ms at 0.6 ms; 0 ms at 2 ms" {
		t.Errorf("String: %q", got)
	}
	if got := mustLowPulse(t, "82 % at 0.6ms; 1 at 2ms").String(); got != "0.82 at 0.6 ms; 1 at 2 ms" {
		t.Errorf("String: %q", got)
	}
	for _, accepts := range []string{LowPulse{}.Accepts(), LowPulsePoint{}.Accepts()} {
		if !strings.Contains(accepts, "0.08 ms at 0.6 ms") {
			t.Errorf("Accepts: %q", accepts)
		}
	}
	rows := mustLowPulse(t, addedTimes).Rows()
	l, err := NewLowPulse(rows...)
	rows[0].Added = 0
	l.Rows()[0].Added = 0
	if got := l.Open(0); err != nil || got != 0.1*quantity.Millisecond {
		t.Errorf("the rows are a way in: %v, %v", got, err)
	}
	for _, bad := range []LowPulsePoint{{Pulse: quantity.Time(math.Inf(1))}, {Added: quantity.Time(math.NaN())}, {Factor: quantity.Ratio(math.Inf(1))}} {
		if text, err := bad.MarshalText(); err == nil {
			t.Errorf("%v is written %q", bad, text)
		}
	}
}

// FuzzParseLowPulse: whatever reads is written so that it reads back the same, and
// undoes itself.
func FuzzParseLowPulse(f *testing.F) {
	for _, seed := range []string{
		addedTimes, lessTimes, flowFactors, "none", "0 ms at 1 ms; 0 ms at 2 ms", "1 at 1 ms; 1 at 2 ms", "0.5 at 1e-300 s; 1 at 1 ms",
		"-0 s at 1 ms; -0 s at 2 ms", ";", " at ; at ", "10 at 1 ms; 1 at 900 ms", "1e-300 at 1 ms; 1 at 2 ms",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		l, err := ParseLowPulse(text)
		if err != nil {
			if !l.IsZero() {
				t.Errorf("%q: correction %v with error %v", text, l, err)
			}
			return
		}
		written, err := l.MarshalText()
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		var back LowPulse
		if err := back.UnmarshalText(written); err != nil {
			t.Fatalf("%q: written %q, which does not read: %v", text, written, err)
		}
		for _, p := range l.Rows() {
			one, err := p.MarshalText()
			if err != nil {
				t.Fatalf("%v: %v", p, err)
			}
			var again LowPulsePoint
			if err := again.UnmarshalText(one); err != nil || again != p {
				t.Errorf("%v: written %q, reads as %v, %v", p, one, again, err)
			}
			for _, x := range []quantity.Time{p.Pulse, p.Pulse / 2, 1.1 * p.Pulse, p.Pulse + 1*quantity.Microsecond} {
				open := l.Open(x)
				if back.Open(x) != open || back.Net(x) != l.Net(x) {
					t.Errorf("%q reads back otherwise at %v", text, x)
				}
				if net := l.Net(open); open > 0 && !(math.Abs(float64(net-x)) <= 1e-9*float64(x)+1e-15) {
					t.Errorf("%q: %v opens for %v and that gives %v", text, x, open, net)
				}
			}
		}
	})
}

func BenchmarkLowPulse(b *testing.B) {
	for name, table := range map[string]string{"added": addedTimes, "factor": flowFactors} {
		l := mustLowPulse(b, table)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				l.Net(l.Open(1.1 * quantity.Millisecond))
			}
		})
	}
}
