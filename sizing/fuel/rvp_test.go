package fuel

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestGasolineVapourPressureTable holds the equation against the true vapour
// pressures in psi that AP-42, table 7.1-2 (older edition), prints for motor gasoline
// from 40 to 100 °F; secondary, read in public code. They are
// rounded, and seem to be read from a nomograph: 2.5 % is allowed.
func TestGasolineVapourPressureTable(t *testing.T) {
	table := map[float64][7]float64{
		13: {4.7, 5.7, 6.9, 8.3, 9.9, 11.7, 13.8},
		10: {3.4, 4.2, 5.2, 6.2, 7.4, 8.8, 10.5},
		7:  {2.3, 2.9, 3.5, 4.3, 5.2, 6.2, 7.4},
	}
	for rvp, row := range table {
		for i, want := range row {
			at := quantity.Fahrenheit(40 + 10*float64(i))
			got, err := GasolineVapourPressure(quantity.Of(rvp, quantity.PSIA), at, 0)
			if err != nil {
				t.Fatal(err)
			}
			if p := got.In(quantity.PSIA); math.Abs(p-want) > 0.05+0.025*want {
				t.Errorf("RVP %v psi at %v: %.3f psi, want %v", rvp, at, p, want)
			}
		}
	}
}

// TestGasolineVapourPressureConstants holds the line against the constants A and B
// that AP-42, table 7.1-2 (newer edition), prints for a slope of 3; secondary.
func TestGasolineVapourPressureConstants(t *testing.T) {
	for rvp, want := range map[float64][2]float64{13: {11.644, 5043.6}, 10: {11.724, 5237.3}, 7: {11.833, 5500.6}} {
		ln := func(f float64) float64 {
			p, err := GasolineVapourPressure(quantity.Of(rvp, quantity.PSIA), quantity.Fahrenheit(f), 3)
			if err != nil {
				t.Fatal(err)
			}
			return math.Log(p.In(quantity.PSIA))
		}
		const cold, hot = 40.0, 100.0
		b := (ln(hot) - ln(cold)) / (1/(cold+459.67) - 1/(hot+459.67))
		a := ln(cold) + b/(cold+459.67)
		within(t, fmt.Sprintf("A at RVP %v", rvp), a, want[0], 0.0005/want[0])
		within(t, fmt.Sprintf("B at RVP %v", rvp), b, want[1], 0.05/want[1])
	}
}

// The gasoline of the table of constituents is this equation at 9 psi.
func TestGasolineVapourPressureMeetsTheTable(t *testing.T) {
	sweep(quantity.Celsius(-20), quantity.Celsius(80), func(at quantity.Temperature) {
		got, err := GasolineVapourPressure(9*quantity.PSIA, at, GasolineSlope)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "vapour pressure at "+at.String(), float64(lookup(t, "gasoline").VapourPressure(at)), float64(got), 0.005)
	})
}

func TestGasolineVapourPressureRises(t *testing.T) {
	last := map[float64]quantity.Pressure{}
	for f := -20.0; f <= 210; f += 5 {
		var lighter quantity.Pressure
		for rvp := 1.0; rvp <= 20; rvp++ {
			p, err := GasolineVapourPressure(quantity.Of(rvp, quantity.PSIA), quantity.Fahrenheit(f), 0)
			if err != nil {
				t.Fatal(err)
			}
			if p <= lighter || p <= last[rvp] {
				t.Fatalf("pressure does not rise to RVP %v psi, %v °F", rvp, f)
			}
			lighter, last[rvp] = p, p
		}
	}
}

func TestGasolineVapourPressureRefuses(t *testing.T) {
	warm := quantity.Celsius(20)
	nan := quantity.Temperature(math.NaN())
	for _, tt := range []struct {
		rvp   quantity.Pressure
		t     quantity.Temperature
		slope quantity.Ratio
	}{
		{0.9 * quantity.PSIA, warm, 0}, {21 * quantity.PSIA, warm, 0}, {9 * quantity.PSIA, quantity.Celsius(-31), 0},
		{9 * quantity.PSIA, quantity.Celsius(101), 0}, {9 * quantity.PSIA, warm, 0.9}, {9 * quantity.PSIA, warm, 6},
		{9 * quantity.PSIA, warm, -1}, {9 * quantity.PSIA, nan, 0},
	} {
		if p, err := GasolineVapourPressure(tt.rvp, tt.t, tt.slope); !errors.Is(err, quantity.ErrRange) || p != 0 {
			t.Errorf("%v, %v, %v: %v, %v, want an error", tt.rvp, tt.t, tt.slope, p, err)
		}
	}
}
