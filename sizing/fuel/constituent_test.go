package fuel

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestPublishedDensities holds densities at single temperatures against what
// tables print.
func TestPublishedDensities(t *testing.T) {
	for _, test := range []struct {
		name      string
		at        quantity.Temperature
		want      float64 // kg/m³
		tolerance float64 // kg/m³
		source    string
	}{
		{"ethanol", quantity.Celsius(-20), 823.120, 0.1, "OIML R 22 general formula"},
		{"ethanol", quantity.Celsius(0), 806.215, 0.1, "OIML R 22 general formula"},
		{"ethanol", quantity.Celsius(15), 793.506, 0.1, "OIML R 22 general formula"},
		{"ethanol", quantity.Fahrenheit(60), 793.032, 0.1, "OIML R 22 general formula"},
		{"ethanol", quantity.Celsius(20), 789.24, 0.1, "OIML R 22, printed value, from memory"},
		{"ethanol", quantity.Celsius(40), 771.932, 0.1, "OIML R 22 general formula"},
		{"ethanol", quantity.Fahrenheit(60), 6.61 * 119.826427317, 2, "AFDC, 6.61 lb/gal; its heating values imply 789.5"},
		{"water", quantity.Celsius(15), 999.096, 0.2, "OIML R 22 general formula"},
		{"water", quantity.Celsius(20), 998.201, 0.2, "OIML R 22 general formula"},
		{"water", quantity.Celsius(40), 992.22, 0.3, "IAPWS-97, computed with the iapws library"},
		{"water", quantity.Celsius(60), 983.21, 0.2, "IAPWS-97, computed with the iapws library"},
		{"methanol", quantity.Celsius(20), 792.03, 0.2, "VDI Heat Atlas"},
		{"methanol", quantity.Celsius(20), 791.4, 1, "CRC Handbook, from memory"},
		{"methanol", quantity.Fahrenheit(60), 6.63 * 119.826427317, 2.5, "AFDC, 6.63 lb/gal"},
		{"n-heptane", quantity.Celsius(15), 688.05, 0.1, "VDI Heat Atlas"},
		{"n-heptane", quantity.Celsius(20), 683.8, 0.1, "CRC Handbook, from memory"},
		{"n-heptane", quantity.Celsius(60), 649.22, 0.1, "VDI Heat Atlas"},
		{"toluene", quantity.Celsius(20), 866.8, 1, "CRC Handbook, from memory"},
		{"isooctane", quantity.Celsius(20), 691.9, 0.1, "CRC Handbook, from memory"},
		{"MTBE", quantity.Fahrenheit(60), 6.19 * 119.826427317, 4, "AFDC, 6.19 lb/gal"},
		{"MTBE", quantity.Fahrenheit(60), 0.744 * 999.016, 2.5, "AFDC, specific gravity 0.744"},
		{"MTBE", quantity.Celsius(20), 740.5, 0.6, "CRC Handbook, from memory"},
		{"ETBE", quantity.Celsius(20), 740.4, 2, "CRC Handbook, from memory"},
		{"gasoline", quantity.Celsius(15), 745, 0.1, "design value, from the AFDC heating values"},
		{"gasoline", quantity.Fahrenheit(60), 744.84, 0.5, "AFDC, 116090 Btu/gal over 18676 Btu/lb"},
	} {
		got := float64(lookup(t, test.name).Density(test.at))
		if math.Abs(got-test.want) > test.tolerance {
			t.Errorf("%s at %v: got %.3f, want %.3f ± %g kg/m³ (%s)", test.name, test.at, got, test.want, test.tolerance, test.source)
		}
	}
}

// TestGasolineExpandsAsTable54B holds the density of gasoline against API MPMS
// 11.1, table 54B: exp(-α ΔT (1 + 0.8 α ΔT)), α = K0/ρ² + K1/ρ, K0 = 346.42278,
// K1 = 0.43884 with ρ at 15 °C.
func TestGasolineExpandsAsTable54B(t *testing.T) {
	c := lookup(t, "gasoline")
	alpha := 346.42278/(745*745.0) + 0.43884/745
	sweep(quantity.Celsius(-20), quantity.Celsius(80), func(at quantity.Temperature) {
		d := at.Celsius() - 15
		within(t, "gasoline at "+at.String(), float64(c.Density(at)), 745*math.Exp(-alpha*d*(1+0.8*alpha*d)), 1e-4)
	})
	// The 0.00095 1/K of textbooks (Serway, College Physics) is 22 % less and must
	// not be what is used.
	if slope := float64(c.Density(quantity.Celsius(14))-c.Density(quantity.Celsius(16))) / 2 / 745; math.Abs(slope-0.001213) > 1e-5 {
		t.Errorf("thermal expansion of gasoline at 15 °C: %.6f 1/K, want 0.001213", slope)
	}
}

