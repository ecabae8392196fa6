package quantity

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// ErrSyntax marks text that is not a number with a unit of the wanted kind.
var ErrSyntax = errors.New("not a number with a unit")

// ErrRange marks a value that the quantity cannot have, such as a negative
// absolute pressure.
var ErrRange = errors.New("value out of range")

// ParseError reports text that [Parse] could not read.
type ParseError struct {
	Text     string // what was given
	Reason   string // what is wrong with it
	Accepted string // what would be accepted
	Err      error  // ErrSyntax or ErrRange
}

// Error gives the text, the reason and what would be accepted.
func (e *ParseError) Error() string {
	return fmt.Sprintf("%q: %s; want %s", e.Text, e.Reason, e.Accepted)
}

// Unwrap returns ErrSyntax or ErrRange.
func (e *ParseError) Unwrap() error { return e.Err }

// Parse reads a number and a unit, with or without a space between them:
// "14 psi", "14psi", "3.4 L", "38 °C", "1e3 cc/min". Units are spelled as the
// trade does ("psi", "lb/h", "gph") or as SI does, case mattering only where
// two units differ in nothing else; "²" and "2", "·" and " ", "°" and "deg" are
// the same. Ratios also read without a unit ("0.85") or in percent ("85 %").
//
// The error is a [*ParseError]: ErrSyntax for text that is not a number with a
// unit of this kind, ErrRange for a value the quantity cannot have. The result
// is then zero.
func Parse[Q Quantity](text string) (Q, error) {
	var zero Q
	d := zero.dimension()
	fail := func(err error, format string, args ...any) (Q, error) {
		return zero, &ParseError{Text: text, Reason: fmt.Sprintf(format, args...), Accepted: d.accepted(), Err: err}
	}
	number, symbol := split(strings.TrimSpace(text))
	if number == "" {
		return fail(ErrSyntax, "no number found")
	}
	if strings.HasPrefix(symbol, ",") {
		return fail(ErrSyntax, "a comma in a number is ambiguous, write %q for a decimal or leave the thousands comma out",
			strings.Replace(strings.TrimSpace(text), ",", ".", 1))
	}
	v, err := strconv.ParseFloat(number, 64)
	if err != nil {
		if errors.Is(err, strconv.ErrRange) {
			return fail(ErrRange, "number %s is too large", number)
		}
		return fail(ErrSyntax, "%q is not a number", number)
	}
	u, ok := d.find(symbol)
	if !ok {
		if why, known := d.foreign[unitSpelling.Replace(symbol)]; known {
			return fail(ErrSyntax, "%s", why)
		}
		if symbol == "" {
			return fail(ErrSyntax, "the unit is missing")
		}
		return fail(ErrSyntax, "unknown unit %q", symbol)
	}
	si := u.toSI(v)
	switch {
	case math.IsInf(si, 0) || math.IsNaN(si):
		return fail(ErrRange, "number %s is too large", number)
	case d.bounded && si < d.min:
		return fail(ErrRange, "below the least possible value, %s", render(d.min, d.printUnit(SI)))
	case d.bounded && d.max > d.min && si > d.max:
		return fail(ErrRange, "above the greatest possible value, %s", render(d.max, d.printUnit(SI)))
	}
	return Q(si), nil
}

// MustParse is like [Parse] but panics on an error. It is for constants and tests.
func MustParse[Q Quantity](text string) Q {
	q, err := Parse[Q](text)
	if err != nil {
		panic("quantity: " + err.Error())
	}
	return q
}

// split cuts text after its leading decimal number. An exponent counts only
// where digits follow it, so that "3 eV" or "2e" do not lose their letter.
func split(text string) (number, rest string) {
	digits := func(i int) int {
		for i < len(text) && '0' <= text[i] && text[i] <= '9' {
			i++
		}
		return i
	}
	i := 0
	if i < len(text) && (text[i] == '+' || text[i] == '-') {
		i++
	}
	start := i
	i = digits(i)
	count := i - start
	if i < len(text) && text[i] == '.' {
		end := digits(i + 1)
		count += end - i - 1
		i = end
	}
	if count == 0 {
		return "", text
	}
	if i < len(text) && (text[i] == 'e' || text[i] == 'E') {
		j := i + 1
		if j < len(text) && (text[j] == '+' || text[j] == '-') {
			j++
		}
		if end := digits(j); end > j {
			i = end
		}
	}
	return text[:i], strings.TrimSpace(text[i:])
}

// marshal writes q in its coherent SI unit with every digit.
func marshal[Q Quantity](q Q) ([]byte, error) {
	v := float64(q)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil, fmt.Errorf("%s cannot be written: it is %v", q.dimension().name, v)
	}
	text := strconv.FormatFloat(v, 'g', -1, 64)
	if symbol := q.dimension().units[0].symbol; symbol != "" {
		text += " " + symbol
	}
	return []byte(text), nil
}

// unmarshal is Parse into *q; *q is left alone on an error.
func unmarshal[Q Quantity](q *Q, text []byte) error {
	v, err := Parse[Q](string(text))
	if err != nil {
		return err
	}
	*q = v
	return nil
}

// Scale returns the printed symbol of a unit given as text, and the ways from a
// quantity to its number in that unit and back. An empty text is a unit only for
// ratios. The error is a [*ParseError].
func Scale[Q Quantity](unit string) (symbol string, number func(Q) float64, of func(float64) Q, err error) {
	var zero Q
	d := zero.dimension()
	u, ok := d.find(strings.TrimSpace(unit))
	if !ok {
		reason := "unknown unit"
		if why, known := d.foreign[unitSpelling.Replace(unit)]; known {
			reason = why
		} else if unit == "" {
			reason = "the unit is missing"
		}
		return "", nil, nil, &ParseError{Text: unit, Reason: reason, Accepted: d.accepted(), Err: ErrSyntax}
	}
	return u.symbol, func(q Q) float64 { return u.fromSI(float64(q)) }, func(v float64) Q { return Q(u.toSI(v)) }, nil
}
