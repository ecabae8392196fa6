package choice

import (
	"errors"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func TestSet(t *testing.T) {
	s := New("a colour", "red", "green")
	for i := range 2 {
		if got, err := s.Index(s.Name(i)); err != nil || got != i {
			t.Errorf("Index(%q) = %d, %v", s.Name(i), got, err)
		}
	}
	if i, err := s.Index("  GREEN "); err != nil || i != 1 {
		t.Errorf("case and space: %d, %v", i, err)
	}
	_, err := s.Index("blue")
	var pe *quantity.ParseError
	if !errors.As(err, &pe) || pe.Accepted != `one of "red", "green"` {
		t.Errorf("got %v", err)
	}
	if s.Name(7) != "?" {
		t.Error("a name outside the set")
	}
}
