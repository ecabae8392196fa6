package evidence

import (
	"fmt"
	"slices"
	"strings"

	"example.com/railbook/sizing/air"
	"example.com/railbook/sizing/internal/sheet"
	"example.com/railbook/sizing/quantity"
)

// Mapping says what the columns of a log are and how far to trust them. The tags name
// the fields of a mapping file. A field left at its zero value takes the default that
// its comment states.
type Mapping struct {
	Log         Layout      `sheet:"log"`
	Columns     Columns     `sheet:"columns,required"`
	Dynamometer Dynamometer `sheet:"dynamometer"`
	Rules       Rules       `sheet:"rules"`
	Uncertainty Uncertainty `sheet:"uncertainty"`

	name string // of the file, for messages
}

// Layout says how to read the text, where that is not left to be found, and what stands
// in no column.
type Layout struct {
	Encoding   string         `sheet:"encoding"`            // "UTF-8", "UTF-16LE", "UTF-16BE" or "Windows-1252"; default found
	Delimiter  Delimiter      `sheet:"delimiter"`           // default found
	Decimal    Decimal        `sheet:"decimal"`             // default found
	HeaderLine int            `sheet:"header_line"`         // of the names, the first is 1, -1 for none; default found
	UnitsLine  int            `sheet:"units_line"`          // likewise
	MostRagged quantity.Ratio `sheet:"most_ragged"`         // share of rows that may be of a wrong length; default 5 %
	Interval   quantity.Time  `sheet:"interval"`            // between two rows, where no column tells the time
	Valves     int            `sheet:"valves_per_cylinder"` // of the engine, for the record of pulls; default not told
}

// Columns names the column of each quantity as the header does. "column 3" is the third.
type Columns struct {
	Time            *Column         `sheet:"time"`
	Speed           *Column         `sheet:"speed,required"`
	Pulse           *PulseColumn    `sheet:"pulse"` // of each injector; or
	Duty            *Column         `sheet:"duty"`  // of each injector, dead time counted
	SecondaryPulse  *PulseColumn    `sheet:"secondary_pulse"`
	SecondaryDuty   *Column         `sheet:"secondary_duty"`
	Rail            *PressureColumn `sheet:"rail_pressure"`
	Manifold        *PressureColumn `sheet:"manifold_pressure"`
	Ethanol         *Column         `sheet:"ethanol"` // by volume
	Lambda          *LambdaColumn   `sheet:"lambda"`
	Power           *PowerColumn    `sheet:"power"` // or
	Torque          *PowerColumn    `sheet:"torque"`
	FuelTemperature *Column         `sheet:"fuel_temperature"`
	Voltage         *Column         `sheet:"voltage"` // at the injectors
	Throttle        *Column         `sheet:"throttle"`
}

// Column is a column and its unit.
type Column struct {
	Name string `sheet:"column,required"`
	Unit string `sheet:"unit"` // default that of the header
}

// PressureColumn is a column of pressures.
type PressureColumn struct {
	Name      string    `sheet:"column,required"`
	Unit      string    `sheet:"unit"`
	Reference Reference `sheet:"reference,required"`
}

// PulseColumn is a column of pulse widths.
type PulseColumn struct {
	Name     string          `sheet:"column,required"`
	Unit     string          `sheet:"unit"`
	DeadTime DeadTimeInPulse `sheet:"dead_time"` // default included
}

// LambdaColumn is a column of lambda, or of air-fuel ratios that a meter makes of it.
type LambdaColumn struct {
	Name           string         `sheet:"column,required"`
	Unit           string         `sheet:"unit"`
	Stoichiometric quantity.Ratio `sheet:"stoichiometric"` // the air-fuel ratio that the meter shows at lambda 1, such as 14.7; default the column is lambda
}

// PowerColumn is a column of power or torque.
type PowerColumn struct {
	Name string         `sheet:"column,required"`
	Unit string         `sheet:"unit"`
	At   Place          `sheet:"at,required"`
	Loss quantity.Ratio `sheet:"loss"` // share of crank power lost on the way to the wheels; default that of the build sheet
}

// Dynamometer says how its software corrected power and torque. Fuel belongs to what the
// engine really made.
type Dynamometer struct {
	Correction  air.Standard         `sheet:"correction"`  // default none
	Barometer   quantity.Pressure    `sheet:"barometer"`   // absolute, at the place and time of the pull; needed with a correction
	Temperature quantity.Temperature `sheet:"temperature"` // of the air drawn in; needed with a correction
	Humidity    quantity.Ratio       `sheet:"humidity"`    // relative; default dry air
}

// MappingError lists everything wrong with a mapping, in the order of its lines.
type MappingError struct {
	Mapping  string // the file's name
	Problems []sheet.Problem
}

// Error gives one line per problem under a heading.
func (e *MappingError) Error() string {
	var b strings.Builder
	if n := len(e.Problems); n == 1 {
		fmt.Fprintf(&b, "%s has a problem:", e.Mapping)
	} else {
		fmt.Fprintf(&b, "%s has %d problems:", e.Mapping, n)
	}
	for _, p := range e.Problems {
		b.WriteString("\n  " + p.String())
	}
	return b.String()
}

