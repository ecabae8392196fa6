package sizing

import "example.com/railbook/sizing/internal/choice"

var firings = choice.New("a way of firing", "sequential", "batch")

// String returns "sequential" or "batch".
func (f Firing) String() string { return firings.Name(int(f)) }

// MarshalText returns String.
func (f Firing) MarshalText() ([]byte, error) { return []byte(f.String()), nil }

// UnmarshalText reads the words of String in any case.
func (f *Firing) UnmarshalText(text []byte) error {
	i, err := firings.Index(string(text))
	if err == nil {
		*f = Firing(i)
	}
	return err
}

// Accepts says what UnmarshalText takes.
func (Firing) Accepts() string { return firings.Accepts() }

// Injections returns how often an injector opens in one engine cycle.
func (f Firing) Injections(strokes int) int {
	if f == Batch && strokes == 4 {
		return 2
	}
	return 1
}

var credits = choice.New("a credit", "shown", "taken")

// String returns "shown" or "taken".
func (c Credit) String() string { return credits.Name(int(c)) }

// MarshalText returns String.
func (c Credit) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads the words of String in any case.
func (c *Credit) UnmarshalText(text []byte) error {
	i, err := credits.Index(string(text))
	if err == nil {
		*c = Credit(i)
	}
	return err
}

// Accepts says what UnmarshalText takes.
func (Credit) Accepts() string { return credits.Accepts() }
