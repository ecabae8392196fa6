package injector

import (
	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// Resized returns the rating of an injector of another size, with volume as its flow at
// the same pressure, on the same liquid at the same temperature. The error tells of a
// rating that is none, or a flow that is not positive.
func (r Rating) Resized(volume quantity.VolumeFlow) (Rating, error) {
	if err := check.Require(positive(volume) && !r.IsZero(), "flow", volume, "must be greater than zero, beside a rating"); err != nil {
		return Rating{}, err
	}
	r.mass, r.volume, r.byVolume = volume.Mass(r.density), volume, true
	return r, nil
}
