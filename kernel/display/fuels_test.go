package display

import (
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// By hand: the ethanol that goes in is the ethanol that is there.
func TestTankArithmetic(t *testing.T) {
	if got, want := TopUp("E70", "18 L of E10", "E81").In(quantity.Litre), 18*(70-10)/11.0; math.Abs(got-want) > 1e-9 {
		t.Errorf("topping up takes %v L, want %v", got, want)
	}
	a, b := Needed("50 L of E70", "E85", "E10")
	if math.Abs(a.In(quantity.Litre)-40) > 1e-9 || math.Abs(b.In(quantity.Litre)-10) > 1e-9 {
		t.Errorf("50 L of E70 are %v of E85 and %v of E10, want 40 and 10 L", a, b)
	}
	if got := float64(Mix("40 L of E85", "10 L of E10").EthanolContent()); math.Abs(got-0.70) > 1e-9 {
		t.Errorf("the mix has %v of ethanol, want 0.70", got)
	}
	if got := Mix("1 gal of gasoline"); got != Fuel("gasoline") {
		t.Errorf("a gallon of gasoline is %v", got)
	}
	if got := Ethanol(70); got != Fuel("E70") {
		t.Errorf("70 %% of ethanol are %v", got)
	}
}

func TestTankArithmeticMistakes(t *testing.T) {
	fails := func(_ any, err error) error { return err }
	for want, err := range map[string]error{
		`portion "18 L E10": want a volume of a fuel, such as "18 L of E10"`: fails(mix([]string{"18 L E10"})),
		`portion "18 of E10": `:                fails(mix([]string{"18 of E10"})),
		`portion "18 L of turpentine": fuel "`: fails(topUp("E70", "18 L of turpentine", "E85")),
		`fuel "E170"`:                          fails(topUp("E170", "18 L of E10", "E85")),
		"is out of reach":                      fails(topUp("E90", "18 L of E10", "E85")),
	} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want one with %q", err, want)
		}
	}
	if _, _, err := needed("50 L of E70", "E60", "E10"); err == nil {
		t.Error("E70 is made of E60 and E10")
	}
}

// The table prints what the blend says, in the units of its heads.
func TestFuelTable(t *testing.T) {
	for _, sys := range []quantity.System{quantity.SI, quantity.US} {
		table, err := fuelTable(sys, []string{"gasoline", "E70", "methanol"})
		if err != nil {
			t.Fatal(err)
		}
		if len(table.Rows) != 3 || len(table.Rows[0]) != len(table.Columns) {
			t.Fatalf("%d rows of %d cells under %d heads", len(table.Rows), len(table.Rows[0]), len(table.Columns))
		}
		if got, want := table.Rows[1][1], quantity.Digits(quantity.Number(Fuel("E70").Density(fuel.Reference), sys), 4); got != want {
			t.Errorf("E70 has a density of %s, want %s", got, want)
		}
	}
	// 150 Btu/lb: US DOE AFDC, Properties of Fuels.
	if table, _ := fuelTable(quantity.SI, []string{"gasoline"}); table.Columns[5].Name != "Latent heat, kJ/kg" || table.Rows[0][5] != "348.9" {
		t.Errorf("latent heat is %s under %q", table.Rows[0][5], table.Columns[5].Name)
	}
	if _, err := fuelTable(quantity.SI, []string{"E70", "turpentine"}); err == nil {
		t.Error("turpentine is in the table")
	}
}

func TestSourceTable(t *testing.T) {
	all, err := sourceTable("ethanol", nil)
	if err != nil {
		t.Fatal(err)
	}
	some, err := sourceTable("ethanol", []string{"density", "flash point"})
	if err != nil || len(some.Rows) == 0 || len(some.Rows) >= len(all.Rows) {
		t.Fatalf("%d of %d rows, error %v", len(some.Rows), len(all.Rows), err)
	}
	for _, row := range some.Rows {
		if row[0] != "density" && row[0] != "flash point" || row[3] == "" {
			t.Errorf("the row %q", row)
		}
	}
	// A source is named where it changes, and only there.
	if some.Rows[0][3] == "as above" || some.Rows[1][3] != "as above" {
		t.Errorf("the first two sources are %q and %q", some.Rows[0][3], some.Rows[1][3])
	}
	if _, err := sourceTable("ethanol", []string{"colour"}); err == nil || !strings.Contains(err.Error(), `"colour" of ethanol; want some of formula, molar mass, `) {
		t.Errorf("a property that there is not: %v", err)
	}
	if _, err := sourceTable("turpentine", nil); err == nil {
		t.Error("a liquid that there is not")
	}
}

// NFPA 30 and IEC 60079-20-1:2010 give both as liquids of class IB.
func TestHazardTable(t *testing.T) {
	table := HazardTable(Fuel("E70"))
	if len(table.Rows) != 2 || table.Rows[0][0] != "ethanol" || table.Rows[0][1] != "12 °C" || table.Rows[1][3] != "IB" {
		t.Errorf("the table is %q", table.Rows)
	}
}
