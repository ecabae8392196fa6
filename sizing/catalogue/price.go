package catalogue

import (
	"fmt"
	"strconv"
	"strings"

	"example.com/railbook/sizing/quantity"
)

// Price is an amount of money in hundredths of the currency, so that sums are exact.
// Its text form is "412.50".
type Price int64

// Unpriced is the price of a part that has none in its list.
const Unpriced Price = -1

// maxPrice is far beyond what a part costs, so that sums cannot overflow.
const maxPrice Price = 1e11

const priceAccepted = `an amount with a decimal point and no more than two decimals, such as "412.50"`

// ParsePrice reads "412", "412.5" or "412.50": not negative, without a currency. The
// error is a [*quantity.ParseError].
func ParsePrice(text string) (Price, error) {
	fail := func(reason string, err error) (Price, error) {
		return 0, &quantity.ParseError{Text: text, Reason: reason, Accepted: priceAccepted, Err: err}
	}
	plain := strings.TrimSpace(text)
	if strings.HasPrefix(plain, "-") {
		return fail("a price must not be negative", quantity.ErrRange)
	}
	if strings.Contains(plain, ",") {
		return fail("a comma in a number is ambiguous", quantity.ErrSyntax)
	}
	whole, cents, pointed := strings.Cut(plain, ".")
	if pointed && len(cents) != 1 && len(cents) != 2 {
		return fail("not one or two decimals", quantity.ErrSyntax)
	}
	n, err := strconv.ParseUint(whole+(cents + "00")[:2], 10, 64)
	switch {
	case err != nil && plain != "" && strings.Trim(whole+cents, "0123456789") == "", err == nil && n > uint64(maxPrice):
		return fail("above the greatest price, "+maxPrice.String(), quantity.ErrRange)
	case err != nil || whole == "":
		return fail("not an amount of money", quantity.ErrSyntax)
	}
	return Price(n), nil
}

// String prints the amount with two decimals, and "no price" for [Unpriced].
func (p Price) String() string {
	if p < 0 {
		return "no price"
	}
	return fmt.Sprintf("%d.%02d", p/100, p%100)
}

// MarshalText returns String.
func (p Price) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads p as [ParsePrice] does, and what String prints of [Unpriced].
func (p *Price) UnmarshalText(text []byte) error {
	if string(text) == Unpriced.String() {
		*p = Unpriced
		return nil
	}
	v, err := ParsePrice(string(text))
	if err == nil {
		*p = v
	}
	return err
}

// Cost is what parts cost together, as far as their prices are known.
type Cost struct {
	Unpriced int   `json:"unpriced"` // parts without a price
	Sum      Price `json:"sum"`      // of the others
}

// plus adds n times a price.
func (c Cost) plus(p Price, n int) Cost {
	switch {
	case n == 0:
	case p < 0:
		c.Unpriced++
	default:
		c.Sum += Price(n) * p
	}
	return c
}

// and adds another cost.
func (c Cost) and(d Cost) Cost { return Cost{c.Unpriced + d.Unpriced, c.Sum + d.Sum} }

// Compare is negative where c ranks before d: fewer parts without a price, then the
// lower sum.
func (c Cost) Compare(d Cost) int {
	switch {
	case c.Unpriced != d.Unpriced:
		return c.Unpriced - d.Unpriced
	case c.Sum < d.Sum:
		return -1
	case c.Sum > d.Sum:
		return 1
	}
	return 0
}

// Text prints the cost in a currency, which may be empty: "412.50 EUR + 1 unpriced".
func (c Cost) Text(currency string) string {
	text := strings.TrimSpace(c.Sum.String() + " " + currency)
	if c.Unpriced == 0 {
		return text
	}
	unpriced := fmt.Sprintf("%d unpriced", c.Unpriced)
	if c.Sum == 0 {
		return unpriced
	}
	return text + " + " + unpriced
}
