package demand

import (
	"encoding/json"
	"errors"
	"math"
	"testing"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// TestNitrousRatio balances the reactions by hand: C8H18 + 25 N2O, C7H16 + 22 N2O,
// C2H5OH + 6 N2O, CH3OH + 3 N2O, each to CO2, H2O and N2. N2O has 44.0128 g/mol
// (NIST); the fuels' molar masses are those of the CRC Handbook.
func TestNitrousRatio(t *testing.T) {
	for _, tt := range []struct {
		fuel        string
		moles, mass float64
	}{{"isooctane", 25, 114.232}, {"n-heptane", 22, 100.205}, {"ethanol", 6, 46.069}, {"methanol", 3, 32.042}, {"toluene", 18, 92.141}} {
		want := tt.moles * 44.0128 / tt.mass
		if got := float64(NitrousRatio(blend(t, tt.fuel))); !near(got, want, 3e-5) {
			t.Errorf("%s: %.5f, want %.5f", tt.fuel, got, want)
		}
	}
	if r := NitrousRatio(fuel.Blend{}); r != 0 {
		t.Errorf("no fuel: %v", r)
	}
}

// TestNitrousOxygen: nitrous oxide is 36 % oxygen by weight (printed in handbooks
// and on public pages; 0.3635 from the weights).
func TestNitrousOxygen(t *testing.T) {
	if math.Abs(nitrousOxygen-0.3635) > 5e-5 {
		t.Errorf("oxygen in N2O %.5f, want 0.3635", nitrousOxygen)
	}
	if !near(nitrousHeat, 82.574e3/44.0128e-3, 1e-5) {
		t.Errorf("heat of decomposition %v J/kg", nitrousHeat)
	}
}

// TestNitrousAgainstAir: the ratio to the stoichiometric air is that of the oxygen
// contents, whatever the fuel. Dry air has 0.20946 · 31.998/28.9647 = 0.23140 of its
// mass.
func TestNitrousAgainstAir(t *testing.T) {
	for _, name := range []string{"gasoline", "E10", "E30", "E85", "ethanol", "methanol", "toluene", "95 % ethanol + 5 % water"} {
		b := blend(t, name)
		got := float64(NitrousRatio(b)) / float64(b.StoichiometricAFR())
		if !near(got, 0.20946*31.998/28.9647/0.363506, 2e-6) {
			t.Errorf("%s: ratio to air %.6f", name, got)
		}
	}
}

// TestFuelForNitrous checks 100 lb/h of oxide by hand, with gasoline (9.296) at
// lambda 0.85 and ethanol (5.732) at 0.9.
func TestFuelForNitrous(t *testing.T) {
	for _, tt := range []struct {
		fuel         string
		lambda, want float64
	}{{"gasoline", 0.85, 100 / (0.85 * 9.296)}, {"ethanol", 0.90, 100 / (0.90 * 5.732)}} {
		got := FuelForNitrous(blend(t, tt.fuel), lbh(100), quantity.Ratio(tt.lambda)).In(quantity.PoundPerHour)
		if !near(got, tt.want, 1e-4) {
			t.Errorf("%s: %.4f lb/h, want %.4f", tt.fuel, got, tt.want)
		}
	}
	b := blend(t, "gasoline")
	for _, lambda := range []quantity.Ratio{0, -1, quantity.Ratio(math.NaN())} {
		if m := FuelForNitrous(b, grams(50), lambda); m != 0 {
			t.Errorf("lambda %v: %v", lambda, m)
		}
	}
	if m := FuelForNitrous(fuel.Blend{}, grams(50), 0.9); m != 0 {
		t.Errorf("no fuel: %v", m)
	}
}

// TestNitrousPowerByHand: per kilogram of oxide at lambda 1, isooctane gives
// 44.343/9.632 MJ and the oxide 1.876 MJ, of which 30 % become 1.944 MJ (heating
// value from the enthalpies of formation).
func TestNitrousPowerByHand(t *testing.T) {
	b := blend(t, "isooctane")
	got := PowerFromNitrous(b, grams(100), 0.30, 1).In(quantity.Kilowatt)
	if want := 0.1 * 0.30 * (44.343/9.632 + 1.8761) * 1e3; !near(got, want, 1e-3) {
		t.Errorf("%.3f kW, want %.3f", got, want)
	}
}

// TestNitrousPowerInverts and conserves energy: work is the efficiency of the heat
// that the fuel and the oxide release.
func TestNitrousPowerInverts(t *testing.T) {
	for _, name := range []string{"gasoline", "E85", "methanol"} {
		b := blend(t, name)
		last := quantity.MassFlow(0)
		for p := 20e3; p <= 400e3; p += 20e3 {
			oxide := NitrousForPower(b, quantity.CrankPower(p), 0.30, 0.85)
			if back := PowerFromNitrous(b, oxide, 0.30, 0.85); !near(float64(back), p, 1e-14) {
				t.Errorf("%s: %v W comes back as %v", name, p, back)
			}
			fuelFlow := FuelForNitrous(b, oxide, 0.85)
			heat := float64(fuelFlow)*float64(b.Completeness(0.85))*float64(b.LHV()) + float64(oxide)*82.574e3/44.013e-3
			if !near(0.30*heat, p, 1e-12) {
				t.Errorf("%s: work %v W of heat %v W", name, p, heat)
			}
			if oxide <= last {
				t.Errorf("%s: more power needs no more oxide", name)
			}
			last = oxide
		}
	}
	b := blend(t, "gasoline")
	for name, got := range map[string]float64{
		"no efficiency": float64(NitrousForPower(b, hp(100), 0, 0.9)) + float64(PowerFromNitrous(b, grams(50), 0, 0.9)),
		"no lambda":     float64(NitrousForPower(b, hp(100), 0.3, 0)) + float64(PowerFromNitrous(b, grams(50), 0.3, 0)),
		"no fuel":       float64(NitrousForPower(fuel.Blend{}, hp(100), 0.3, 0.9)),
	} {
		if got != 0 {
			t.Errorf("%s: %v", name, got)
		}
	}
}

func TestCircuitSplit(t *testing.T) {
	for c, want := range map[FuelCircuit]CircuitDemand{
		ThroughInjectors: {Injectors: grams(7), Pumps: grams(7)},
		FromRail:         {Pumps: grams(7)},
		Separate:         {Separate: grams(7)},
	} {
		if got := c.Split(grams(7)); got != want {
			t.Errorf("%s: %+v, want %+v", c, got, want)
		}
	}
}

// TestAddedNames reads every name of the enumerations back from JSON.
func TestAddedNames(t *testing.T) {
	for c := ThroughInjectors; c <= Separate; c++ {
		text, err := json.Marshal(c)
		back := FuelCircuit(99)
		if err != nil || json.Unmarshal(text, &back) != nil || back != c {
			t.Errorf("%s is written as %s and reads as %s, %v", c, text, back, err)
		}
	}
	for s := ShareOpening; s <= HoldPrimary; s++ {
		text, err := json.Marshal(s)
		back := Staging(99)
		if err != nil || json.Unmarshal(text, &back) != nil || back != s {
			t.Errorf("%s is written as %s and reads as %s, %v", s, text, back, err)
		}
	}
	c, s := Separate, HoldPrimary
	for _, err := range []error{c.UnmarshalText([]byte("tank")), s.UnmarshalText([]byte("both"))} {
		var pe *quantity.ParseError
		if !errors.As(err, &pe) || pe.Accepted == "" {
			t.Errorf("an unknown name: %v", err)
		}
	}
	if c != Separate || s != HoldPrimary {
		t.Errorf("left as %s and %s after an error", c, s)
	}
	if c.Accepts() != `one of "injectors", "rail", "separate"` || s.Accepts() != `one of "share", "hold"` {
		t.Errorf("accepts %s; %s", c.Accepts(), s.Accepts())
	}
}

// FuzzAddedNames holds the readers of the enumerations to one rule: what reads is
// written so that it reads the same, and what does not leaves the value alone.
func FuzzAddedNames(f *testing.F) {
	for _, text := range []string{"injectors", "RAIL", " separate ", "share", "hold", "", "?", "\xff"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, again := FuelCircuit(99), FuelCircuit(99)
		if err := c.UnmarshalText([]byte(text)); err != nil {
			if c != 99 || !errors.Is(err, quantity.ErrSyntax) {
				t.Fatalf("%q: %v, left as %s", text, err, c)
			}
		} else if err := again.UnmarshalText([]byte(c.String())); err != nil || again != c {
			t.Fatalf("%q reads as %s, which reads as %s, %v", text, c, again, err)
		}
		s, more := Staging(99), Staging(99)
		if err := s.UnmarshalText([]byte(text)); err != nil {
			if s != 99 || !errors.Is(err, quantity.ErrSyntax) {
				t.Fatalf("%q: %v, left as %s", text, err, s)
			}
		} else if err := more.UnmarshalText([]byte(s.String())); err != nil || more != s {
			t.Fatalf("%q reads as %s, which reads as %s, %v", text, s, more, err)
		}
	})
}
