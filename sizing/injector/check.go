package injector

import (
	"math"

	"example.com/railbook/sizing/quantity"
)

// positive reports whether q is a finite number above zero.
func positive[Q quantity.Quantity](q Q) bool { return q > 0 && !math.IsInf(float64(q), 0) }
