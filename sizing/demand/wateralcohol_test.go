package demand

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// TestReplacedByHand: 10 g/s of half methanol by mass carry 5 g/s of methanol, which
// needs 5 · 6.4735 g/s of air; gasoline would have burnt 32.368/14.6035 = 2.2164 g/s
// with it (ratios by independent arithmetic, 20.946 % oxygen in dry air). By heat it
// is 5 · 20.09/43.44 (heating values of the AFDC, US Department of Energy).
func TestReplacedByHand(t *testing.T) {
	w := WaterMethanol{Flow: grams(10), Methanol: 0.5, Burnt: 1}
	gasoline := blend(t, "gasoline")
	if got := w.Fuel().In(quantity.GramPerSecond); !near(got, 5, 1e-14) {
		t.Errorf("methanol %v g/s, want 5", got)
	}
	if got := w.Replaced(gasoline).In(quantity.GramPerSecond); !near(got, 5*6.4735/14.6035, 1e-5) {
		t.Errorf("replaced %.5f g/s, want 2.2164", got)
	}
	if got := w.HeatEquivalent(gasoline).In(quantity.GramPerSecond); !near(got, 5*20.0897/43.4404, 1e-2) {
		t.Errorf("by heat %.5f g/s, want 2.312", got)
	}
	if w.HeatEquivalent(gasoline) <= w.Replaced(gasoline) {
		t.Error("per air, methanol must give more heat than gasoline")
	}
}

// TestReplacedKeepsLambda closes the balance: the air of the engine over what the
// remaining main fuel and the methanol need is the lambda it was before.
func TestReplacedKeepsLambda(t *testing.T) {
	for _, name := range []string{"gasoline", "E30", "E85", "methanol"} {
		main := blend(t, name)
		for _, lambda := range []float64{0.75, 0.85, 1} {
			alone := grams(40)
			air := float64(alone) * lambda * float64(main.StoichiometricAFR())
			w := WaterMethanol{Flow: grams(12), Methanol: 0.45, Burnt: 0.8}
			left := float64(alone - w.Replaced(main))
			need := left*float64(main.StoichiometricAFR()) + float64(w.Fuel())*float64(blend(t, "methanol").StoichiometricAFR())
			if !near(air/need, lambda, 1e-13) {
				t.Errorf("%s: lambda %v becomes %v", name, lambda, air/need)
			}
			// And when the injection stops, only the main fuel is left in that air.
			got := float64(w.LambdaOnFailure(main, alone, quantity.Ratio(lambda)))
			if want := air / (left * float64(main.StoichiometricAFR())); !near(got, want, 1e-13) || got <= lambda {
				t.Errorf("%s: lambda %v on failure, want %v", name, got, want)
			}
		}
	}
}

func TestReplacedLimits(t *testing.T) {
	gasoline, methanol := blend(t, "gasoline"), blend(t, "methanol")
	w := WaterMethanol{Flow: grams(10), Methanol: 1, Burnt: 1}
	if got := w.Replaced(methanol); !near(float64(got), float64(w.Flow), 1e-15) {
		t.Errorf("methanol replaces %v of methanol", got)
	}
	for name, none := range map[string]WaterMethanol{
		"water":    {Flow: grams(10), Burnt: 1},
		"unburnt":  {Flow: grams(10), Methanol: 0.5},
		"no flow":  {Methanol: 0.5, Burnt: 1},
		"zero one": {},
	} {
		if none.Fuel() != 0 || none.Replaced(gasoline) != 0 || none.HeatEquivalent(gasoline) != 0 || none.LambdaOnFailure(gasoline, grams(40), 0.8) != 0.8 {
			t.Errorf("%s: counted as fuel", name)
		}
	}
	if w.Replaced(fuel.Blend{}) != 0 || w.HeatEquivalent(fuel.Blend{}) != 0 {
		t.Error("no main fuel is replaced")
	}
	if got := w.LambdaOnFailure(gasoline, grams(4), 0.8); !math.IsInf(float64(got), 1) {
		t.Errorf("with no main fuel left: lambda %v on failure", got)
	}
}

// TestWaterMethanolByVolume: half and half by volume at 20 °C are 791.4 and 998.2
// kg/m³ (CRC Handbook, from memory), so 44.2 % by mass and 894.8 kg/m³ without
// shrinking. The mixture of 40 % by mass really has 934.5 kg/m³ (Perry's Chemical
// Engineers' Handbook, secondary), so that additive volumes are 3.3 % low.
func TestWaterMethanolByVolume(t *testing.T) {
	at := quantity.Celsius(20)
	w, err := WaterMethanolByVolume(quantity.Of(1000, quantity.CCPerMinute), 0.5, at)
	if err != nil {
		t.Fatal(err)
	}
	if got := float64(w.Methanol); !near(got, 791.4/(791.4+998.2), 1e-3) {
		t.Errorf("methanol by mass %.5f, want 0.4422", got)
	}
	if got := w.Flow.In(quantity.GramPerMinute); !near(got, 894.8, 1e-3) {
		t.Errorf("flow %.2f g/min, want 894.8", got)
	}
	mixture, err := fuel.ByMass(fuel.MassPart{Name: "methanol", Fraction: 0.4}, fuel.MassPart{Name: "water", Fraction: 0.6})
	if err != nil {
		t.Fatal(err)
	}
	if got := 934.5/float64(mixture.Density(at)) - 1; math.Abs(got-0.0335) > 0.001 {
		t.Errorf("the real mixture is denser by %.4f, want 0.0335", got)
	}

	water, err := WaterMethanolByVolume(quantity.Of(1000, quantity.CCPerMinute), 0, at)
	if err != nil || !near(water.Flow.In(quantity.GramPerMinute), 998.2, 1e-4) || water.Fuel() != 0 {
		t.Errorf("water: %+v, %v", water, err)
	}
	pure, err := WaterMethanolByVolume(quantity.Of(1000, quantity.CCPerMinute), 1, at)
	if err != nil || pure.Methanol != 1 {
		t.Errorf("methanol: %+v, %v", pure, err)
	}
	for _, bad := range []quantity.VolumeFraction{-0.1, 1.5, quantity.VolumeFraction(math.NaN())} {
		if w, err := WaterMethanolByVolume(1, bad, at); !errors.Is(err, fuel.ErrComposition) || w != (WaterMethanol{}) {
			t.Errorf("%v of methanol: %+v, %v", float64(bad), w, err)
		}
	}
}

func TestWaterMethanolValidate(t *testing.T) {
	if err := (WaterMethanol{Flow: grams(10), Methanol: 0.5, Burnt: 1}).Validate(); err != nil {
		t.Error(err)
	}
	for says, bad := range map[string]WaterMethanol{
		"flow":     {Flow: -1 * quantity.GramPerSecond},
		"methanol": {Methanol: 1.1},
		"burns":    {Burnt: -0.5},
	} {
		if err := bad.Validate(); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%+v: error %v, want one on %s", bad, err, says)
		}
	}
}

// TestCautions wants every caution to say something of its own, the first of them
// that the parts are sized without the injection.
func TestCautions(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range (WaterMethanol{}).Cautions() {
		text, err := c.MarshalText()
		if err != nil || string(text) != c.String() || len(text) < 40 || seen[c.String()] {
			t.Errorf("caution %d: %q, %v", c, text, err)
		}
		seen[c.String()] = true
	}
	if !strings.Contains(SizeWithoutIt.String(), "without the injection") || Caution(99).String() != "?" {
		t.Error("the words of the cautions")
	}
}
