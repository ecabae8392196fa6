package fuel

import (
	"errors"
	"strings"
	"testing"
)

func TestLabelled(t *testing.T) {
	r, err := Labelled(" e85")
	if err != nil || r.Min != 0.51 || r.Max != 0.83 || !strings.Contains(r.Source, "D5798") {
		t.Errorf("%+v %v", r, err)
	}
	// The label says 85; the fuel may not hold that much.
	if r.Contains(0.85) || !r.Contains(0.51) || !r.Contains(0.83) || r.Contains(0.50) {
		t.Error("wrong range")
	}
	if _, err := Labelled("E70"); !errors.Is(err, ErrUnknown) || !strings.Contains(err.Error(), "E85 test fuel") {
		t.Errorf("%v", err)
	}
	for _, r := range ranges {
		if r.Min < 0 || r.Max > 1 || r.Min >= r.Max || r.Source == "" {
			t.Errorf("%+v", r)
		}
	}
}
