package spread_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/uncertainty/spread"
)

// of is the scale of a quantity.
type of[Q quantity.Quantity] struct{}

func (of[Q]) Parse(text string) (float64, error) {
	q, err := quantity.Parse[Q](text)
	return float64(q), err
}

func (of[Q]) Scale(unit string) (string, func(float64) float64, func(float64) float64, error) {
	symbol, number, si, err := quantity.Scale[Q](unit)
	if err != nil {
		return "", nil, nil, err
	}
	return symbol, func(v float64) float64 { return number(Q(v)) }, func(v float64) float64 { return float64(si(v)) }, nil
}

var (
	volts   = of[quantity.Voltage]{}
	degrees = of[quantity.Temperature]{}
	shares  = of[quantity.Ratio]{}
	flows   = of[quantity.MassFlow]{}
	metres  = of[quantity.Length]{}
)

const poundPerHour = 0.45359237 / 3600 // kg/s

func TestParse(t *testing.T) {
	for _, tt := range []struct {
		text string
		of   spread.Scale
		want spread.Spread
	}{
		{"12.8..13.6 V", volts, one(spread.NewUniform(12.8, 13.6))},
		{" 12.8 V .. 13.6 V ", volts, one(spread.NewUniform(12.8, 13.6))},
		{"12.8V..13.6", volts, one(spread.NewUniform(12.8, 13.6))},
		{"12800 mV..13.6 V", volts, one(spread.NewUniform(12.8, 13.6))},
		{"uniform 12.8, 13.6 V", volts, one(spread.NewUniform(12.8, 13.6))},
		{"-0.1..0.1 m", metres, one(spread.NewUniform(-0.1, 0.1))},
		{"1e-3..2E-3 m", metres, one(spread.NewUniform(1e-3, 2e-3))},
		{"142 lb/h +- 2 %", flows, one(spread.NewUniform(142*0.98*poundPerHour, 142*1.02*poundPerHour))},
		{"142 lb/h ± 3 lb/h", flows, one(spread.NewUniform(139*poundPerHour, 145*poundPerHour))},
		{"142 +/- 3 lb/h", flows, one(spread.NewUniform(139*poundPerHour, 145*poundPerHour))},
		{"142 lb/h±3", flows, one(spread.NewUniform(139*poundPerHour, 145*poundPerHour))},
		{"35..45 degC", degrees, one(spread.NewUniform(308.15, 318.15))},
		{"35 degC +- 3 K", degrees, one(spread.NewUniform(305.15, 311.15))},
		{"35 degC +- 9 degF", degrees, one(spread.NewUniform(303.15, 313.15))},
		{"normal 35 degC, 3 degC", degrees, one(spread.NewNormal(308.15, 3))},
		{"normal 35, 3 degC", degrees, one(spread.NewNormal(308.15, 3))},
		{"Normal 0.95, 0.02", shares, one(spread.NewNormal(0.95, 0.02))},
		{"normal 95 %, 2 %", shares, one(spread.NewNormal(0.95, 0.02))},
		{"normal 142 lb/h, 2 %", flows, one(spread.NewNormal(142*poundPerHour, 142*0.02*poundPerHour))},
		{"normal 5 %, 2 % within 0..12 %", shares, one(spread.NewCutNormal(0.05, 0.02, 0, 0.12))},
		{"0.80 +- 0.02", shares, one(spread.NewUniform(0.78, 0.82))},
		{"80..85 %", shares, one(spread.NewUniform(0.80, 0.85))},
		{"triangular 12.8, 13.4, 13.6 V", volts, one(spread.NewTriangular(12.8, 13.4, 13.6))},
		{"lognormal 142 lb/h, 5 %", flows, one(spread.NewLognormal(142*poundPerHour, 0.05))},
	} {
		if !spread.Stated(tt.text) {
			t.Errorf("%q is not taken for a distribution", tt.text)
		}
		got, err := spread.Parse(tt.text, tt.of)
		if err != nil {
			t.Errorf("%q: %v", tt.text, err)
			continue
		}
		if got.Kind() != tt.want.Kind() {
			t.Errorf("%q is %s, want %s", tt.text, got.Kind(), tt.want.Kind())
		}
		for _, p := range []float64{0, 0.01, 0.5, 0.99, 1} {
			if g, w := got.Quantile(p), tt.want.Quantile(p); g != w && !(math.Abs(g-w) <= 1e-12*math.Abs(w)) {
				t.Errorf("%q: quantile %g is %g, want %g", tt.text, p, g, w)
			}
		}
	}
}

