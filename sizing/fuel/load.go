package fuel

import (
	"math"
	"strconv"

	"example.com/railbook/sizing/quantity"
)

var constituentColumns = []string{"constituent", "property", "at", "value", "unit", "source", "note"}

// scalar is a property with one value.
type scalar struct {
	field    func(*species) *float64
	read     func(row) (float64, error)
	min, max float64 // SI, what is plausible
	required bool
}

var scalars = map[string]scalar{
	"molar mass":            {func(s *species) *float64 { return &s.statedMolar }, scaled[quantity.MolarMass], 0.01, 0.3, false},
	"carbon":                {func(s *species) *float64 { return &s.statedC }, scaled[quantity.MassFraction], 0, 1, false},
	"hydrogen":              {func(s *species) *float64 { return &s.statedH }, scaled[quantity.MassFraction], 0, 1, false},
	"oxygen":                {func(s *species) *float64 { return &s.statedO }, scaled[quantity.MassFraction], 0, 1, false},
	"lower heating value":   {func(s *species) *float64 { return &s.lhv }, scaled[quantity.SpecificEnergy], -3e6, 60e6, true},
	"higher heating value":  {func(s *species) *float64 { return &s.hhv }, scaled[quantity.SpecificEnergy], 0, 60e6, true},
	"latent heat":           {func(s *species) *float64 { return &s.latent }, scaled[quantity.SpecificEnergy], 0.1e6, 3e6, true},
	"flash point":           {func(s *species) *float64 { return &s.flash }, whole[quantity.Temperature], 173.15, 373.15, false},
	"lower flammable limit": {func(s *species) *float64 { return &s.lower }, scaled[quantity.VolumeFraction], 0.001, 0.5, false},
	"upper flammable limit": {func(s *species) *float64 { return &s.upper }, scaled[quantity.VolumeFraction], 0.001, 0.5, false},
	"boiling point":         {func(s *species) *float64 { return &s.boiling }, whole[quantity.Temperature], 273.15, 473.15, false},
}

// series is a property that is tabulated against temperature and fitted.
type series struct {
	curve     func(*species) *polynomial
	read      func(row) (float64, error)
	min, max  float64               // SI, what is plausible
	rises     bool                  // with temperature; otherwise it falls
	x, y      func(float64) float64 // what is fitted against what
	back      func(float64) float64 // the inverse of y
	degree    int                   // of the polynomial
	tolerance float64               // relative, of the fit
}

func same(v float64) float64    { return v }
func inverse(v float64) float64 { return 1 / v }

var tabulated = map[string]series{
	"density": {
		curve: func(s *species) *polynomial { return &s.density }, read: scaled[quantity.Density],
		min: 600, max: 1100, x: same, y: same, back: same, degree: 2, tolerance: 0.001,
	},
	"viscosity": {
		curve: func(s *species) *polynomial { return &s.lnVisc }, read: scaled[quantity.Viscosity],
		min: 0.1e-3, max: 10e-3, x: inverse, y: math.Log, back: math.Exp, degree: 3, tolerance: 0.005,
	},
	"vapour pressure": {
		curve: func(s *species) *polynomial { return &s.lnVapour }, read: scaled[quantity.Pressure],
		min: 50, max: 1e6, rises: true, x: inverse, y: math.Log, back: math.Exp, degree: 3, tolerance: 0.005,
	},
}

// reading is one value of a series.
type reading struct {
	t, v float64
	row  row
}

// draft is a species being read.
type draft struct {
	*species
	first  row
	seen   map[string]row // the scalars and texts
	base   *draft         // what is not given is taken from it
	series map[string][]reading
}

// scaled reads the value of a row times its unit, in SI units.
func scaled[Q quantity.Quantity](r row) (float64, error) {
	unit, err := quantity.Parse[Q]("1 " + r.text["unit"])
	if err != nil {
		return 0, r.fail("unit", "%v", err)
	}
	v, err := strconv.ParseFloat(r.text["value"], 64)
	if err != nil {
		return 0, r.fail("value", "%q is not a number", r.text["value"])
	}
	return v * float64(unit), nil
}

// whole reads the value and the unit of a row together, for scales with a zero
// of their own.
func whole[Q quantity.Quantity](r row) (float64, error) {
	q, err := quantity.Parse[Q](r.text["value"] + " " + r.text["unit"])
	if err != nil {
		return 0, r.fail("value", "%v", err)
	}
	return float64(q), nil
}

