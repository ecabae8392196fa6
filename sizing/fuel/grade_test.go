package fuel

import (
	"math"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestGrades holds the grades of gasoline against what laws and data sheets print of
// them.
func TestGrades(t *testing.T) {
	const btuPerLb = 2326.0
	sixty, hundred := quantity.Fahrenheit(60), quantity.Fahrenheit(100)
	const water = 999.016 // kg/m³ at 60 °F, IAPWS
	density := func(name string) float64 { return float64(lookup(t, name).Density(sixty)) }
	carbon := func(name string) float64 {
		c, _, _ := blend(t, name).Elements()
		return float64(c)
	}
	reid := func(name string) float64 { return lookup(t, name).VapourPressure(hundred).In(quantity.Kilopascal) }
	const psi = 6.894757
	for _, test := range []struct {
		what      string
		got, want float64
		tolerance float64 // relative
		source    string
	}{
		{"test gasoline: specific gravity", density("test gasoline") / water, 0.745, 1e-4, "40 CFR part 600, appendix II"},
		{"test gasoline: carbon", carbon("test gasoline"), 0.868, 1e-4, "40 CFR part 600, appendix II"},
		{"test gasoline: LHV", float64(lookup(t, "test gasoline").LHV()), 18478 * btuPerLb, 1e-6, "40 CFR part 600, appendix II"},
		{"test gasoline: vapour pressure", reid("test gasoline"), (60.0 + 63.4) / 2, 0.07, "40 CFR 1065.710, 60.0 to 63.4 kPa Reid"},
		{"regular gasoline: degrees API", 141.5/(density("regular gasoline")/water) - 131.5, 57.8, 1e-3, "42 USC 7581(4)"},
		{"regular gasoline: vapour pressure", reid("regular gasoline"), 8.7 * psi, 0.07, "42 USC 7581(4), 8.7 psi Reid"},
		{"premium gasoline: degrees API", 141.5/(density("premium gasoline")/water) - 131.5, 55.5, 1e-3, "US EPA greenhouse gas inventory, from memory"},
		{"winter gasoline: degrees API", 141.5/(density("winter gasoline")/water) - 131.5, 62.0, 1e-3, "US EPA greenhouse gas inventory, from memory"},
		{"winter gasoline: vapour pressure", reid("winter gasoline"), 15 * psi, 0.08, "AFDC, 8 to 15 psi Reid"},
	} {
		within(t, test.what+" ("+test.source+")", test.got, test.want, test.tolerance)
	}
	for _, name := range Names() {
		c := lookup(t, name)
		if c.Family() != Gasoline {
			continue
		}
		// EN 228: 720 to 775 kg/m³ at 15 °C.
		if rho := float64(c.Density(Reference)); rho < 720 || rho > 775 {
			t.Errorf("%s has %.1f kg/m³, want 720 to 775 (EN 228)", name, rho)
		}
		// AFDC: 85 to 88 % of carbon.
		if c := carbon(name); c < 0.85 || c > 0.88 {
			t.Errorf("%s holds %.4f of carbon, want 0.85 to 0.88 (AFDC)", name, c)
		}
		within(t, "LHV of "+name+" (AFDC)", float64(c.LHV()), 18676*btuPerLb, 0.015)
	}
}

// TestReferencePetrol holds ethanol in gasoline against the composition that
// European type approval gives its reference fuels.
func TestReferencePetrol(t *testing.T) {
	for _, test := range []struct {
		text   string
		hc, oc float64 // atoms of hydrogen and of oxygen to one of carbon
	}{
		// UNECE, informal document WLTP-07-11e (slides on reference fuels).
		{"gasoline", 1.85, 0},
		{"E5", 1.89, 0.016},
		{"E10", 1.93, 0.033},
		{"E85", 2.74, 0.385},
	} {
		carbon, hydrogen, oxygen := blend(t, test.text).Elements()
		c := float64(carbon) / weightC
		within(t, test.text+" hydrogen to carbon", float64(hydrogen)/weightH/c, test.hc, 0.025)
		if got := float64(oxygen) / weightO / c; math.Abs(got-test.oc) > 0.025*test.oc+0.001 {
			t.Errorf("%s oxygen to carbon: %.4f, want %.4f", test.text, got, test.oc)
		}
	}
	// Annex IX of the regulation: 743 to 756 kg/m³ at 15 °C for E5 and E10.
	for _, text := range []string{"E5", "E10", "5 % ethanol + 95 % regular gasoline", "10 % ethanol + 90 % test gasoline"} {
		if rho := float64(blend(t, text).Density(Reference)); rho < 743 || rho > 756 {
			t.Errorf("%s has %.1f kg/m³, want 743 to 756", text, rho)
		}
	}
}

// TestOxygenates holds the oxygen that ethers and ethanol bring against published
// pairs of content and oxygen.
func TestOxygenates(t *testing.T) {
	for _, test := range []struct {
		text      string
		want      float64 // oxygen by mass
		tolerance float64
		source    string
	}{
		{"11 % MTBE + 89 % gasoline", 0.020, 0.0005, "US EPA, 510-F-97-016"},
		{"5.4 % ethanol + 94.6 % gasoline", 0.020, 0.0005, "US EPA, 510-F-97-016"},
		{"7.3 % ethanol + 92.7 % gasoline", 0.027, 0.0005, "US EPA, 510-F-97-016"},
		{"15 % MTBE + 85 % gasoline", 0.027, 0.0005, "US EPA waiver, from memory"},
	} {
		if got := float64(blend(t, test.text).OxygenContent()); math.Abs(got-test.want) > test.tolerance {
			t.Errorf("%s holds %.4f of oxygen, want %.4f (%s)", test.text, got, test.want, test.source)
		}
	}
}

// TestEthers holds what gives MTBE and ETBE their worth against a second source.
func TestEthers(t *testing.T) {
	for _, test := range []struct {
		what      string
		got, want float64
		tolerance float64
		source    string
	}{
		{"MTBE MJ/kg", blend(t, "MTBE").LHV().In(quantity.MegajoulePerKilogram), 35, 0.01, "Directive (EU) 2018/2001, annex III, from memory"},
		{"ETBE MJ/kg", blend(t, "ETBE").LHV().In(quantity.MegajoulePerKilogram), 36, 0.01, "Directive (EU) 2018/2001, annex III, from memory"},
		{"MTBE Btu/gal", blend(t, "MTBE").EnergyDensity(Reference).In(quantity.BtuPerGallon), 93540, 0.01, "AFDC, 93,540 Btu/gal, from memory"},
		{"MTBE air-fuel ratio", float64(blend(t, "MTBE").StoichiometricAFR()), 11.7, 0.006, "AFDC, from memory"},
		{"ETBE air-fuel ratio", float64(blend(t, "ETBE").StoichiometricAFR()), 12.1805, 1e-4, "by hand: 9 mol of oxygen, 9/0.20946 × 28.9647/102.177"},
	} {
		within(t, test.what+" ("+test.source+")", test.got, test.want, test.tolerance)
	}
}

// The vapour pressure of gasoline with ETBE changes in a straight line with its
// content (SAE 901114, abstract): here within 2 % of the pressure, over 0 to 20 %.
func TestETBELowersTheVapourPressureEvenly(t *testing.T) {
	at := quantity.Fahrenheit(100)
	p := func(content float64) float64 {
		b, err := ByVolume(Reference, VolumePart{"ETBE", quantity.VolumeFraction(content)}, VolumePart{"gasoline", quantity.VolumeFraction(1 - content)})
		if err != nil {
			t.Fatal(err)
		}
		return float64(b.VapourPressure(at))
	}
	none, most := p(0), p(0.2)
	if most >= none {
		t.Errorf("20 %% of ETBE brings %g to %g Pa", none, most)
	}
	for content := 0.02; content < 0.2; content += 0.02 {
		within(t, "between", p(content), none+(most-none)*content/0.2, 0.02)
	}
}
