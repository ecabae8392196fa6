package spread

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"example.com/railbook/sizing/quantity"
)

// Scale reads the numbers of a quantity with their units, and returns them in SI.
type Scale interface {
	// Parse reads one number with its unit.
	Parse(text string) (si float64, err error)
	// Scale returns the symbol of a unit and the ways between its numbers and SI.
	Scale(unit string) (symbol string, number, si func(float64) float64, err error)
}

// forms are the distributions that have a name, by [Kind], with what follows it.
var forms = [...]struct{ name, numbers string }{
	Uniform:    {"uniform", "LOW, HIGH"},
	Triangular: {"triangular", "LOW, MODE, HIGH"},
	Normal:     {"normal", "MEAN, SD"},
	Lognormal:  {"lognormal", "MEDIAN, PERCENT"},
}

// Accepts says in a phrase what [Parse] takes.
const Accepts = `a range such as "12.8..13.6 V", a tolerance such as "142 lb/h +- 2 %", or "uniform LOW, HIGH", ` +
	`"triangular LOW, MODE, HIGH", "normal MEAN, SD", "normal MEAN, SD within LOW..HIGH", "lognormal MEDIAN, PERCENT"`

// signs are the spellings of plus-minus.
var signs = strings.NewReplacer("±", "+-", "+/-", "+-")

// Stated reports whether text means to say a distribution: it is a range, has a
// tolerance, or starts with the name of a distribution.
func Stated(text string) bool {
	text = signs.Replace(text)
	if strings.Contains(text, "..") || strings.Contains(text, "+-") {
		return true
	}
	first, _, _ := strings.Cut(strings.TrimSpace(text), " ")
	_, named := kindNamed(first)
	return named
}

func kindNamed(name string) (Kind, bool) {
	for k, f := range forms {
		if strings.EqualFold(f.name, name) {
			return Kind(k), true
		}
	}
	return 0, false
}

// Parse reads a distribution of a quantity:
//
//	12.8..13.6 V                 a range: any value in it is as likely
//	142 lb/h +- 2 %              a tolerance, or with ±; likewise
//	142 lb/h +- 3 lb/h
//	uniform 12.8, 13.6 V         the same as a range
//	triangular 12.8, 13.4, 13.6 V   ends, and the most likely value between them
//	normal 13.2, 0.2 V           mean and standard deviation
//	normal 5 %, 2 % within 0..12 %
//	lognormal 142 lb/h, 5 %      median, and what 68 % of the values keep within
//
// A unit may stand behind each number, or once behind the last one. A tolerance or a
// standard deviation in percent is a share of the value before it. Where the quantity is
// a share itself a tolerance in percent would have two meanings and is refused, and a
// standard deviation is in percentage points.
//
// The error is a [*quantity.ParseError].
func Parse(text string, of Scale) (Spread, error) {
	s, err := parse(strings.TrimSpace(signs.Replace(text)), of)
	if err == nil {
		return s, nil
	}
	refused := &quantity.ParseError{Text: text, Reason: err.Error(), Accepted: Accepts, Err: quantity.ErrSyntax}
	var pe *quantity.ParseError
	if errors.As(err, &pe) {
		refused.Reason, refused.Err = fmt.Sprintf("%q: %s", pe.Text, pe.Reason), pe.Err
	}
	if errors.Is(err, ErrSpread) {
		refused.Reason, refused.Err = strings.TrimPrefix(err.Error(), ErrSpread.Error()+": "), quantity.ErrRange
	}
	return Spread{}, refused
}

func parse(text string, of Scale) (Spread, error) {
	first, rest, _ := strings.Cut(text, " ")
	if kind, named := kindNamed(first); named {
		return parseNamed(kind, strings.TrimSpace(rest), of)
	}
	if value, tolerance, ok := strings.Cut(text, "+-"); ok {
		return parseTolerance(value, tolerance, of)
	}
	low, high, err := parseRange(text, of)
	if err != nil {
		return Spread{}, err
	}
	return NewUniform(low, high)
}

// parseRange reads two numbers with dots between them.
func parseRange(text string, of Scale) (low, high float64, err error) {
	from, to, ok := strings.Cut(text, "..")
	if !ok || strings.Contains(to, "..") || strings.HasPrefix(to, ".") {
		return 0, 0, fmt.Errorf(`%q is no range; it has two dots between two numbers`, text)
	}
	list, err := values([]string{from, to}, of)
	if err != nil {
		return 0, 0, err
	}
	return list[0], list[1], nil
}