func TestPublishedHeats(t *testing.T) {
	const btuPerLb = 2.326e-3 // MJ/kg
	for _, test := range []struct {
		name            string
		lhv, hhv        float64 // MJ/kg
		tolerance       float64 // relative
		source          string
		latent, latentT float64 // kJ/kg, and its tolerance
	}{
		{"gasoline", 18676 * btuPerLb, 20004 * btuPerLb, 1e-6, "AFDC", 150 * 2.326, 1e-6},
		{"gasoline", 44.0, 47.3, 0.02, "Heywood table D.4, from memory", 305, 0.15},
		{"ethanol", 11585 * btuPerLb, 12830 * btuPerLb, 0.006, "AFDC", 396 * 2.326, 0.006},
		{"ethanol", 26.9, 29.7, 0.004, "Heywood table D.4, from memory (its latent heat, 840, stands alone)", 921.7, 0.004},
		{"methanol", 8637 * btuPerLb, 9837 * btuPerLb, 0.01, "AFDC", 506 * 2.326, 0.01},
		{"methanol", 20.0, 22.7, 0.004, "Heywood table D.4, from memory (its latent heat, 1103, stands alone)", 1176.6, 0.008},
		{"isooctane", 44.3, 47.8, 0.002, "Heywood table D.4, from memory", 308, 0.005},
		{"n-heptane", 44.6, 48.1, 0.002, "Heywood table D.4, from memory", 365, 0.002},
		{"toluene", 40.6, 42.5, 0.003, "Heywood table D.4, from memory", 412, 0.002},
		{"MTBE", 15091 * btuPerLb, 16316 * btuPerLb, 0.008, "AFDC", 138 * 2.326, 0.06},
	} {
		c := lookup(t, test.name)
		what := test.name + " (" + test.source + "): "
		within(t, what+"LHV", c.LHV().In(quantity.MegajoulePerKilogram), test.lhv, test.tolerance)
		within(t, what+"HHV", c.HHV().In(quantity.MegajoulePerKilogram), test.hhv, test.tolerance)
		within(t, what+"latent heat", c.LatentHeat().In(quantity.KilojoulePerKilogram), test.latent, test.latentT)
	}
}

// TestHeatsFollowFromFormation burns the pure compounds on paper: enthalpies of
// formation at 298.15 K in kJ/mol, Active Thermochemical Tables 1.112.
func TestHeatsFollowFromFormation(t *testing.T) {
	const co2, vapour, liquid = -393.474, -241.822, -285.825
	for name, formation := range map[string]float64{
		"ethanol": -277.03, "methanol": -238.40, "toluene": 12.36, "n-heptane": -223.91, "isooctane": -258.8,
		"MTBE": -313.6,           // CRC Handbook
		"ETBE": -316.5 - 33.1576, // ChemSep, vapour less the heat of vaporisation
	} {
		c := lookup(t, name)
		a := c.Atoms()
		moles := 1 / c.MolarMass().In(quantity.GramPerMole) // kmol/kg, so kJ/mol become MJ/kg
		within(t, name+" LHV", c.LHV().In(quantity.MegajoulePerKilogram), (formation-a.C*co2-a.H/2*vapour)*moles, 5e-6)
		within(t, name+" HHV", c.HHV().In(quantity.MegajoulePerKilogram), (formation-a.C*co2-a.H/2*liquid)*moles, 5e-6)
	}
	// Water as a fuel only takes the heat of its vapour.
	water := lookup(t, "water")
	if d := float64(water.LHV() + water.LatentHeat()); math.Abs(d) > 100 {
		t.Errorf("water: LHV %v and latent heat %v do not cancel", water.LHV(), water.LatentHeat())
	}
}

