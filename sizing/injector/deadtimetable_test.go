package injector

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// A made-up table, its rows out of order: no published one was found.
const madeUpTable = "1.35 ms at 12 V and 3 bar; 1.05 ms at 13.5 V and 3 bar; 1.9 ms at 10 V and 3 bar; " +
	"2.2 ms at 10 V and 5 bar; 1.15 ms at 13.5 V and 5 bar; 1.5 ms at 12 V and 5 bar; " +
	"1.0 ms at 13.5 V and 2 bar; 1.8 ms at 10 V and 2 bar; 1.3 ms at 12 V and 2 bar"

func TestDeadTimeTable(t *testing.T) {
	d := mustDeadTime(t, madeUpTable)
	if !d.HasVoltages() || !d.HasPressures() {
		t.Fatal("the table depends on nothing")
	}
	for _, p := range d.Points() {
		near(t, "dead time at "+p.String(), float64(d.AtPressure(p.Voltage, p.Pressure)), float64(p.Time), 1e-15)
	}
	const ms = quantity.Millisecond
	for _, tt := range []struct {
		name  string
		volts quantity.Voltage
		bar   float64
		want  float64 // ms
	}{
		{"half way between two pressures", 12 * quantity.Volt, 4, 1.425},
		{"a fifth of the way", 13.5 * quantity.Volt, 2.2, 1.01},
		{"below the pressures", 12 * quantity.Volt, 1, 1.3},
		{"above the pressures", 12 * quantity.Volt, 9, 1.5},
		{"below the voltages", 8 * quantity.Volt, 4, 2.05},
		{"above the voltages", 16 * quantity.Volt, 2, 1.0},
		{"backwards", 12 * quantity.Volt, -1, 1.3},
	} {
		if got := d.AtPressure(tt.volts, quantity.Of(tt.bar, quantity.BarDiff)).In(ms); math.Abs(got-tt.want) > 1e-12 {
			t.Errorf("%s: %.6f ms, want %g", tt.name, got, tt.want)
		}
	}
	// Without a pressure it is the longest of the table.
	if got := d.At(12 * quantity.Volt); got != 1.5*ms {
		t.Errorf("at 12 V: %v, want the longest, 1.5 ms", got)
	}
}

// TestDeadTimeBilinear: with two voltages and two pressures the cubic is a straight
// line, and the table the textbook's bilinear interpolation.
func TestDeadTimeBilinear(t *testing.T) {
	d := mustDeadTime(t, "1.4 ms at 12 V and 3 bar; 1 ms at 14 V and 3 bar; 1.6 ms at 12 V and 5 bar; 1.1 ms at 14 V and 5 bar")
	random := rand.New(rand.NewPCG(13, 14))
	for range 500 {
		x, y := random.Float64(), random.Float64()
		want := 1.4*(1-x)*(1-y) + 1*x*(1-y) + 1.6*(1-x)*y + 1.1*x*y
		got := d.AtPressure(quantity.Of(12+2*x, quantity.Volt), quantity.Of(3+2*y, quantity.BarDiff))
		near(t, "dead time in ms", got.In(quantity.Millisecond), want, 1e-12)
	}
}

// TestDeadTimeTableLikeList: a table that says the same at every pressure is the list,
// and a list is its own table.
func TestDeadTimeTableLikeList(t *testing.T) {
	list := mustDeadTime(t, "1.9 ms at 10 V; 1.35 ms at 12 V; 1.05 ms at 13.5 V")
	table := mustDeadTime(t, "1.9 ms at 10 V and 2 bar; 1.35 ms at 12 V and 2 bar; 1.05 ms at 13.5 V and 2 bar; 1.9 ms at 10 V and 4 bar; 1.35 ms at 12 V and 4 bar; 1.05 ms at 13.5 V and 4 bar")
	for v := 8 * quantity.Volt; v < 16*quantity.Volt; v += 0.1 * quantity.Volt {
		for _, dp := range []quantity.PressureDiff{0, 2 * quantity.BarDiff, 3.3 * quantity.BarDiff, 6 * quantity.BarDiff} {
			near(t, "table", float64(table.AtPressure(v, dp)), float64(list.At(v)), 1e-15)
			if got := list.AtPressure(v, dp); got != list.At(v) {
				t.Fatalf("a list depends on %v", dp)
			}
		}
	}
	if list.HasPressures() || (DeadTime{}).HasPressures() || (DeadTime{}).AtPressure(12*quantity.Volt, 3*quantity.BarDiff) != 0 {
		t.Error("pressure without a table")
	}
}

// TestDeadTimeTableSmooth: it never rises with voltage, and has no break in voltage
// or pressure.
func TestDeadTimeTableSmooth(t *testing.T) {
	d := mustDeadTime(t, madeUpTable)
	for dp := 1 * quantity.BarDiff; dp < 6*quantity.BarDiff; dp += 0.05 * quantity.BarDiff {
		last := d.AtPressure(8*quantity.Volt, dp)
		for v := 8 * quantity.Volt; v < 15*quantity.Volt; v += 5 * quantity.Millivolt {
			now := d.AtPressure(v, dp)
			if now > last || last-now > 0.005*quantity.Millisecond {
				t.Fatalf("from %v to %v at %v and %v", last, now, v, dp)
			}
			last = now
		}
	}
	for v := 9 * quantity.Volt; v < 15*quantity.Volt; v += 0.25 * quantity.Volt {
		last := d.AtPressure(v, 1*quantity.BarDiff)
		for dp := 1 * quantity.BarDiff; dp < 6*quantity.BarDiff; dp += 1 * quantity.KilopascalDiff {
			now := d.AtPressure(v, dp)
			if math.Abs(float64(now-last)) > 3e-6 {
				t.Fatalf("from %v to %v at %v and %v", last, now, v, dp)
			}
			last = now
		}
	}
}