// load reads and checks the tables of constituents and of their sources. Its
// errors name the row and the column.
func load(constituents, sources string) (*table, error) {
	cited, err := loadSources(sources)
	if err != nil {
		return nil, err
	}
	rows, err := readTable("constituents.csv", constituents, constituentColumns)
	if err != nil {
		return nil, err
	}
	t := &table{names: map[string]*species{}}
	drafts := map[string]*draft{}
	for _, r := range rows {
		name := r.text["constituent"]
		if name == "" {
			return nil, r.fail("constituent", "it is empty")
		}
		d := drafts[name]
		if d == nil {
			if len(t.species) == maxSpecies {
				return nil, r.fail("constituent", "%q is one more than the %d there is room for", name, maxSpecies)
			}
			d = &draft{species: &species{index: len(t.species), name: name}, first: r,
				seen: map[string]row{}, series: map[string][]reading{}}
			drafts[name] = d
			t.species = append(t.species, d.species)
			if err := t.enter(name, d.species, r, "constituent"); err != nil {
				return nil, err
			}
		}
		switch r.text["property"] {
		case "alias", "base", "family":
			err = d.readName(r, t, drafts)
		default:
			err = d.readValue(r, cited)
		}
		if err != nil {
			return nil, err
		}
	}
	for _, s := range t.species { // a base stands before what is taken from it
		if err := drafts[s.name].finish(); err != nil {
			return nil, err
		}
	}
	t.ethanol = t.names["ethanol"]
	return t, nil
}

// readName takes a row into the draft that says what the constituent is, and needs
// no source.
func (d *draft) readName(r row, t *table, drafts map[string]*draft) (err error) {
	property, value := r.text["property"], r.text["value"]
	if value == "" {
		return r.fail("value", "it is empty")
	}
	if property == "alias" {
		d.aliases = append(d.aliases, value)
		return t.enter(value, d.species, r, "value")
	}
	if _, twice := d.seen[property]; twice {
		return r.fail("property", "the %s of %s is given twice", property, d.name)
	}
	d.seen[property] = r
	if property == "family" {
		if d.family, err = parseFamily(value); err != nil {
			return r.fail("value", "%v", err)
		}
		return nil
	}
	if d.base = drafts[value]; d.base == nil || d.base == d {
		return r.fail("value", "%q does not stand above %s", value, d.name)
	}
	return nil
}

// readValue takes one row with a value into the draft.
func (d *draft) readValue(r row, cited map[string]Source) error {
	property, value := r.text["property"], r.text["value"]
	if value == "" {
		return r.fail("value", "it is empty")
	}
	source, ok := cited[r.text["source"]]
	if !ok {
		return r.fail("source", "%q is not in sources.csv", r.text["source"])
	}
	d.values = append(d.values, Value{
		Property: property, At: r.text["at"], Value: joined(value, r.text["unit"]), Source: source, Note: r.text["note"],
	})
	if kind, ok := tabulated[property]; ok {
		return d.readSeries(r, kind)
	}
	if _, twice := d.seen[property]; twice {
		return r.fail("property", "the %s of %s is given twice", property, d.name)
	}
	d.seen[property] = r
	if r.text["at"] != "" {
		return r.fail("at", "%s is not tabulated against temperature", property)
	}
	switch property {
	case "formula":
		atoms, err := parseFormula(value)
		if err != nil {
			return r.fail("value", "%v", err)
		}
		d.formula, d.atoms, d.molar = value, atoms, atoms.molarMass()
		return nil
	case "fire class":
		d.class = value
		return nil
	}
	kind, ok := scalars[property]
	if !ok {
		return r.fail("property", "unknown property %q", property)
	}
	v, err := d.plausible(r, kind.read, kind.min, kind.max)
	if err != nil {
		return err
	}
	*kind.field(d.species) = v
	return nil
}

func (d *draft) readSeries(r row, kind series) error {
	at, err := quantity.Parse[quantity.Temperature](r.text["at"])
	if err != nil {
		return r.fail("at", "%v", err)
	}
	v, err := d.plausible(r, kind.read, kind.min, kind.max)
	if err != nil {
		return err
	}
	property := r.text["property"]
	d.series[property] = append(d.series[property], reading{float64(at), v, r})
	return nil
}

// plausible reads the value of a row, which has to lie between least and most.
func (d *draft) plausible(r row, read func(row) (float64, error), least, most float64) (float64, error) {
	v, err := read(r)
	if err != nil {
		return 0, err
	}
	if !(v >= least && v <= most) {
		return 0, r.fail("value", "%s is no plausible %s of %s", joined(r.text["value"], r.text["unit"]), r.text["property"], d.name)
	}
	return v, nil
}

// joined puts a unit after a value.
func joined(value, unit string) string {
	if unit == "" {
		return value
	}
	return value + " " + unit
}
