package check

import (
	"errors"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func TestRequire(t *testing.T) {
	if err := Require(true, "bore", 8*quantity.Millimetre, "is too small"); err != nil {
		t.Errorf("a field that is right gives %v", err)
	}
	err := Require(false, "bore", 8*quantity.Millimetre, "is too small")
	var pe *quantity.ParseError
	if !errors.As(err, &pe) || !errors.Is(err, quantity.ErrRange) || pe.Text != "8 mm" || pe.Reason != "is too small" || pe.Accepted == "" {
		t.Errorf("got %v", err)
	}
}