func TestPublishedViscosities(t *testing.T) {
	for _, test := range []struct {
		name      string
		at        quantity.Temperature
		want      float64 // mPa s
		tolerance float64 // relative
		source    string
	}{
		{"methanol", quantity.Celsius(20), 0.5847, 0.003, "VDI Heat Atlas"},
		{"methanol", quantity.Celsius(20), 0.5755, 0.02, "Perry table 2-313"},
		{"methanol", quantity.Fahrenheit(60), 0.59, 0.07, "AFDC, older table, cP"},
		{"methanol", quantity.Fahrenheit(68), 0.74 * 0.792, 0.02, "AFDC, 0.74 mm²/s"},
		{"ethanol", quantity.Celsius(20), 1.168, 0.003, "VDI Heat Atlas"},
		{"ethanol", quantity.Celsius(20), 1.1862, 0.02, "Perry table 2-313"},
		{"ethanol", quantity.Fahrenheit(60), 1.19, 0.08, "AFDC, older table, cP"},
		{"ethanol", quantity.Fahrenheit(68), 1.50 * 0.789, 0.02, "AFDC, 1.50 mm²/s"},
		{"ethanol", quantity.Fahrenheit(-4), 3.435 * 0.823, 0.03, "AFDC, 3.435 mm²/s"},
		{"methanol", quantity.Fahrenheit(-4), 1.345 * 0.830, 0.03, "AFDC, 1.345 mm²/s"},
		{"n-heptane", quantity.Celsius(20), 0.4153, 0.003, "VDI Heat Atlas"},
		{"n-heptane", quantity.Celsius(20), 0.4101, 0.02, "Perry table 2-313"},
		{"toluene", quantity.Celsius(20), 0.5878, 0.002, "Perry table 2-313"},
		{"isooctane", quantity.Celsius(20), 0.5064, 0.002, "Perry table 2-313"},
		{"gasoline", quantity.Fahrenheit(60), (0.37 + 0.44) / 2, 0.09, "AFDC, older table, 0.37 to 0.44 cP"},
		{"MTBE", quantity.Fahrenheit(60), 0.35, 0.08, "AFDC, older table, 0.35 cP"},
		{"MTBE", quantity.Fahrenheit(68), 0.47 * 0.741, 0.04, "AFDC, 0.47 mm²/s"},
		{"MTBE", quantity.Fahrenheit(-4), 0.77 * 0.779, 0.01, "AFDC, 0.77 mm²/s"},
		{"water", quantity.Kelvin * 298.15, 0.889735, 0.001, "IAPWS R12-08, check value at 998 kg/m³"},
		{"water", quantity.Celsius(0), 1.7918, 0.001, "IAPWS R12-08, computed with the iapws library"},
		{"water", quantity.Celsius(20), 1.0016, 0.001, "IAPWS R12-08, computed with the iapws library"},
		{"water", quantity.Celsius(50), 0.5465, 0.001, "IAPWS R12-08, computed with the iapws library"},
		{"water", quantity.Celsius(80), 0.3541, 0.001, "IAPWS R12-08, computed with the iapws library"},
	} {
		got := lookup(t, test.name).Viscosity(test.at).In(quantity.MillipascalSecond)
		within(t, test.name+" ("+test.source+")", got, test.want, test.tolerance)
	}
}

func TestPublishedVapourPressures(t *testing.T) {
	hundred := quantity.Fahrenheit(100)
	for _, test := range []struct {
		name      string
		at        quantity.Temperature
		want      float64 // kPa
		tolerance float64 // relative
		source    string
	}{
		{"methanol", hundred, 4.6 * 6.894757, 0.015, "AFDC, Reid vapour pressure 4.6 psi"},
		{"ethanol", hundred, 2.3 * 6.894757, 0.025, "AFDC, Reid vapour pressure 2.3 psi"},
		{"ethanol", quantity.Celsius(60), 47.081, 0.003, "VDI Heat Atlas"},
		{"n-heptane", hundred, 11.164, 0.003, "VDI Heat Atlas"},
		{"toluene", hundred, 7.122, 0.003, "VDI Heat Atlas"},
		{"water", quantity.Celsius(20), 2.339, 0.005, "Perry table 2-8"},
		{"MTBE", quantity.Celsius(20), 27, 0.02, "US OSHA, chemical sampling information, 27 kPa at 20 °C"},
		{"MTBE", hundred, 7.8 * 6.894757, 0.04, "AFDC, Reid vapour pressure 7.8 psi"},
		{"ETBE", quantity.Celsius(25), 16.5, 0.03, "124 mmHg at 25 °C, from memory"},
		// A Reid vapour pressure is lower than the true one, by the air and the
		// evaporation that the method allows.
		{"gasoline", hundred, 9 * 6.894757, 0.07, "Reid vapour pressure 9 psi; 40 CFR 1065.710 has 60.0 to 63.4 kPa"},
	} {
		got := lookup(t, test.name).VapourPressure(test.at).In(quantity.Kilopascal)
		within(t, test.name+" ("+test.source+")", got, test.want, test.tolerance)
	}
}

