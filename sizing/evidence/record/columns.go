package record

import (
	"database/sql/driver"
	"fmt"
	"reflect"
	"strings"

	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/evidence"
)

// column is a column of the table of pulls: its name and the field that it holds.
type column struct {
	name  string
	field any // a pointer
}

// columns lists the columns of a pull's figures in the order of the schema. Quantities
// stand in their coherent SI unit.
func columns(p *Pull) []column {
	list := []column{
		{"id", &p.ID},
		{"engine", &p.Engine},
		{"log", &p.Log},
		{"day", &p.When},
		{"start_s", &p.Start},
		{"end_s", &p.End},
		{"induction", induction{&p.Induction}},
		{"valves", &p.Valves},
		{"ethanol_volume", &p.Ethanol},
		{"ethanol_energy", &p.Share},
		{"lower_heating_j_per_kg", &p.Heating},
		{"boost_pa", &p.Boost},
		{"lambda", &p.Lambda},
		{"low_speed_rad_per_s", &p.LowSpeed},
		{"high_speed_rad_per_s", &p.HighSpeed},
		{"peak_power_w", &p.PeakPower},
		{"peak_power_speed_rad_per_s", &p.PeakAt},
		{"peak_power_fuel_kg_per_s", &p.PeakFuel},
		{"peak_power_air_kg_per_s", &p.PeakAir},
		{"most_duty", &p.MostDuty},
		{"greatest_rail_fall_pa", &p.RailError},
		{"energy", &p.Energy.Value},
		{"energy_standard", &p.Energy.Standard},
		{"energy_degrees", &p.Energy.DF},
		{"used", &p.Used},
	}
	for _, c := range []struct {
		name string
		*evidence.Consumption
	}{{"average", &p.Average}, {"at_peak", &p.AtPeak}, {"peak", &p.Peak}} {
		list = append(list,
			column{c.name + "_kg_per_j", &c.Value},
			column{c.name + "_standard", &c.Standard},
			column{c.name + "_type_a", &c.TypeA},
			column{c.name + "_type_b", &c.TypeB},
			column{c.name + "_degrees", &c.DF},
		)
	}
	return list
}

// number returns the value of a column of numbers.
func (c column) number() (float64, bool) {
	v := reflect.ValueOf(c.field)
	if v.Kind() != reflect.Pointer || v.Elem().Kind() != reflect.Float64 {
		return 0, false
	}
	return v.Elem().Float(), true
}

// names returns the names of columns.
func names(list []column) []string {
	all := make([]string, len(list))
	for i, c := range list {
		all[i] = c.name
	}
	return all
}

// fields returns the fields of columns, to be bound or scanned into.
func fields(list []column) []any {
	all := make([]any, len(list))
	for i, c := range list {
		all[i] = c.field
	}
	return all
}

// insertPull, selectPulls are made of constant names only; values are always bound.
var (
	insertPull = func() string {
		list := append([]string{"digest", "added"}, names(columns(new(Pull)))...)
		return "INSERT INTO pull (" + strings.Join(list, ", ") + ") VALUES (?" + strings.Repeat(", ?", len(list)-1) + ")"
	}()
	// One statement, so that all is of one moment.
	selectPulls = "SELECT number, added, reason, samples, " + strings.Join(names(columns(new(Pull))), ", ") +
		" FROM pull LEFT JOIN aside ON aside.pull = pull.number ORDER BY number"
)

// induction is a kind of induction as text.
type induction struct{ *demand.Induction }

// Value returns the words of a build sheet.
func (k induction) Value() (driver.Value, error) { return k.String(), nil }

// Scan reads the words of a build sheet.
func (k induction) Scan(v any) error {
	text, ok := v.(string)
	if !ok {
		return fmt.Errorf("induction: %v is no text", v)
	}
	return k.UnmarshalText([]byte(text))
}
