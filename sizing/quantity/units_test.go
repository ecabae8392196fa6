package quantity

import "testing"

// all holds one value of each quantity, so that the tables can be checked.
var all = []interface{ dimension() *dimension }{
	Pressure(0), PressureDiff(0), Temperature(0), TemperatureDiff(0), Length(0), Area(0), Volume(0), Mass(0),
	MolarMass(0), Time(0), AngularSpeed(0), Velocity(0), Acceleration(0), MassFlow(0), VolumeFlow(0), Density(0),
	Viscosity(0), CrankPower(0), WheelPower(0), Torque(0), SpecificConsumption(0), SpecificEnergy(0),
	EnergyDensity(0), Power(0), SpecificHeat(0), Voltage(0), Current(0), Resistance(0), Ratio(0), VolumeFraction(0), MassFraction(0),
}

// TestUnitTables checks what the tables promise: the coherent unit first, every
// spelling found and unambiguous, the printing units and the example present.
func TestUnitTables(t *testing.T) {
	for _, q := range all {
		d := q.dimension()
		t.Run(d.name, func(t *testing.T) {
			if u := d.units[0]; u.scale != 1 || u.zero != 0 {
				t.Errorf("first unit %q is not the coherent SI unit", u.symbol)
			}
			owner := map[string]string{}
			for _, u := range d.units {
				for _, name := range append([]string{u.symbol}, u.aliases...) {
					key := unitSpelling.Replace(name)
					if other, taken := owner[key]; taken && other != u.symbol {
						t.Errorf("%q names both %q and %q", name, other, u.symbol)
					}
					owner[key] = u.symbol
					if got, ok := d.find(name); !ok || got.symbol != u.symbol {
						t.Errorf("find(%q) = %q, %v, want %q", name, got.symbol, ok, u.symbol)
					}
				}
			}
			d.bySymbol(d.si)
			d.bySymbol(d.us)
			number, symbol := split(d.example)
			if _, ok := d.find(symbol); number == "" || !ok {
				t.Errorf("the example %q does not parse", d.example)
			}
			for symbol := range d.foreign {
				if u, ok := d.find(symbol); ok {
					t.Errorf("foreign unit %q is read as %q", symbol, u.symbol)
				}
			}
		})
	}
}
