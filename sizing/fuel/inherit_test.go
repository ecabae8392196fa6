package fuel

import (
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestInheritedValues holds a grade against the one it is based on: what it gives
// itself differs, the rest is the same and its values say where it comes from.
func TestInheritedValues(t *testing.T) {
	at := quantity.Celsius(30)
	base, c := lookup(t, "gasoline"), lookup(t, "regular gasoline")
	if c.Density(at) == base.Density(at) || c.VapourPressure(at) == base.VapourPressure(at) {
		t.Error("regular gasoline has the density or the vapour pressure of its base")
	}
	if c.LHV() != base.LHV() || c.LatentHeat() != base.LatentHeat() || c.Viscosity(at) != base.Viscosity(at) ||
		c.Formula() != base.Formula() || c.Atoms() != base.Atoms() || c.MolarMass() != base.MolarMass() ||
		c.Family() != base.Family() || c.FireClass() != base.FireClass() {
		t.Error("regular gasoline lacks something of its base")
	}
	if len(c.Aliases()) != 1 {
		t.Errorf("regular gasoline has the aliases %q", c.Aliases())
	}
	for _, test := range []struct{ name, property, note string }{
		{"regular gasoline", "density", "57.8 °API at 60 °F"},
		{"regular gasoline", "formula", "taken from gasoline; hydrogen to carbon ratio 1.87"},
		{"regular gasoline", "viscosity", "taken from gasoline; middle of 0.8 to 1.0 mm2/s times the density"},
		{"regular gasoline", "flash point", "taken from gasoline"},
		{"premium gasoline", "lower heating value", "taken from test gasoline"},
		{"premium gasoline", "latent heat", "taken from gasoline; about; hydrocarbon gasolines have 325 to 375 kJ/kg"},
	} {
		var notes []string
		for _, v := range lookup(t, test.name).Values() {
			if v.Property == test.property {
				notes = append(notes, v.Note)
			}
		}
		if !strings.Contains(strings.Join(notes, "\n"), test.note) {
			t.Errorf("%s of %s is noted %q, want %q", test.property, test.name, notes, test.note)
		}
	}
}

// No value of a base is left in the list of one that gives the property itself.
func TestOwnValuesReplaceThoseOfTheBase(t *testing.T) {
	for _, v := range lookup(t, "winter gasoline").Values() {
		own := v.Property == "density" || v.Property == "vapour pressure"
		if taken := strings.HasPrefix(v.Note, "taken from "); taken == own {
			t.Errorf("%v, note %q", v, v.Note)
		}
	}
}