func TestDeadTimeTableCovers(t *testing.T) {
	table, list, one := mustDeadTime(t, madeUpTable), mustDeadTime(t, madeUp), mustDeadTime(t, "1.05 ms at 13.5 V and 3 bar")
	for _, tt := range []struct {
		d          DeadTime
		volts, bar float64
		want       bool
	}{
		{table, 12, 3, true}, {table, 10, 2, true}, {table, 13.5, 5, true}, {table, 9.9, 3, false}, {table, 12, 1.99, false}, {table, 12, 5.01, false},
		{list, 12, 99, true}, {list, 7, 3, false}, {one, 13.5, 3, true}, {one, 13.5, 3.1, false}, {one, 13, 3, false}, {DeadTime{}, 12, 3, false},
	} {
		if got := tt.d.CoversPressure(quantity.Of(tt.volts, quantity.Volt), quantity.Of(tt.bar, quantity.BarDiff)); got != tt.want {
			t.Errorf("%v covers %g V and %g bar: %v", tt.d, tt.volts, tt.bar, got)
		}
	}
	if one.HasPressures() || one.AtPressure(9*quantity.Volt, 9*quantity.BarDiff) != one.At(0) {
		t.Error("a single point depends on pressure")
	}
}

func TestDeadTimeTableRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"1.05 ms at 13.5 V and":                  `unknown unit "V and"`,
		"1.05 ms at 13.5 V and 3":                "the unit is missing",
		"1.05 ms at 13.5 V and 0 bar":            "the pressure must be greater than zero",
		"1.05 ms at 13.5 V and -3 bar":           "the pressure must be greater than zero",
		"1.05 ms at 3 bar":                       `unknown unit "bar"`,
		"1.05 ms at 13.5 V and 3 bara":           "an absolute pressure cannot stand for",
		"1 ms at 12 V and 3e9 bar":               "the pressure must not exceed",
		"1.4 ms at 12 V and 3 bar; 1 ms at 14 V": `point 2: "1 ms at 14 V": the pressure has to be given at every point or at none`,
		"1.4 ms at 12 V and 3 bar; 1 ms at 14 V and 3 bar; 1.5 ms at 12 V and 5 bar":                                   `point 3: "1.5 ms at 12 V and 500 kPa": the dead time at 14 V and 500 kPa is missing`,
		"1.4 ms at 12 V and 3 bar; 1 ms at 14 V and 5 bar; 1.5 ms at 12 V and 5 bar":                                   `point 2: "1 ms at 14 V and 500 kPa": the dead time at 14 V and 300 kPa is missing`,
		"1.4 ms at 12 V and 3 bar; 1.3 ms at 12 V and 3 bar":                                                           "point 2: ",
		"1 ms at 12 V and 3 bar; 1.3 ms at 13 V and 3 bar":                                                             `point 2: "1.3 ms at 13 V and 300 kPa": the dead time must not exceed that of the point before, 1 ms at 12 V and 300 kPa`,
		"1.4 ms at 12 V and 3 bar; 1 ms at 14 V and 3 bar; 1 ms at 14 V and 3.0001 bar; 1.4 ms at 12 V and 3.0001 bar": "the pressure lies too near to 300 kPa",
	} {
		d := mustDeadTime(t, "9 ms")
		err := d.UnmarshalText([]byte(text))
		var pe *quantity.ParseError
		if !errors.As(err, &pe) || !strings.Contains(err.Error(), want) || pe.Accepted == "" {
			t.Errorf("%q: error %v, want %q and what is accepted", text, err, want)
		}
		if d.At(0) != 9*quantity.Millisecond {
			t.Errorf("%q: changed the dead time", text)
		}
	}
	if _, err := NewDeadTime(DeadTimePoint{Time: 1 * quantity.Millisecond, Pressure: 3 * quantity.BarDiff}); err == nil || !strings.Contains(err.Error(), "a pressure needs a voltage before it") {
		t.Errorf("pressure without voltage: %v", err)
	}
}

func TestDeadTimeTablePrints(t *testing.T) {
	d := mustDeadTime(t, "1050us at 13.5V and 3bar")
	if got := d.String(); got != "1.05 ms at 13.5 V and 300 kPa" {
		t.Errorf("String: %q", got)
	}
	text, err := d.MarshalText()
	if err != nil || string(text) != "0.00105 s at 13.5 V and 300000 Pa" {
		t.Errorf("written %q, %v", text, err)
	}
}

func BenchmarkDeadTimeTable(b *testing.B) {
	d := mustDeadTime(b, madeUpTable)
	b.ReportAllocs()
	for b.Loop() {
		d.AtPressure(12.7*quantity.Volt, 4.2*quantity.BarDiff)
	}
}
