package injector

import (
	"strings"

	"example.com/railbook/sizing/quantity"
)

// ParseDeadTime reads points between semicolons, "1.35 ms at 12 V; 1.05 ms at
// 13.5 V", a single "1.05 ms", or a table of rows such as "1.05 ms at 13.5 V and
// 3 bar". The error wraps a [*quantity.ParseError].
func ParseDeadTime(text string) (DeadTime, error) {
	var points []DeadTimePoint
	for part := range strings.SplitSeq(text, ";") {
		p, err := ParseDeadTimePoint(part)
		if err != nil {
			return DeadTime{}, err
		}
		points = append(points, p)
	}
	return NewDeadTime(points...)
}

// String prints the points with four digits.
func (d DeadTime) String() string {
	if d.IsZero() {
		return "no dead time"
	}
	texts := make([]string, len(d.points))
	for i, p := range d.points {
		texts[i] = p.String()
	}
	return strings.Join(texts, "; ")
}

// Accepts says in a phrase what [ParseDeadTime] takes.
func (DeadTime) Accepts() string { return deadTimeAccepted }

// MarshalText writes d in coherent SI units with every digit.
func (d DeadTime) MarshalText() ([]byte, error) {
	if d.IsZero() {
		return nil, &quantity.ParseError{Text: d.String(), Reason: "it cannot be written", Accepted: deadTimeAccepted, Err: quantity.ErrRange}
	}
	return marshalRows(d.points)
}

// UnmarshalText reads d as [ParseDeadTime] does and leaves it alone on an error.
func (d *DeadTime) UnmarshalText(text []byte) error {
	v, err := ParseDeadTime(string(text))
	if err != nil {
		return err
	}
	*d = v
	return nil
}
