package evidence

import "example.com/railbook/sizing/internal/choice"

// Reference says what a pressure sensor measures from. The zero value is not valid: it
// has to be told.
type Reference uint8

const (
	Absolute     Reference = iota + 1 // from vacuum
	Gauge                             // from ambient
	FromManifold                      // from the manifold: the differential pressure itself
)

var references = choice.New("a pressure's reference", "absolute", "gauge", "manifold")

// String returns "absolute", "gauge" or "manifold".
func (r Reference) String() string { return references.Name(int(r) - 1) }

// MarshalText returns String.
func (r Reference) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads the words of String in any case.
func (r *Reference) UnmarshalText(text []byte) error {
	i, err := references.Index(string(text))
	if err == nil {
		*r = Reference(i + 1)
	}
	return err
}

// Accepts says what UnmarshalText takes.
func (Reference) Accepts() string { return references.Accepts() }

// Place says where power or torque was measured. The zero value is not valid: it has to
// be told.
type Place uint8

const (
	AtCrank Place = iota + 1
	AtWheels
)

var places = choice.New("a place of measurement", "crank", "wheels")

// String returns "crank" or "wheels".
func (p Place) String() string { return places.Name(int(p) - 1) }

// MarshalText returns String.
func (p Place) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads the words of String in any case.
func (p *Place) UnmarshalText(text []byte) error {
	i, err := places.Index(string(text))
	if err == nil {
		*p = Place(i + 1)
	}
	return err
}

// Accepts says what UnmarshalText takes.
func (Place) Accepts() string { return places.Accepts() }

// DeadTimeInPulse says whether a logged pulse is the one commanded, or the one that is
// meant to inject. The zero value is the one commanded.
type DeadTimeInPulse uint8

const (
	Included DeadTimeInPulse = iota
	LeftOut
)

var deadTimes = choice.New("a way to log a pulse", "included", "left out")

// String returns "included" or "left out".
func (d DeadTimeInPulse) String() string { return deadTimes.Name(int(d)) }

// MarshalText returns String.
func (d DeadTimeInPulse) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads the words of String in any case.
func (d *DeadTimeInPulse) UnmarshalText(text []byte) error {
	i, err := deadTimes.Index(string(text))
	if err == nil {
		*d = DeadTimeInPulse(i)
	}
	return err
}

// Accepts says what UnmarshalText takes.
func (DeadTimeInPulse) Accepts() string { return deadTimes.Accepts() }

// Delimiter stands between the cells of a log. The zero value is to be found.
type Delimiter uint8

const (
	FoundDelimiter Delimiter = iota
	Comma
	Semicolon
	Tab
)

var delimiters = choice.New("a delimiter", "found", "comma", "semicolon", "tab")

// String returns "found", "comma", "semicolon" or "tab".
func (d Delimiter) String() string { return delimiters.Name(int(d)) }

// MarshalText returns String.
func (d Delimiter) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads the words of String in any case, or the delimiter itself.
func (d *Delimiter) UnmarshalText(text []byte) error {
	switch string(text) {
	case ",":
		*d = Comma
		return nil
	case ";":
		*d = Semicolon
		return nil
	case "\t":
		*d = Tab
		return nil
	}
	i, err := delimiters.Index(string(text))
	if err == nil {
		*d = Delimiter(i)
	}
	return err
}

// Accepts says what UnmarshalText takes.
func (Delimiter) Accepts() string { return delimiters.Accepts() }

func (d Delimiter) byte() byte { return [...]byte{0, ',', ';', '\t'}[d] }

// Decimal is the mark between whole and broken part of a number. The zero value is to be
// found.
type Decimal uint8

const (
	FoundDecimal Decimal = iota
	Point
	DecimalComma
)

var decimals = choice.New("a decimal mark", "found", "point", "comma")

// String returns "found", "point" or "comma".
func (d Decimal) String() string { return decimals.Name(int(d)) }

// MarshalText returns String.
func (d Decimal) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads the words of String in any case, or the mark itself.
func (d *Decimal) UnmarshalText(text []byte) error {
	switch string(text) {
	case ".":
		*d = Point
		return nil
	case ",":
		*d = DecimalComma
		return nil
	}
	i, err := decimals.Index(string(text))
	if err == nil {
		*d = Decimal(i)
	}
	return err
}

// Accepts says what UnmarshalText takes.
func (Decimal) Accepts() string { return decimals.Accepts() }

func (d Decimal) byte() byte { return [...]byte{0, '.', ','}[d] }
