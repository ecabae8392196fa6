package fuel

import (
	"math"
	"testing"
)

func TestHazards(t *testing.T) {
	list := blend(t, "90 % ethanol + 5 % gasoline + 5 % water").Hazards()
	if len(list) != 2 || list[0].Constituent != "ethanol" || list[1].Constituent != "gasoline" {
		t.Fatalf("%+v", list)
	}
	e := list[0]
	if e.Share != 0.9 || e.FlashPoint.Celsius() > 13 || math.Abs(float64(e.Lower)-0.031) > 1e-12 || math.Abs(float64(e.Upper)-0.19) > 1e-12 || e.FireClass != "IB" || len(e.Sources) != 2 {
		t.Errorf("%+v", e)
	}
	if (Blend{}).Hazards() != nil {
		t.Error("no fuel is a hazard")
	}
}