func TestPlainTextIsNoDistribution(t *testing.T) {
	for _, text := range []string{"", "142 lb/h", "E70", "50 % toluene + 50 % isooctane", "-3 m", "1e-3 m", "normality", "440 cc/min at 3 bar on n-heptane at 21 degC"} {
		if spread.Stated(text) {
			t.Errorf("%q is taken for a distribution", text)
		}
	}
}

func TestParseErrors(t *testing.T) {
	for _, tt := range []struct {
		text string
		of   spread.Scale
		says string
	}{
		{"13.6..12.8 V", volts, "the upper end must lie above the lower one"},
		{"12.8..12.8 V", volts, "the upper end must lie above the lower one"},
		{"12.8..13.6", volts, "the unit is missing"},
		{"12.8..13.6 W", volts, `unknown unit "W"`},
		{"12,8..13,6 V", volts, "comma"},
		{"..13.6 V", volts, "no number found"},
		{"12.8.. V", volts, "no number found"},
		{"12.8...13.6 V", volts, "is no range"},
		{"12..13..14 V", volts, "is no range"},
		{"12.8 V +- ", volts, "is no number"},
		{"12.8 V +- 0 V", volts, "tolerance must be greater than zero"},
		{"12.8 V +- -1 V", volts, "tolerance must be greater than zero"},
		{"12.8 V +- 1 A", volts, "unknown unit"},
		{"+- 3 V", volts, "no number found"},
		{"98 % +- 2 %", shares, `2 % of a share can mean "96..100 %" or "96.04..99.96 %"; write the one that is meant`},
		{"0.98 +- 2 %", shares, `"96..100 %" or "96.04..99.96 %"`},
		{"98 +- 2 %", shares, "write the one that is meant"},
		{"normal 0.98, 2 %", shares, "say the unit of both numbers"},
		{"normal 13.2 V", volts, "normal has 2 numbers, not 1: normal MEAN, SD"},
		{"normal 13.2, 0 V", volts, "standard deviation must be greater than zero"},
		{"normal 13.2, 0.2 V within 20..21 V", volts, "next to nothing of it lies within"},
		{"uniform 12, 14 V within 12..13 V", volts, "only a normal distribution takes limits"},
		{"triangular 12, 15, 14 V", volts, "the numbers must rise"},
		{"lognormal 142 lb/h, 3 lb/h", flows, "is no percentage"},
		{"lognormal 142 lb/h, -3 %", flows, "greater than zero"},
		{"normal", volts, "has 2 numbers"},
		{"-400..20 degC", degrees, "below the least possible value"},
	} {
		_, err := spread.Parse(tt.text, tt.of)
		var pe *quantity.ParseError
		if !errors.As(err, &pe) {
			t.Errorf("%q gives %v, want a *quantity.ParseError", tt.text, err)
			continue
		}
		if pe.Text != tt.text || !strings.Contains(pe.Reason, tt.says) || pe.Accepted == "" {
			t.Errorf("%q gives %v, want it to say %q", tt.text, err, tt.says)
		}
	}
}

// FuzzParse wants no panic, and of every text that is read a distribution whose values
// rise and are finite.
func FuzzParse(f *testing.F) {
	for _, seed := range []string{
		"12.8..13.6 V", "142 V ± 2 %", "normal 5, 2 V within 0..12 V", "triangular 1, 2, 3 V", "lognormal 1 V, 5 %",
		"1e308..2e308 V", "-1e308 .. 1e308 V", "normal 1e-320, 1e-320 V", "1 V +- 1e-20 V", "lognormal 1 V, 1e308 %", "..", "+-", "normal 1, 1, 1",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := spread.Parse(text, volts)
		if err != nil {
			var pe *quantity.ParseError
			if !errors.As(err, &pe) || pe.Reason == "" {
				t.Fatalf("%q: error without a reason: %v", text, err)
			}
			return
		}
		last := math.Inf(-1)
		for p := 0.001; p < 1; p += 0.001 {
			v := s.Quantile(p)
			if math.IsNaN(v) || v < last {
				t.Fatalf("%q: quantile %g is %g after %g", text, p, v, last)
			}
			last = v
		}
		if m := s.Median(); math.IsInf(m, 0) {
			t.Fatalf("%q: median %g", text, m)
		}
	})
}
