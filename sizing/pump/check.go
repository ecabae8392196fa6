package pump

import (
	"fmt"
	"math"
	"strconv"

	"example.com/railbook/sizing/quantity"
)

func finite[Q quantity.Quantity](q Q) bool {
	return !math.IsNaN(float64(q)) && !math.IsInf(float64(q), 0)
}

func requireCount(n int) error {
	if n >= 0 {
		return nil
	}
	return fmt.Errorf("count: %w", &quantity.ParseError{
		Text: strconv.Itoa(n), Reason: "must not be negative",
		Accepted: "a number of pumps such as 2", Err: quantity.ErrRange,
	})
}