// At its normal boiling point a liquid has one atmosphere.
func TestBoilingPoints(t *testing.T) {
	for _, test := range []struct {
		name      string
		boiling   float64 // K
		tolerance float64 // of the pressure
		source    string
	}{
		{"ethanol", 351.44, 0.01, "CRC Handbook"},
		{"ethanol", 273.15 + (172.0-32)/1.8, 0.02, "AFDC, 172 °F"},
		{"methanol", 337.8, 0.01, "CRC Handbook"},
		{"methanol", 273.15 + (149.0-32)/1.8, 0.03, "AFDC, 149 °F"},
		{"n-heptane", 371.55, 0.01, "CRC Handbook"},
		{"isooctane", 372.37, 0.01, "CRC Handbook"},
		{"toluene", 383.78, 0.01, "CRC Handbook"},
		{"water", 373.1243, 0.003, "IAPWS-97, computed with the iapws library"},
		{"MTBE", 328.15, 0.01, "CRC Handbook"},
		{"MTBE", 273.15 + 55.2, 0.01, "US OSHA, 55.2 °C"},
		{"MTBE", 273.15 + (131.0-32)/1.8, 0.01, "AFDC, 131 °F"},
		{"ETBE", 345.65, 0.003, "ChemSep, to which the curve is scaled"},
		{"ETBE", 345.8, 0.01, "72.6 to 73 °C, from memory"},
	} {
		got := lookup(t, test.name).VapourPressure(quantity.Temperature(test.boiling)).In(quantity.Kilopascal)
		within(t, test.name+" at its boiling point ("+test.source+")", got, 101.325, test.tolerance)
	}
	for _, name := range Names() {
		c := lookup(t, name)
		boiling, ok := c.NormalBoilingPoint()
		if ok == (c.Family() == Gasoline) {
			t.Errorf("%s: boiling point %v, %v", name, boiling, ok)
		}
		if ok {
			within(t, name+" at its own boiling point", float64(c.VapourPressure(boiling)), 101325, 0.01)
		}
	}
}

// TestFireData holds the table against a second and a third publication. Where
// they differ, the table has the more cautious value.
func TestFireData(t *testing.T) {
	for _, test := range []struct {
		name         string
		flash        float64 // °C
		lower, upper float64 // %
		source       string
	}{
		{"gasoline", -46, 1.4, 7.6, "NFPA 497:2008"},
		{"gasoline", -42.8, 1.4, 7.6, "AFDC"},
		{"ethanol", 13, 3.3, 19, "NFPA 497:2008"},
		{"ethanol", 12.8, 4.3, 19, "AFDC"},
		{"methanol", 12, 6, 36, "NFPA 497:2008"},
		{"methanol", 11.1, 7.3, 36, "AFDC"},
		{"n-heptane", -4, 1.0, 6.7, "NFPA 497:2008"},
		{"toluene", 4, 1.1, 7.1, "NFPA 497:2008"},
		{"isooctane", -12, 0.7, 6.0, "IEC 60079-20-1:2010"},
		{"MTBE", -25.6, 1.6, 8.4, "AFDC, -14 °F"},
		{"MTBE", -27, 1.5, 8.4, "IEC 60079-20-1:2010"},
		{"ETBE", -19, 1.23, 7.7, "technical bulletin of makers, from memory"},
	} {
		c := lookup(t, test.name)
		flash, ok := c.FlashPoint()
		if got := flash.Celsius(); !ok || got > test.flash+0.05 || got < test.flash-4 {
			t.Errorf("%s: flash point %.1f °C, want %.1f or up to 4 K lower (%s)", test.name, got, test.flash, test.source)
		}
		lower, upper, ok := c.FlammableRange()
		if !ok || 100*lower > quantity.VolumeFraction(test.lower+1e-9) || 100*upper < quantity.VolumeFraction(test.upper-1e-9) {
			t.Errorf("%s: flammable from %v to %v does not cover %g to %g %% (%s)", test.name, lower, upper, test.lower, test.upper, test.source)
		}
		if c.FireClass() != "IB" {
			t.Errorf("%s: class %q of NFPA 30, want IB", test.name, c.FireClass())
		}
	}
	// Class IB is a flash point below 73 °F and a boiling point of 100 °F or more
	// (NFPA 30).
	for _, name := range Names() {
		c := lookup(t, name)
		flash, burns := c.FlashPoint()
		if boiling, ok := c.NormalBoilingPoint(); burns && ok && (flash >= quantity.Fahrenheit(73) || boiling < quantity.Fahrenheit(100)) {
			t.Errorf("%s is not of class IB", name)
		}
	}
	if _, ok := lookup(t, "water").FlashPoint(); ok {
		t.Error("water has a flash point")
	}
	if _, _, ok := lookup(t, "water").FlammableRange(); ok {
		t.Error("water burns")
	}
}

