package fuel

import (
	"fmt"
	"strconv"
	"strings"

	"example.com/railbook/sizing/quantity"
)

// accepted says what Parse takes.
const accepted = `"E0" to "E100" or "M0" to "M100" (percent by volume of ethanol or methanol in gasoline), ` +
	`the name of a liquid such as "n-heptane", or a mixture such as "50 % toluene + 50 % isooctane"`

// labels are the letters of pump labels and the alcohol they stand for.
var labels = [...]struct{ letter, alcohol string }{{"E", "ethanol"}, {"M", "methanol"}}

// Parse reads a blend in one of these forms, in any case:
//
//	E70, E12.5         ethanol in gasoline, percent by volume at Reference
//	M85                methanol in gasoline
//	gasoline, ethanol  a constituent alone, as [Lookup] takes it
//	50 % toluene + 50 % isooctane
//	10 % ethanol + 90 % premium gasoline
//
// The shares of the last form are by volume at Reference and add up to 100 %. The
// error wraps [ErrUnknown] or [ErrComposition], quotes the text and says what is
// accepted; the blend is then zero.
func Parse(text string) (Blend, error) {
	b, err := parse(strings.TrimSpace(text))
	if err != nil {
		return Blend{}, fmt.Errorf("fuel %q: %w; want %s", text, err, accepted)
	}
	return b, nil
}

func parse(text string) (Blend, error) {
	for _, label := range labels {
		if len(text) < 2 || !strings.EqualFold(text[:1], label.letter) {
			continue
		}
		if content, ok := parsePercent(text[1:]); ok {
			return inGasoline(label.alcohol, content)
		}
	}
	if strings.ContainsAny(text, "+%") {
		return parseMixture(text)
	}
	return ByVolume(Reference, VolumePart{text, 1})
}

// parseMixture reads shares with their constituents, joined by plus signs.
func parseMixture(text string) (Blend, error) {
	var parts []VolumePart
	for _, term := range strings.Split(text, "+") {
		number, name, ok := strings.Cut(term, "%")
		if !ok {
			return Blend{}, fmt.Errorf("%w: %q has no percent sign", ErrComposition, strings.TrimSpace(term))
		}
		fraction, ok := parsePercent(strings.TrimSpace(number))
		if !ok {
			return Blend{}, fmt.Errorf("%w: %q is no percentage", ErrComposition, strings.TrimSpace(number))
		}
		parts = append(parts, VolumePart{strings.TrimSpace(name), quantity.VolumeFraction(fraction)})
	}
	return ByVolume(Reference, parts...)
}

// parsePercent reads plain digits, with a point or not and perhaps a minus sign
// before them, as a percentage. The division by 100 is done in decimal, so that
// what percent writes comes back with the same bits.
func parsePercent(text string) (float64, bool) {
	if strings.Trim(text, "-.0123456789") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(text+"e-2", 64)
	return v, err == nil
}

// percent writes the fraction v as a percentage with every digit.
func percent(v float64) string {
	digits, exponent, _ := strings.Cut(strconv.FormatFloat(v, 'e', -1, 64), "e")
	power, _ := strconv.Atoi(exponent) // FormatFloat writes a number there
	whole, decimals, _ := strings.Cut(digits, ".")
	digits = whole + decimals
	point := 1 + power + 2 // digits before the decimal point
	switch {
	case v == 0:
		return "0"
	case point <= 0:
		return "0." + strings.Repeat("0", -point) + digits
	case point >= len(digits):
		return digits + strings.Repeat("0", point-len(digits))
	}
	return digits[:point] + "." + digits[point:]
}

// String returns the name of the blend with four digits: "E70", "gasoline", or
// the composition by volume at [Reference], "50 % isooctane + 50 % toluene".
func (b Blend) String() string {
	digits := func(v float64) string { return quantity.Digits(100*v, 4) }
	if name, ok := b.name(digits); ok {
		return name
	}
	return b.terms(digits)
}

// name returns the short name of the blend, if it has one; digits writes
// percentages.
func (b Blend) name(digits func(float64) string) (string, bool) {
	list := b.Constituents()
	switch {
	case len(list) == 0:
		return "no fuel", true
	case len(list) == 1:
		return list[0].Name(), true
	case len(list) == 2 && b.Has("gasoline"):
		for _, label := range labels {
			if v := b.VolumeFraction(label.alcohol); v > 0 {
				return label.letter + digits(float64(v)), true
			}
		}
	}
	return "", false
}

// terms returns the composition of the blend by volume.
func (b Blend) terms(digits func(float64) string) string {
	var terms []string
	for _, c := range b.Constituents() {
		terms = append(terms, digits(b.volume[c.s.index])+" % "+c.Name())
	}
	return strings.Join(terms, " + ")
}

// MarshalText writes b as [Parse] reads it, with every digit, so that the same
// blend comes back. The zero Blend gives an error.
func (b Blend) MarshalText() ([]byte, error) {
	if b.table == nil {
		return nil, fmt.Errorf("%w: no fuel cannot be written", ErrComposition)
	}
	if name, ok := b.name(percent); ok {
		// A label says nothing of the last bits of the gasoline.
		if same, err := parse(name); err == nil && same == b {
			return []byte(name), nil
		}
	}
	return []byte(b.terms(percent)), nil
}

// UnmarshalText reads b as [Parse] does; b is left alone on an error.
func (b *Blend) UnmarshalText(text []byte) error {
	v, err := Parse(string(text))
	if err != nil {
		return err
	}
	*b = v
	return nil
}
