package sweep

import (
	"encoding/json"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/internal/choice"
)

// Stop is why a field goes no higher.
type Stop struct {
	Why    Why
	Part   sizing.PartKind // the scarcest, at the value or just above it; nothing where there is no answer
	Reason string          // why there is no answer
	Patchy bool            // not all lower values are carried: at some of those looked at, a part falls short
}

// stopJSON is a stop in JSON.
type stopJSON struct {
	Why    Why              `json:"why"`
	Part   *sizing.PartKind `json:"part,omitempty"`
	Reason string           `json:"reason,omitempty"`
	Patchy bool             `json:"patchy,omitempty"`
	Text   string           `json:"text"` // String, for the eye
}

// MarshalJSON writes an object of the fields and, as "text", String.
func (s Stop) MarshalJSON() ([]byte, error) {
	out := stopJSON{Why: s.Why, Part: &s.Part, Reason: s.Reason, Patchy: s.Patchy, Text: s.String()}
	if s.Why == NoAnswer {
		out.Part = nil
	}
	return json.Marshal(out)
}

// UnmarshalJSON reads what MarshalJSON writes.
func (s *Stop) UnmarshalJSON(data []byte) error {
	var in stopJSON
	if err := json.Unmarshal(data, &in); err != nil {
		return err
	}
	*s = Stop{Why: in.Why, Reason: in.Reason, Patchy: in.Patchy}
	if in.Part != nil {
		s.Part = *in.Part
	}
	return nil
}

// Why is the kind of a [Stop].
type Why uint8

const (
	PartStops Why = iota // beyond it Part has less than the margin asked for
	EndStops             // nothing stops it: all parts carry the end of the range
	GapStops             // beyond it the build makes no sense
	NoneFits             // no value looked at is carried; Part is the scarcest at the lowest
	NoAnswer             // the build makes no sense at any value
)

var whys = choice.New("a stop", "part", "end of range", "gap", "none fits", "no answer")

// String names the kind in a word or two.
func (w Why) String() string { return whys.Name(int(w)) }

// MarshalText returns String.
func (w Why) MarshalText() ([]byte, error) { return []byte(w.String()), nil }

// UnmarshalText reads String.
func (w *Why) UnmarshalText(text []byte) error {
	i, err := whys.Index(string(text))
	if err == nil {
		*w = Why(i)
	}
	return err
}

// String says it in a few words, for the eye.
func (s Stop) String() string {
	text := ""
	switch s.Why {
	case PartStops:
		text = "limit: " + s.Part.String()
	case EndStops:
		text = "carried to the end of the range"
	case GapStops:
		text = "no answer beyond: " + s.Reason
	case NoneFits:
		text = "none is carried, at the lowest for " + s.Part.String()
	default:
		text = "no answer: " + s.Reason
	}
	if s.Patchy {
		text += "; not all lower values are carried"
	}
	return text
}