// ReadMapping reads a mapping from its text; name stands in messages. The error is a
// [*MappingError].
func ReadMapping(name string, data []byte) (Mapping, error) {
	doc, problem := sheet.Parse(data)
	if problem != nil {
		return Mapping{}, &MappingError{name, []sheet.Problem{*problem}}
	}
	var m Mapping
	problems := doc.Decode(&m)
	for _, p := range m.problems() {
		if !slices.ContainsFunc(problems, func(q sheet.Problem) bool { return q.Field == p.Field || strings.HasPrefix(q.Field, p.Field+".") }) {
			p.Line = doc.Line(p.Field)
			problems = append(problems, p)
		}
	}
	if len(problems) > 0 {
		slices.SortStableFunc(problems, func(a, b sheet.Problem) int { return a.Line - b.Line })
		return Mapping{}, &MappingError{name, problems}
	}
	m.name = name
	return m, nil
}

// problems lists what is wrong with a mapping by itself.
func (m Mapping) problems() []sheet.Problem {
	var list []sheet.Problem
	add := func(field, reason, accepted string) {
		list = append(list, sheet.Problem{Field: field, Reason: reason, Accepted: accepted})
	}
	c := m.Columns
	oneOf := func(first, second string, a, b bool) {
		if a && b {
			add("columns."+second, "is given beside "+first, "one of them")
		}
	}
	oneOf("pulse", "duty", c.Pulse != nil, c.Duty != nil)
	oneOf("secondary_pulse", "secondary_duty", c.SecondaryPulse != nil, c.SecondaryDuty != nil)
	oneOf("power", "torque", c.Power != nil, c.Torque != nil)
	if c.Pulse == nil && c.Duty == nil {
		add("columns.pulse", "is missing", "the column of pulse width, or columns.duty")
	}
	switch {
	case c.Time == nil && m.Log.Interval == 0:
		add("columns.time", "is missing", `the column of time, or log.interval such as "10 ms"`)
	case c.Time != nil && m.Log.Interval != 0:
		add("log.interval", "is given beside columns.time", "one of them")
	case m.Log.Interval < 0:
		add("log.interval", "is not positive", quantity.Accepted[quantity.Time]())
	}
	if m.Log.Valves < 0 || m.Log.Valves > 6 {
		add("log.valves_per_cylinder", "is out of range", "a whole number from 1 to 6")
	}
	for field, line := range map[string]int{"header_line": m.Log.HeaderLine, "units_line": m.Log.UnitsLine} {
		if line < -1 {
			add("log."+field, "is out of range", "the line, counted from 1, or -1 where there is none")
		}
	}
	for field, p := range map[string]*PowerColumn{"power": c.Power, "torque": c.Torque} {
		if p != nil && p.At == AtCrank && p.Loss != 0 {
			add("columns."+field+".loss", "has no use at the crank", `leave it out, or say at = "wheels"`)
		}
		if p != nil && (p.Loss < 0 || p.Loss > 0.5) {
			add("columns."+field+".loss", "is out of range", "a share from 0 to 50 %")
		}
	}
	if l := c.Lambda; l != nil && l.Stoichiometric != 0 && (l.Stoichiometric < 5 || l.Stoichiometric > 20) {
		add("columns.lambda.stoichiometric", "is out of range", "the air-fuel ratio shown at lambda 1, from 5 to 20")
	}
	d := m.Dynamometer
	if d.Correction == air.None {
		for field, given := range map[string]bool{"barometer": d.Barometer != 0, "temperature": d.Temperature != 0, "humidity": d.Humidity != 0} {
			if given {
				add("dynamometer."+field, "has no use without correction", "leave it out, or give correction")
			}
		}
	} else {
		if d.Barometer < 50*quantity.Kilopascal || d.Barometer > 110*quantity.Kilopascal {
			add("dynamometer.barometer", "is missing or out of range", "the absolute pressure at the place, from 50 kPa to 110 kPa")
		}
		if d.Temperature < quantity.Celsius(-40) || d.Temperature > quantity.Celsius(60) {
			add("dynamometer.temperature", "is missing or out of range", "the air's, from -40 °C to 60 °C")
		}
		if d.Humidity < 0 || d.Humidity > 1 {
			add("dynamometer.humidity", "is out of range", "a share from 0 to 100 %")
		}
	}
	list = append(list, m.Rules.problems()...)
	slices.SortFunc(list, func(a, b sheet.Problem) int { return strings.Compare(a.Field, b.Field) })
	return list
}

// observed returns the power really made over the one shown.
func (d Dynamometer) observed() float64 {
	if d.Correction == air.None {
		return 1
	}
	w := air.Weather{Barometer: d.Barometer, Temperature: d.Temperature, Humidity: d.Humidity}
	p, _ := d.Correction.Observed(1*quantity.Watt, w.Dry(), w.Temperature)
	return float64(p)
}
