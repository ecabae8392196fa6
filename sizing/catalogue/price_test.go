package catalogue_test

import (
	"errors"
	"testing"

	"example.com/railbook/sizing/catalogue"
	"example.com/railbook/sizing/quantity"
)

func TestParsePrice(t *testing.T) {
	for text, want := range map[string]catalogue.Price{
		"0": 0, "412": 41200, "412.5": 41250, "412.50": 41250, " 0.05 ": 5, "1000000000": 1e11,
	} {
		got, err := catalogue.ParsePrice(text)
		if err != nil || got != want {
			t.Errorf("%q is %v, %v; want %v", text, got, err, want)
		}
		if back, err := catalogue.ParsePrice(got.String()); err != nil || back != got {
			t.Errorf("%v does not read back: %v, %v", got, back, err)
		}
	}
	for text, want := range map[string]error{
		"": quantity.ErrSyntax, "-1": quantity.ErrRange, "1,5": quantity.ErrSyntax, "1.": quantity.ErrSyntax, "1.505": quantity.ErrSyntax, ".5": quantity.ErrSyntax,
		"+1": quantity.ErrSyntax, "1e3": quantity.ErrSyntax, "NaN": quantity.ErrSyntax, "Inf": quantity.ErrSyntax, "1 EUR": quantity.ErrSyntax, "1.5.2": quantity.ErrSyntax,
		"1000000000.01": quantity.ErrRange, "123456789012345678901234567890": quantity.ErrRange,
	} {
		if got, err := catalogue.ParsePrice(text); !errors.Is(err, want) || got != 0 {
			t.Errorf("%q is %v, %v; want %v", text, got, err, want)
		}
	}
}

func TestCostsRankByWhatIsUnpricedFirst(t *testing.T) {
	inOrder := []catalogue.Cost{{}, {Sum: 1}, {Sum: 1e14}, {Unpriced: 1}, {Unpriced: 1, Sum: 5}, {Unpriced: 2}}
	for i, a := range inOrder {
		for j, b := range inOrder {
			if got := a.Compare(b); (got < 0) != (i < j) || (got > 0) != (i > j) {
				t.Errorf("%v against %v is %d", a, b, got)
			}
		}
	}
	for want, c := range map[string]catalogue.Cost{
		"412.50 EUR": {Sum: 41250}, "412.50 EUR + 1 unpriced": {Unpriced: 1, Sum: 41250}, "2 unpriced": {Unpriced: 2}, "0.00 EUR": {},
	} {
		if got := c.Text("EUR"); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}
