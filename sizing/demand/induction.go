package demand

import (
	"strings"

	"example.com/railbook/sizing/internal/choice"
)

// Induction is how an engine gets its air. The zero value is naturally
// aspirated.
type Induction uint8

const (
	NaturallyAspirated Induction = iota
	Supercharged                 // compressor driven by the crankshaft
	Turbocharged                 // compressor driven by exhaust gas
)

var inductions = choice.New("an induction kind",
	"naturally aspirated", "supercharged", "turbocharged")

// String returns the words a build sheet uses.
func (k Induction) String() string { return inductions.Name(int(k)) }

// Boosted reports whether a compressor raises the manifold pressure.
func (k Induction) Boosted() bool { return k != NaturallyAspirated }

// MarshalText returns the words a build sheet uses.
func (k Induction) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads the words of String, in any case and with hyphens or
// spaces.
func (k *Induction) UnmarshalText(text []byte) error {
	i, err := inductions.Index(strings.ReplaceAll(string(text), "-", " "))
	if err == nil {
		*k = Induction(i)
	}
	return err
}

// Accepts says what UnmarshalText takes.
func (Induction) Accepts() string { return inductions.Accepts() }

// BandPoint chooses where within a BSFC band the power route sizes. The zero
// value is the high side.
type BandPoint uint8

const (
	High   BandPoint = iota // the band's high end: the prudent default
	Middle                  // half way
	Low                     // the band's low end
)

var bandPoints = choice.New("a place in the band", "high", "middle", "low")

// String returns "high", "middle" or "low".
func (p BandPoint) String() string { return bandPoints.Name(int(p)) }

// MarshalText returns String.
func (p BandPoint) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads the words of String in any case.
func (p *BandPoint) UnmarshalText(text []byte) error {
	i, err := bandPoints.Index(string(text))
	if err == nil {
		*p = BandPoint(i)
	}
	return err
}

// Accepts says what UnmarshalText takes.
func (BandPoint) Accepts() string { return bandPoints.Accepts() }

// Route is a way to reach the fuel demand, or the choice among the three. The
// zero value is the highest of them.
type Route uint8

const (
	Highest Route = iota // whichever of the three asks for the most fuel
	Power
	Energy
	Air
)

var routes = choice.New("a route", "highest", "power", "energy", "air")

// String returns "highest", "power", "energy" or "air".
func (r Route) String() string { return routes.Name(int(r)) }

// MarshalText returns String.
func (r Route) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads the words of String in any case.
func (r *Route) UnmarshalText(text []byte) error {
	i, err := routes.Index(string(text))
	if err == nil {
		*r = Route(i)
	}
	return err
}

// Accepts says what UnmarshalText takes.
func (Route) Accepts() string { return routes.Accepts() }
