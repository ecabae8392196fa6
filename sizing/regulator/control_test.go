package regulator

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestControl: it holds the rail where a regulator at the rail would.
func TestControl(t *testing.T) {
	for _, c := range []Control{
		{Target: base, Reference: ManifoldReferenced},
		{Target: base, Reference: ManifoldReferenced, RisingRate: 1.5},
		{Target: base, Reference: Fixed, LeastSpeed: 0.3, Relief: 500 * quantity.KilopascalDiff},
	} {
		if err := c.Validate(); err != nil {
			t.Fatal(err)
		}
		r := Regulator{Kind: c.Reference, BasePressure: base, RisingRate: c.RisingRate}
		for manifold := quantity.Pressure(0); manifold < 400*quantity.Kilopascal; manifold += 1 * quantity.Kilopascal {
			if c.Setpoint(manifold, ambient) != r.Setpoint(manifold, ambient) || c.Differential(manifold, ambient) != r.Differential(manifold, ambient) {
				t.Fatalf("%+v at %v: %v, a regulator %v", c, manifold, c.Setpoint(manifold, ambient), r.Setpoint(manifold, ambient))
			}
		}
	}
}

func TestControlValidate(t *testing.T) {
	for _, tt := range []struct {
		c    Control
		want []string
	}{
		{Control{}, []string{`reference: "?": is not what a rail pressure can be held over; want "manifold-referenced" or "fixed"`, "target: "}},
		{Control{Target: base, Reference: Returnless}, []string{`reference: "returnless": `}},
		{Control{Target: base, Reference: Fixed, RisingRate: 2}, []string{`rising rate: "2": only a manifold-referenced target has one`}},
		{Control{Target: base, Reference: Fixed, RisingRate: -1, LeastSpeed: 1, Relief: 200 * quantity.KilopascalDiff},
			[]string{`rising rate: "-1": must not be negative`, "least speed: ", `relief: "200 kPa": must not lie below the target`}},
		{Control{Target: quantity.PressureDiff(math.Inf(1)), Reference: Fixed}, []string{"target: "}},
	} {
		err := tt.c.Validate()
		if !errors.Is(err, quantity.ErrRange) {
			t.Errorf("%+v: %v", tt.c, err)
			continue
		}
		lines := strings.Split(err.Error(), "\n")
		if len(lines) != len(tt.want) {
			t.Errorf("%+v: %q, want %d lines", tt.c, err, len(tt.want))
			continue
		}
		for i, line := range lines {
			if !strings.HasPrefix(line, tt.want[i]) {
				t.Errorf("line %q, want it to start %q", line, tt.want[i])
			}
		}
	}
}
