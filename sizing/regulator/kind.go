package regulator

import (
	"example.com/railbook/sizing/internal/choice"
	"example.com/railbook/sizing/quantity"
)

// Kind says where a regulator sits and what its pressure refers to. The zero
// value is none of them and is not valid. Its text forms are
// "manifold-referenced", "fixed" and "returnless".
type Kind uint8

const (
	// ManifoldReferenced sits at the rail, has a return line, and holds the base
	// pressure above manifold pressure.
	ManifoldReferenced Kind = iota + 1
	// Fixed sits at the rail, has a return line, and holds the base pressure above
	// ambient pressure, so that boost takes from the injectors' pressure difference.
	Fixed
	// Returnless sits at the pump and holds the base pressure above ambient there.
	// The feed line carries only what the engine burns, and what it loses comes
	// off the rail pressure.
	Returnless
)

var kinds = choice.New("a kind of regulator", "manifold-referenced", "fixed", "returnless")

func (k Kind) valid() bool { return k >= ManifoldReferenced && k <= Returnless }

// AtRail reports whether the regulator sits at the rail and has a return line
// from there.
func (k Kind) AtRail() bool { return k == ManifoldReferenced || k == Fixed }

// String returns the name of k, or "?" where it is no kind.
func (k Kind) String() string { return kinds.Name(int(k) - 1) }

// ParseKind reads the name of a kind in any case. The error is a
// [*quantity.ParseError] that lists the names.
func ParseKind(text string) (Kind, error) {
	i, err := kinds.Index(text)
	if err != nil {
		return 0, err
	}
	return Kind(i + 1), nil
}

// Accepts says in a phrase what [ParseKind] takes.
func (Kind) Accepts() string { return kinds.Accepts() }

// MarshalText writes the name of k.
func (k Kind) MarshalText() ([]byte, error) {
	if !k.valid() {
		return nil, k.refuse()
	}
	return []byte(k.String()), nil
}

// UnmarshalText reads k as [ParseKind] does and leaves it alone on an error.
func (k *Kind) UnmarshalText(text []byte) error {
	v, err := ParseKind(string(text))
	if err != nil {
		return err
	}
	*k = v
	return nil
}

func (k Kind) refuse() error {
	return &quantity.ParseError{Text: k.String(), Reason: "is not a kind of regulator", Accepted: kinds.Accepts(), Err: quantity.ErrRange}
}
