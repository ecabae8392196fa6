// Package check words the errors of fields that are out of range, so that every
// part of the hardware refuses in the same way.
package check

import (
	"fmt"

	"example.com/railbook/sizing/quantity"
)

// Require returns nil where ok, and otherwise an error named after the field that
// wraps a [*quantity.ParseError] with the value, the reason and what is accepted.
func Require[Q quantity.Quantity](ok bool, field string, value Q, reason string) error {
	if ok {
		return nil
	}
	return fmt.Errorf("%s: %w", field, &quantity.ParseError{
		Text: quantity.Format(value, quantity.SI), Reason: reason,
		Accepted: quantity.Accepted[Q](), Err: quantity.ErrRange,
	})
}
