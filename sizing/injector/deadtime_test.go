package injector

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func mustDeadTime(t testing.TB, text string) DeadTime {
	t.Helper()
	d, err := ParseDeadTime(text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// The dead times of these tests are made up: no published table was found.
const madeUp = "3.2 ms at 8 V; 1.9 ms at 10 V; 1.35 ms at 12 V; 1.05 ms at 13.5 V; 0.9 ms at 15 V"

func TestDeadTimeAt(t *testing.T) {
	d := mustDeadTime(t, madeUp)
	for _, p := range d.Points() {
		near(t, "dead time at "+p.Voltage.String(), float64(d.At(p.Voltage)), float64(p.Time), 1e-15)
	}
	if got := d.At(6 * quantity.Volt); got != 3.2*quantity.Millisecond {
		t.Errorf("below the points: %v, want the first", got)
	}
	if got := d.At(16 * quantity.Volt); got != 0.9*quantity.Millisecond {
		t.Errorf("above the points: %v, want the last", got)
	}
	if got := mustDeadTime(t, "1.2 ms at 10 V; 1.0 ms at 14 V").At(11 * quantity.Volt); math.Abs(float64(got)-1.15e-3) > 1e-15 {
		t.Errorf("between two points: %v, want 1.15 ms on the straight line", got)
	}
}

// TestDeadTimeMonotone: it never rises with the voltage, does not jump and stays
// within the points around it.
func TestDeadTimeMonotone(t *testing.T) {
	for _, text := range []string{madeUp, "2 ms at 8 V; 1 ms at 9 V; 1 ms at 14 V; 0.2 ms at 14.1 V", "1 ms at 12 V; 1 ms at 14 V; 0 ms at 16 V"} {
		d := mustDeadTime(t, text)
		last := d.At(0)
		for v := quantity.Voltage(0); v < 20*quantity.Volt; v += 1 * quantity.Millivolt {
			now := d.At(v)
			if now > last || last-now > 0.03*quantity.Millisecond {
				t.Fatalf("%s: from %v to %v at %v", text, last, now, v)
			}
			last = now
		}
	}
}

func TestDeadTimeCovers(t *testing.T) {
	tests := []struct {
		text    string
		volts   quantity.Voltage
		covered bool
		at      quantity.Time
	}{
		{madeUp, 8 * quantity.Volt, true, 3.2 * quantity.Millisecond},
		{madeUp, 15 * quantity.Volt, true, 0.9 * quantity.Millisecond},
		{madeUp, 7.99 * quantity.Volt, false, 3.2 * quantity.Millisecond},
		{madeUp, 15.01 * quantity.Volt, false, 0.9 * quantity.Millisecond},
		{"1.05 ms", 9 * quantity.Volt, true, 1.05 * quantity.Millisecond},
		{"1.05 ms at 13.5 V", 13.5 * quantity.Volt, true, 1.05 * quantity.Millisecond},
		{"1.05 ms at 13.5 V", 12 * quantity.Volt, false, 1.05 * quantity.Millisecond},
	}
	for _, tt := range tests {
		d := mustDeadTime(t, tt.text)
		if got, at := d.Covers(tt.volts), d.At(tt.volts); got != tt.covered || at != tt.at {
			t.Errorf("%s at %v: covered %v, %v; want %v, %v", tt.text, tt.volts, got, at, tt.covered, tt.at)
		}
	}
	if mustDeadTime(t, "1.05 ms").HasVoltages() || !mustDeadTime(t, madeUp).HasVoltages() {
		t.Error("HasVoltages does not tell a table from a single time")
	}
	var none DeadTime
	if none.At(12*quantity.Volt) != 0 || none.Covers(12*quantity.Volt) || !none.IsZero() || none.HasVoltages() {
		t.Error("the zero value is not no dead time")
	}
}

func TestParseDeadTimeRefuses(t *testing.T) {
	tests := []struct{ text, want string }{
		{"", "no number found"},
		{"1.05", "the unit is missing"},
		{"1.05 ms at", `unknown unit "ms at"`},
		{"1.05 ms at 0 V", "the voltage must be greater than zero"},
		{"1.05 ms at -12 V", "the voltage must be greater than zero"},
		{"-1.05 ms at 12 V", "a dead time must not be negative"},
		{"1,05 ms at 12 V", "a comma in a number is ambiguous"},
		{"1.05 s at 12 V", "a dead time must not exceed 100 ms"},
		{"1.05 ms at 12 kV", `unknown unit "kV"`},
		{"1.05 ms at 12000 V", "the voltage must not exceed 1000 V"},
		{"12 V at 1.05 ms", `unknown unit "V"`},
		{"1.35 ms at 12 V; 1.05 ms", `point 2: "1.05 ms": the voltage is missing`},
		{"1.35 ms at 12 V; 1.05 ms at 12 V", `point 2: "1.05 ms at 12 V": the voltage must exceed that of the point before, 1.35 ms at 12 V`},
		{"1.35 ms at 12 V; 1.05 ms at 10 V", "point 2: "},
		{"1.05 ms at 12 V; 1.35 ms at 13.5 V", "the dead time must not exceed that of the point before"},
		{"1.05 ms at 12 V; 1 ms at 12.0001 V", "the voltage must exceed"},
		{"1.35 ms at 12 V;", "no number found"},
	}
	for _, tt := range tests {
		d := mustDeadTime(t, "9 ms")
		err := d.UnmarshalText([]byte(tt.text))
		var pe *quantity.ParseError
		if !errors.As(err, &pe) || !strings.Contains(err.Error(), tt.want) || pe.Accepted == "" {
			t.Errorf("%q: error %v, want %q and what is accepted", tt.text, err, tt.want)
		}
		if d.At(0) != 9*quantity.Millisecond {
			t.Errorf("%q: changed the dead time", tt.text)
		}
	}
	if _, err := NewDeadTime(); err == nil {
		t.Error("made a dead time of no points")
	}
	if _, err := NewDeadTime(DeadTimePoint{Time: quantity.Time(math.NaN())}); err == nil {
		t.Error("made a dead time that is no number")
	}
	if _, err := NewDeadTime(DeadTimePoint{Time: 1 * quantity.Millisecond, Voltage: quantity.Voltage(math.Inf(1))}); err == nil {
		t.Error("made a dead time at an infinite voltage")
	}
}

// TestDeadTimeKeepsItsPoints: neither the slice given nor the one returned is a way in.
func TestDeadTimeKeepsItsPoints(t *testing.T) {
	points := mustDeadTime(t, madeUp).Points()
	d, err := NewDeadTime(points...)
	if err != nil {
		t.Fatal(err)
	}
	points[0].Time = 0
	d.Points()[0].Time = 0
	if got := d.At(8 * quantity.Volt); got != 3.2*quantity.Millisecond {
		t.Errorf("dead time became %v", got)
	}
}

func TestDeadTimePrints(t *testing.T) {
	for _, accepts := range []string{DeadTime{}.Accepts(), DeadTimePoint{}.Accepts()} {
		if !strings.Contains(accepts, "1.05 ms at 13.5 V") {
			t.Errorf("Accepts: %q", accepts)
		}
	}
	if got := mustDeadTime(t, "1350us at 12V;1.05ms at 13.5V").String(); got != "1.35 ms at 12 V; 1.05 ms at 13.5 V" {
		t.Errorf("String: %q", got)
	}
	if got := (DeadTime{}).String(); got != "no dead time" {
		t.Errorf("zero: %q", got)
	}
	if text, err := (DeadTime{}).MarshalText(); err == nil {
		t.Errorf("no dead time is written %q", text)
	}
}

// FuzzParseDeadTime: whatever reads is written so that it reads back the same, and
// at every voltage gives a time between its ends.
func FuzzParseDeadTime(f *testing.F) {
	for _, seed := range []string{
		madeUp, madeUpTable, "1.05 ms at 13.5 V and 3 bar", "1 ms at 1 V and 1e-300 Pa", "1 ms and 3 bar", "1 ms at 1 V and 1 Pa; 1 ms at 1 V and 2 Pa", "1.05 ms", "1.05 ms at 13.5 V", "0 s", "1.35 ms at 12 V; 1.05 ms at 13.5 V",
		"0.1 s at 1e-300 V; 1e-300 s at 0.001 V; 0 s at 1000 V", "1e10 s at 1 V; 1 s at 2 V; 0 s at 1e300 V", ";", "1 ms at 12 V at 3",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		d, err := ParseDeadTime(text)
		if err != nil {
			if !d.IsZero() {
				t.Errorf("%q: dead time %v with error %v", text, d, err)
			}
			return
		}
		written, err := d.MarshalText()
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		var back DeadTime
		if err := back.UnmarshalText(written); err != nil {
			t.Fatalf("%q: written %q, which does not read: %v", text, written, err)
		}
		points := d.Points()
		low, high := points[0].Time, points[0].Time
		for _, p := range points {
			low, high = min(low, p.Time), max(high, p.Time)
		}
		for _, p := range points {
			one, err := p.MarshalText()
			if err != nil {
				t.Fatalf("%v: %v", p, err)
			}
			var again DeadTimePoint
			if err := again.UnmarshalText(one); err != nil || again != p {
				t.Errorf("%v: written %q, reads as %v, %v", p, one, again, err)
			}
			for _, v := range []quantity.Voltage{p.Voltage, p.Voltage / 2, 1.1 * p.Voltage, p.Voltage + 1*quantity.Volt} {
				if got := d.AtPressure(v, 1.1*p.Pressure); !(got >= low && got <= high) || back.AtPressure(v, 1.1*p.Pressure) != got {
					t.Errorf("%q: %v at %v and %v, want from %v to %v", text, got, v, 1.1*p.Pressure, low, high)
				}
				if got := d.At(v); !(got >= low && got <= high) || back.At(v) != got {
					t.Errorf("%q: %v at %v, %v when read back; want from %v to %v", text, got, v, back.At(v), low, high)
				}
			}
		}
	})
}

func BenchmarkDeadTime(b *testing.B) {
	d := mustDeadTime(b, madeUp)
	b.ReportAllocs()
	for b.Loop() {
		d.At(12.7 * quantity.Volt)
	}
}

// TestShifted wants a shift added at every voltage and pressure, and no time below zero.
// (Independent arithmetic.)
func TestShifted(t *testing.T) {
	d, err := NewDeadTime(
		DeadTimePoint{Time: 1.3 * quantity.Millisecond, Voltage: 12 * quantity.Volt, Pressure: 3 * quantity.BarDiff},
		DeadTimePoint{Time: 0.9 * quantity.Millisecond, Voltage: 14 * quantity.Volt, Pressure: 3 * quantity.BarDiff},
		DeadTimePoint{Time: 1.5 * quantity.Millisecond, Voltage: 12 * quantity.Volt, Pressure: 5 * quantity.BarDiff},
		DeadTimePoint{Time: 1.1 * quantity.Millisecond, Voltage: 14 * quantity.Volt, Pressure: 5 * quantity.BarDiff},
	)
	if err != nil {
		t.Fatal(err)
	}
	const by = 0.05 * quantity.Millisecond
	later, sooner := d.Shifted(by), d.Shifted(-2*quantity.Millisecond)
	for v := 11 * quantity.Volt; v < 16*quantity.Volt; v += 0.37 * quantity.Volt {
		for p := 2 * quantity.BarDiff; p < 6*quantity.BarDiff; p += 0.3 * quantity.BarDiff {
			if got, want := later.AtPressure(v, p), d.AtPressure(v, p)+by; math.Abs(float64(got-want)) > 1e-15 {
				t.Errorf("at %v and %v: %v, want %v", v, p, got, want)
			}
			if got := sooner.AtPressure(v, p); got != 0 {
				t.Errorf("shifted below zero: %v", got)
			}
		}
		if got, want := later.At(v), d.At(v)+by; math.Abs(float64(got-want)) > 1e-15 {
			t.Errorf("at %v: %v, want %v", v, got, want)
		}
	}
	if twice := later.Shifted(-by).At(12 * quantity.Volt); math.Abs(float64(twice-d.At(12*quantity.Volt))) > 1e-15 {
		t.Errorf("there and back: %v", twice)
	}
}
