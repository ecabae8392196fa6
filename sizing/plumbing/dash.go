package plumbing

import (
	"fmt"
	"strconv"
	"strings"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// Dash is the size of a hose or tube by its dash number. It is made by [DashHose],
// [DashTube] or [ParseDash], is comparable and does not change. The zero value is no
// size. Its text forms are "-8 hose" and "-8 tube, wall 0.035 in".
//
// The number counts sixteenths of an inch, and of what depends on the part:
//
//   - of a hose, its inside diameter (SAE J517 and J516, from memory; hose
//     distributors' tables agree). Hose of SAE 100R5 and 100R14, which includes most
//     hose with a core of PTFE, is the exception: it is named after the tube that it
//     replaces and its bore is less, 13/32 in for -8. Hose of an aircraft or racing
//     kind may follow either; its maker gives the bore, and the bore is then what to
//     state;
//   - of a tube, its outside diameter (SAE J514 and J525, from memory; the teaching of
//     aircraft mechanics agrees). Its bore is less by twice the wall.
//
// Fittings and threads such as AN or JIC are numbered after the tube they fit.
type Dash struct {
	number int
	wall   quantity.Length // zero for a hose
}

const dashAccepted = `the size of a hose such as "-8 hose", whose number counts sixteenths of an inch of its inside, ` +
	`or of a tube such as "-8 tube, wall 0.035 in", whose number counts those of its outside`

// Limits of a [Dash]. They catch slips, such as a wall in the wrong unit.
const (
	greatestDash = 64 // 4 in
	thinnestWall = 0.2 * quantity.Millimetre
)

// DashHose returns the size of a hose with n sixteenths of an inch of inside diameter,
// 1 to 64. The error is a [*quantity.ParseError].
func DashHose(n int) (Dash, error) {
	return Dash{number: n}.checked(strconv.Itoa(n))
}

// DashTube returns the size of a tube with n sixteenths of an inch of outside diameter,
// 1 to 64, and the given wall, which has to be 0.2 mm or more and leave a bore. The
// error wraps a [*quantity.ParseError].
func DashTube(n int, wall quantity.Length) (Dash, error) {
	if err := requireWall(wall); err != nil {
		return Dash{}, err
	}
	return Dash{number: n, wall: wall}.checked(strconv.Itoa(n))
}

func requireWall(wall quantity.Length) error {
	return check.Require(wall >= thinnestWall && finite(wall), "wall", wall, "must not be less than "+thinnestWall.String())
}

// checked returns d unless its number or what is left of its bore is out of range; text
// is what it was told by.
func (d Dash) checked(text string) (Dash, error) {
	reason := ""
	switch {
	case d.number < 1 || d.number > greatestDash:
		reason = fmt.Sprintf("the number must lie from 1 to %d", greatestDash)
	case !(d.Bore() > 0):
		reason = fmt.Sprintf("the wall leaves no bore in a tube of %v", d.nominal())
	default:
		return d, nil
	}
	return Dash{}, &quantity.ParseError{Text: text, Reason: reason, Accepted: dashAccepted, Err: quantity.ErrRange}
}

// nominal is the diameter that the number counts.
func (d Dash) nominal() quantity.Length { return quantity.Of(float64(d.number)/16, quantity.Inch) }

// Bore returns the inside diameter, zero where there is no size. It is nominal: hose may
// be half a millimetre off (common practice, no source).
func (d Dash) Bore() quantity.Length { return d.nominal() - 2*d.wall }

// IsZero reports whether d is the zero Dash, which is no size.
func (d Dash) IsZero() bool { return d == Dash{} }

// ParseDash reads "-8 hose" or "-8 tube, wall 0.035 in", the wall in any unit of length.
// It refuses a number alone, "-8" or "-8 AN", since that does not tell the bore. The
// error wraps a [*quantity.ParseError].
func ParseDash(text string) (Dash, error) {
	fail := func(err error, format string, args ...any) (Dash, error) {
		return Dash{}, &quantity.ParseError{Text: text, Reason: fmt.Sprintf(format, args...), Accepted: dashAccepted, Err: err}
	}
	plain := strings.ToLower(dashes.Replace(strings.Join(strings.Fields(text), " ")))
	digits, dashed := strings.CutPrefix(plain, "-")
	digits, kind, _ := strings.Cut(digits, " ")
	n, err := strconv.ParseUint(digits, 10, 16)
	if !dashed || err != nil {
		return fail(quantity.ErrSyntax, "it does not begin with a dash and a number")
	}
	d := Dash{number: int(n)}
	switch word, rest, _ := strings.Cut(kind, " "); {
	case kind == "" || kind == "an" || kind == "jic":
		return fail(quantity.ErrSyntax, "a dash number alone does not tell the bore: a hose is numbered by its inside, a tube by its outside, from which the wall comes off twice")
	case kind == "hose":
	case word == "tube" || word == "tube,":
		wall, found := strings.CutPrefix(rest, "wall ")
		if !found {
			return fail(quantity.ErrSyntax, "the wall is missing, without which the outside of a tube does not tell its bore")
		}
		if d.wall, err = quantity.Parse[quantity.Length](wall); err != nil {
			return Dash{}, fmt.Errorf("wall: %w", err)
		}
		if err := requireWall(d.wall); err != nil {
			return Dash{}, err
		}
	case strings.Contains(kind, "hose"):
		return fail(quantity.ErrSyntax, "only a plain %q has that bore; of 100R5, 100R14, PTFE and AN hose state the bore itself", "-"+digits+" hose")
	default:
		return fail(quantity.ErrSyntax, "%q is neither a hose nor a tube", kind)
	}
	return d.checked(text)
}

// dashes turns the dashes that a word processor writes into plain ones.
var dashes = strings.NewReplacer("\u2010", "-", "\u2011", "-", "\u2013", "-", "\u2212", "-")

// Format prints d, its wall with four digits in the units of s.
func (d Dash) Format(s quantity.System) string {
	switch {
	case d.IsZero():
		return "no size"
	case d.wall == 0:
		return fmt.Sprintf("-%d hose", d.number)
	}
	return fmt.Sprintf("-%d tube, wall %s", d.number, quantity.Format(d.wall, s))
}

// String prints d in metric units, as [Dash.Format] does.
func (d Dash) String() string { return d.Format(quantity.SI) }

// Accepts says in a phrase what [ParseDash] takes.
func (Dash) Accepts() string { return dashAccepted }

// MarshalText writes d with every digit of its wall, and the zero Dash as an empty text.
func (d Dash) MarshalText() ([]byte, error) {
	switch {
	case d.IsZero():
		return nil, nil
	case d.wall == 0:
		return []byte(d.String()), nil
	}
	wall, err := d.wall.MarshalText()
	if err != nil {
		return nil, err
	}
	return fmt.Appendf(nil, "-%d tube, wall %s", d.number, wall), nil
}

// UnmarshalText reads d as [ParseDash] does, and an empty text as the zero Dash. It
// leaves d alone on an error.
func (d *Dash) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*d = Dash{}
		return nil
	}
	v, err := ParseDash(string(text))
	if err != nil {
		return err
	}
	*d = v
	return nil
}