// parseNamed reads what follows the name of a distribution.
func parseNamed(kind Kind, text string, of Scale) (Spread, error) {
	numbers, limits, cut := strings.Cut(text, " within ")
	parts := strings.Split(numbers, ",")
	if want := 1 + strings.Count(forms[kind].numbers, ","); len(parts) != want {
		return Spread{}, fmt.Errorf("%s has %d numbers, not %d: %s %s", kind, want, len(parts), kind, forms[kind].numbers)
	}
	if cut && kind != Normal {
		return Spread{}, fmt.Errorf("only a normal distribution takes limits; a %s one does not", kind)
	}
	switch kind {
	case Lognormal:
		median, err := of.Parse(strings.TrimSpace(parts[0]))
		if err != nil {
			return Spread{}, err
		}
		number, unit := cutNumber(parts[1])
		share, err := quantity.Parse[quantity.Ratio](number + unit)
		if err != nil || unit != "%" {
			return Spread{}, fmt.Errorf("%q is no percentage; the spread of a lognormal number is one", strings.TrimSpace(parts[1]))
		}
		return NewLognormal(median, float64(share))
	case Normal:
		mean, sd, err := valueAndWidth(parts[0], parts[1], of, true)
		switch {
		case err != nil:
			return Spread{}, err
		case !cut:
			return NewNormal(mean, sd)
		}
		low, high, err := parseRange(limits, of)
		if err != nil {
			return Spread{}, err
		}
		return NewCutNormal(mean, sd, low, high)
	}
	list, err := values(parts, of)
	switch {
	case err != nil:
		return Spread{}, err
	case kind == Triangular:
		return NewTriangular(list[0], list[1], list[2])
	}
	return NewUniform(list[0], list[1])
}

// parseTolerance reads what stands on both sides of a plus-minus.
func parseTolerance(value, tolerance string, of Scale) (Spread, error) {
	middle, width, err := valueAndWidth(value, tolerance, of, false)
	if err != nil {
		return Spread{}, err
	}
	if !(width > 0) {
		return Spread{}, fmt.Errorf("%w: the tolerance must be greater than zero", ErrSpread)
	}
	return NewUniform(middle-width, middle+width)
}

// values reads numbers of which one without a unit has that of the next one with any, or
// else that of the first.
func values(parts []string, of Scale) ([]float64, error) {
	_, unit := cutNumber(parts[0])
	list := make([]float64, len(parts))
	for i := len(parts) - 1; i >= 0; i-- {
		number, own := cutNumber(parts[i])
		if own != "" {
			unit = own
		}
		v, err := of.Parse(strings.TrimSpace(number + " " + unit))
		if err != nil {
			return nil, err
		}
		list[i] = v
	}
	return list, nil
}

// valueAndWidth reads a value and how far it spreads: an amount, or a share of it. Of a
// quantity that is a share itself a percentage is an amount, and only where the value is
// one too and points says so.
func valueAndWidth(value, width string, of Scale, points bool) (middle, amount float64, err error) {
	number, unit := cutNumber(value)
	wide, wideUnit := cutNumber(width)
	_, _, _, err = of.Scale("%")
	isShare, percent := err == nil, wideUnit == "%"
	switch {
	case isShare && percent && unit == "" && points:
		return 0, 0, fmt.Errorf("%q: say the unit of both numbers", strings.TrimSpace(value)+", "+strings.TrimSpace(width))
	case isShare && percent && !points:
		return 0, 0, ambiguous(number, unit, wide)
	case percent && !isShare:
	case unit == "":
		unit = wideUnit
	case wideUnit == "":
		wideUnit = unit
	}
	if middle, err = of.Parse(strings.TrimSpace(number + " " + unit)); err != nil {
		return 0, 0, err
	}
	w, err := quantity.Parse[quantity.Ratio](wide)
	if err != nil {
		return 0, 0, fmt.Errorf("%q is no number", strings.TrimSpace(width))
	}
	if percent && !isShare {
		return middle, math.Abs(middle) * float64(w) / 100, nil
	}
	_, _, si, err := of.Scale(wideUnit)
	if err != nil {
		return 0, 0, err
	}
	// A difference: where a scale has a zero of its own, as of temperature, it drops out.
	return middle, si(float64(w)) - si(0), nil
}

// ambiguous refuses a percentage of a share, and says what it could mean.
func ambiguous(number, unit, wide string) error {
	v, err := quantity.Parse[quantity.Ratio](number)
	w, wrong := quantity.Parse[quantity.Ratio](wide)
	if err != nil || wrong != nil {
		return fmt.Errorf("%q and %q are no two numbers", number, wide)
	}
	percent := float64(v)
	if unit == "" {
		percent *= 100
	}
	text := func(width float64) string {
		return fmt.Sprintf(`"%s..%s %%"`, quantity.Digits(percent-width, 6), quantity.Digits(percent+width, 6))
	}
	return fmt.Errorf("%s %% of a share can mean %s or %s; write the one that is meant", wide,
		text(float64(w)), text(percent*float64(w)/100))
}

// cutNumber cuts text behind the number that it starts with. An exponent counts only
// where digits follow it.
func cutNumber(text string) (number, unit string) {
	text = strings.TrimSpace(text)
	digits := func(i int) int {
		for i < len(text) && (text[i] >= '0' && text[i] <= '9' || text[i] == '.') {
			i++
		}
		return i
	}
	sign := func(i int) int {
		if i < len(text) && (text[i] == '+' || text[i] == '-') {
			i++
		}
		return i
	}
	end := digits(sign(0))
	if end < len(text) && (text[end] == 'e' || text[end] == 'E') {
		if from := sign(end + 1); digits(from) > from {
			end = digits(from)
		}
	}
	return text[:end], strings.TrimSpace(text[end:])
}
