package fuel

import (
	"fmt"
	"math"

	"example.com/railbook/sizing/quantity"
)

// Portion is a volume of a blend, measured at [Reference].
type Portion struct {
	Blend  Blend
	Volume quantity.Volume
}

// Mix returns what the portions make together. Volumes are taken to add up. The
// error wraps [ErrComposition] if a portion is no fuel, a volume is negative or
// nothing is left.
func Mix(portions ...Portion) (Blend, error) {
	var total float64
	for _, p := range portions {
		if v := float64(p.Volume); p.Blend.IsZero() || !(v >= 0) || math.IsInf(v, 0) {
			return Blend{}, fmt.Errorf("%w: %v of %v", ErrComposition, p.Volume, p.Blend)
		}
		total += float64(p.Volume)
	}
	if !(total > 0) {
		return Blend{}, fmt.Errorf("%w: nothing is mixed", ErrComposition)
	}
	b := Blend{table: portions[0].Blend.table}
	var sum float64
	for _, p := range portions {
		part := float64(p.Volume) / total
		for i, v := range p.Blend.volume {
			b.volume[i] += part * v
			sum += part * v
		}
	}
	b.settle(sum)
	return b, nil
}

// Needed returns how much of a and of b makes the total volume with the target
// ethanol content. All are by volume at [Reference]. The error wraps
// [ErrComposition] and gives the contents that can be reached, if the target is
// not among them.
func Needed(target quantity.VolumeFraction, total quantity.Volume, a, b Blend) (ofA, ofB quantity.Volume, err error) {
	low, high := a.EthanolContent(), b.EthanolContent()
	if err := reachable(target, low, high, a, b); err != nil {
		return 0, 0, err
	}
	part := 0.0 // of b
	if high != low {
		part = float64(target-low) / float64(high-low)
	}
	ofB = quantity.Volume(part * float64(total))
	return total - ofB, ofB, nil
}

// TopUp returns how much of add brings what is in the tank to the target ethanol
// content. All are by volume at [Reference]. The error is that of [Needed]; the
// content of add itself is out of reach, since no finite volume gets there.
func TopUp(target quantity.VolumeFraction, tank Portion, add Blend) (quantity.Volume, error) {
	have, bring := tank.Blend.EthanolContent(), add.EthanolContent()
	if err := reachable(target, have, bring, tank.Blend, add); err != nil {
		return 0, err
	}
	if target == have {
		return 0, nil
	}
	if target == bring {
		return 0, fmt.Errorf("%w: no finite volume of %v brings %v to %v ethanol", ErrComposition, add, tank.Blend, target)
	}
	return quantity.Volume(float64(tank.Volume) * float64(target-have) / float64(bring-target)), nil
}

// reachable reports a target content that no mixture of a and b has.
func reachable(target, ofA, ofB quantity.VolumeFraction, a, b Blend) error {
	if a.IsZero() || b.IsZero() {
		return fmt.Errorf("%w: mixing %v and %v", ErrComposition, a, b)
	}
	if low, high := min(ofA, ofB), max(ofA, ofB); !(target >= low && target <= high) {
		return fmt.Errorf("%w: %v ethanol is out of reach of %v and %v, which make %v to %v",
			ErrComposition, target, a, b, low, high)
	}
	return nil
}
