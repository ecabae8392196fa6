package fuel

import (
	"math"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestAirFuelRatios holds the ratios against independent arithmetic with the same
// air (20.946 % oxygen, 28.9647 g/mol), and against what books print.
func TestAirFuelRatios(t *testing.T) {
	for _, test := range []struct {
		text      string
		computed  float64
		published float64
		tolerance float64 // of the published value
		source    string
	}{
		{"isooctane", 15.1318, 15.13, 0.001, "Heywood table D.4, from memory"},
		{"n-heptane", 15.1800, 15.17, 0.001, "Heywood table D.4, from memory"},
		{"toluene", 13.5070, 13.50, 0.001, "Heywood table D.4, from memory"},
		{"methanol", 6.4735, 6.47, 0.001, "Heywood table D.4, from memory"},
		{"ethanol", 9.0049, 9, 0.001, "AFDC"},
		{"gasoline", 14.6035, 14.6, 0.001, "Heywood table D.4 (CH1.87), from memory"},
		{"gasoline", 14.6035, 14.7, 0.007, "AFDC"},
	} {
		got := float64(blend(t, test.text).StoichiometricAFR())
		within(t, test.text, got, test.computed, 5e-6)
		within(t, test.text+" ("+test.source+")", got, test.published, test.tolerance)
	}
	// The same with the air of textbooks: 4.76 mol of 28.97 g/mol for each of
	// oxygen makes isooctane 15.0896.
	got := float64(blend(t, "isooctane").StoichiometricAFR()) * (4.76 * 28.97) / (28.9647 / 0.20946)
	within(t, "isooctane in textbook air", got, 15.0896, 5e-6)
}

func TestCO2PerEnergy(t *testing.T) {
	g := blend(t, "gasoline").CO2PerEnergy()
	// 8887 g/gal is the US EPA's figure for gasoline, from memory; the heating
	// value is the AFDC's.
	within(t, "gasoline, EPA", g, 8887/(116090*1055.05585262e-6), 0.006)
	// IPCC 2006 Guidelines, motor gasoline: 67.5 to 73.0 kg/GJ, from memory.
	if g < 67.5 || g > 73.0 {
		t.Errorf("gasoline: %.2f g/MJ, want 67.5 to 73.0 (IPCC 2006)", g)
	}
	if e := blend(t, "ethanol").CO2PerEnergy(); e >= g {
		t.Errorf("ethanol %.2f g/MJ is not below gasoline %.2f", e, g)
	}
}

func TestChargeCooling(t *testing.T) {
	// By hand: 918.6 kJ/kg over 9.0049 × 1.005 kJ/(kg K).
	b := blend(t, "ethanol")
	within(t, "ethanol", float64(b.ChargeCooling(1)), 918.6/(9.0049*1.005), 1e-4)
	within(t, "rich by a half", float64(b.ChargeCooling(0.5)), 2*float64(b.ChargeCooling(1)), 1e-12)
	for _, lambda := range []quantity.Ratio{0, -1, quantity.Ratio(math.NaN())} {
		if c := b.ChargeCooling(lambda); c != 0 {
			t.Errorf("λ %v: %v", lambda, c)
		}
	}
	if m, e, g := blend(t, "methanol").ChargeCooling(1), b.ChargeCooling(1), blend(t, "E0").ChargeCooling(1); m <= e || e <= g {
		t.Errorf("methanol %v, ethanol %v, gasoline %v are out of order", m, e, g)
	}
}

// TestUnburntSatisfiesItsEquations checks the defining properties: every atom is
// accounted for, nothing is negative, and the water-gas ratio is 3.5.
func TestUnburntSatisfiesItsEquations(t *testing.T) {
	for text, b := range grid(t) {
		for lambda := 0.05; lambda < 1; lambda += 0.05 {
			co, h2, soot := b.unburnt(lambda)
			co2, h2o := b.c-co-soot, b.h/2-h2
			scale := b.c
			for what, v := range map[string]float64{"CO": co, "H2": h2, "C": soot, "CO2": co2, "H2O": h2o} {
				if v < -1e-12*scale {
					t.Errorf("%s λ %.2f: %s is %g", text, lambda, what, v)
				}
			}
			in := b.o + 2*lambda*b.oxygenDemand()
			if out := 2*co2 + co + h2o; math.Abs(out-in) > 1e-11*scale {
				t.Errorf("%s λ %.2f: oxygen in %g, out %g", text, lambda, in, out)
			}
			if lambda <= float64(b.SootLimit()) {
				if co2 > 1e-12*scale || h2o > 1e-12*scale {
					t.Errorf("%s λ %.2f: CO2 %g and H2O %g beside soot", text, lambda, co2, h2o)
				}
				continue
			}
			if soot != 0 {
				t.Errorf("%s λ %.2f: soot %g above the limit %v", text, lambda, soot, b.SootLimit())
			}
			if ratio := h2o * co / (co2 * h2); math.Abs(ratio/3.5-1) > 1e-9 {
				t.Errorf("%s λ %.2f: water-gas ratio %v", text, lambda, ratio)
			}
		}
	}
}

// TestCompletenessLiesBetweenItsBounds: each missing atom of oxygen leaves a CO
// (282.949 kJ/mol) or an H2 (241.822), so the loss lies between the two.
func TestCompletenessLiesBetweenItsBounds(t *testing.T) {
	for text, b := range grid(t) {
		for lambda := 0.6; lambda < 1; lambda += 0.01 {
			missing := 2 * (1 - lambda) * b.oxygenDemand()
			lost := (1 - float64(b.Completeness(quantity.Ratio(lambda)))) * b.lhv
			if lost < missing*241.822e3*(1-1e-9) || lost > missing*282.949e3*(1+1e-9) {
				t.Errorf("%s λ %.2f: lost %g J/kg, want %g to %g", text, lambda, lost, missing*241.822e3, missing*282.949e3)
			}
		}
	}
}

func TestCompletenessRisesToOne(t *testing.T) {
	for text, b := range grid(t) {
		last := quantity.Ratio(0)
		for lambda := quantity.Ratio(0.01); lambda < 1; lambda += 0.01 {
			c := b.Completeness(lambda)
			if c < last || c > 1 || lambda > 0.5 && c <= last {
				t.Errorf("%s: completeness %v at λ %v after %v", text, c, lambda, last)
			}
			last = c
		}
		for _, lambda := range []quantity.Ratio{1, 1.3, quantity.Ratio(math.Inf(1))} {
			if c := b.Completeness(lambda); c != 1 {
				t.Errorf("%s: completeness %v at λ %v", text, c, lambda)
			}
		}
		if c := b.Completeness(1 - 1e-9); 1-c > 1e-8 {
			t.Errorf("%s: completeness %v just below λ 1", text, c)
		}
		limit := b.SootLimit()
		if d := b.Completeness(limit+1e-9) - b.Completeness(limit-1e-9); math.Abs(float64(d)) > 1e-6 {
			t.Errorf("%s: completeness jumps by %v at the soot limit", text, d)
		}
		for _, lambda := range []quantity.Ratio{0, -1, quantity.Ratio(math.NaN())} {
			if c := b.Completeness(lambda); c != 0 {
				t.Errorf("%s: completeness %v at λ %v", text, c, lambda)
			}
		}
	}
}

// TestCompletenessOfAWorkedCase follows gasoline at λ 0.8 by hand. Per CH1.87:
// oxygen demand 1.4675, so 2×0.8×1.4675 = 2.348 atoms, 1.348 beyond CO. With K 3.5
// the root of 2.5 n² + (3.5×(0.935-1.348)+2.348) n - 1.348 = 0 is n = 0.57566, so
// 0.42434 CO and 0.935-1.348+0.57566 = 0.16266 H2 are left: 120.066 + 39.335 kJ
// of 603.65 (18676 Btu/lb × 13.896 g/mol).
func TestCompletenessOfAWorkedCase(t *testing.T) {
	within(t, "gasoline at λ 0.8", float64(blend(t, "E0").Completeness(0.8)), 1-(120.066+39.335)/603.65, 2e-5)
}

func TestSootLimit(t *testing.T) {
	within(t, "gasoline", float64(blend(t, "gasoline").SootLimit()), 1/(2*1.4675), 1e-6)
	within(t, "ethanol", float64(blend(t, "ethanol").SootLimit()), (2.0-1)/(2*3), 1e-12)
	if l := blend(t, "methanol").SootLimit(); l > 1e-12 {
		t.Errorf("methanol: %v, want 0", l)
	}
}