func TestLookup(t *testing.T) {
	for _, test := range []struct{ text, want string }{
		{"gasoline", "gasoline"}, {"Petrol", "gasoline"}, {" ETHANOL ", "ethanol"}, {"EtOH", "ethanol"},
		{"heptane", "n-heptane"}, {"iso-octane", "isooctane"}, {"2,2,4-trimethylpentane", "isooctane"},
		{"mtbe", "MTBE"}, {"ethyl tert-butyl ether", "ETBE"}, {"Premium Petrol", "premium gasoline"}, {"pump gasoline", "gasoline"},
	} {
		if c, err := Lookup(test.text); err != nil || c.Name() != test.want {
			t.Errorf("%q: %v %v", test.text, c, err)
		}
	}
	for _, test := range []struct{ text, want string }{
		{"kerosene", `unknown fuel "kerosene"; known are ETBE, ethanol, gasoline, isooctane, methanol, MTBE, n-heptane, premium gasoline, regular gasoline, test gasoline, toluene, water, winter gasoline`},
		{"ethanl", `did you mean "ethanol"?`},
		{"gasolene", `did you mean "gasoline"?`},
		{"", `unknown fuel ""`},
	} {
		c, err := Lookup(test.text)
		if !errors.Is(err, ErrUnknown) || !strings.Contains(err.Error(), test.want) || c != (Constituent{}) {
			t.Errorf("%q: %v, error %v", test.text, c, err)
		}
	}
}

func TestNames(t *testing.T) {
	names := Names()
	if !slices.IsSortedFunc(names, compareNames) || len(names) != 13 {
		t.Errorf("%v", names)
	}
	for _, name := range names {
		c := lookup(t, name)
		if c.Name() != name || c.String() != name {
			t.Errorf("%s is called %s", name, c)
		}
		for _, alias := range c.Aliases() {
			if lookup(t, alias) != c {
				t.Errorf("%s does not lead to %s", alias, name)
			}
		}
	}
}

func TestPropertiesChangeOneWayWithTemperature(t *testing.T) {
	for _, name := range Names() {
		c := lookup(t, name)
		lowest, highest := c.TemperatureRange()
		if name == "water" {
			lowest = quantity.Celsius(5) // densest at 4 °C
		}
		last := lowest
		sweep(lowest.Plus(2.5*quantity.KelvinDiff), highest, func(at quantity.Temperature) {
			if c.Density(at) >= c.Density(last) {
				t.Errorf("%s: density does not fall from %v to %v", name, last, at)
			}
			if c.Viscosity(at) >= c.Viscosity(last) {
				t.Errorf("%s: viscosity does not fall from %v to %v", name, last, at)
			}
			if c.VapourPressure(at) <= c.VapourPressure(last) {
				t.Errorf("%s: vapour pressure does not rise from %v to %v", name, last, at)
			}
			last = at
		})
	}
}

func TestZeroConstituent(t *testing.T) {
	var c Constituent
	at := quantity.Celsius(20)
	if c.Name() != "" || c.Density(at) != 0 || c.Viscosity(at) != 0 || c.VapourPressure(at) != 0 || c.LHV() != 0 ||
		c.MolarMass() != 0 || c.FireClass() != "" || c.Family() != "" || len(c.Values()) != 0 {
		t.Error("the zero Constituent is something")
	}
	if _, ok := c.FlashPoint(); ok {
		t.Error("the zero Constituent burns")
	}
	if _, ok := c.NormalBoilingPoint(); ok {
		t.Error("the zero Constituent boils")
	}
}

func TestValuesCarryTheirSource(t *testing.T) {
	for _, v := range lookup(t, "ethanol").Values() {
		if v.Property == "density" && v.At == "15 °C" {
			if v.Value != "793.506 kg/m3" || v.Source.Standing != Secondary || !strings.Contains(v.String(), "OIML R 22") {
				t.Errorf("%v", v)
			}
			return
		}
	}
	t.Error("no density of ethanol at 15 °C")
}
