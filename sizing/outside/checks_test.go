package outside

import (
	"math"
	"testing"
)

// leastIndependent is how many values from outside the module asks of itself.
const leastIndependent = 150

// TestChecks computes every row and holds it to its tolerance.
func TestChecks(t *testing.T) {
	for _, r := range load(t) {
		t.Run(r.id, func(t *testing.T) {
			got, err := r.compute()
			if err != nil {
				t.Fatalf("%s (%s): %v", r.what, r.inputs, err)
			}
			if !r.holds(got) {
				t.Errorf("%s (%s): got %.10g %s, want %s within %s (%s); %s",
					r.what, r.inputs, got, r.unit, r.expected, r.tolerance, r.reason, r.origin())
			}
		})
	}
}

// holds reports whether got is near enough. A part in 1e12 is added for roundoff,
// where a rounded value lies just half a digit away.
func (r row) holds(got float64) bool {
	return math.Abs(got-r.want) <= r.within+1e-12*math.Abs(r.want)
}

// TestEnough counts the rows that come from outside.
func TestEnough(t *testing.T) {
	var count int
	for _, r := range load(t) {
		if r.kind.independent() {
			count++
		}
	}
	if count < leastIndependent {
		t.Errorf("%d rows come from outside, want %d or more", count, leastIndependent)
	}
}

// TestEveryCalcIsUsed keeps calcs that no row needs from lying about.
func TestEveryCalcIsUsed(t *testing.T) {
	used := map[string]bool{}
	for _, r := range load(t) {
		used[r.what] = true
	}
	for name := range calcs {
		if !used[name] {
			t.Errorf("no row asks for %q", name)
		}
	}
}

// TestTolerancesBite wants every row to fail when our answer is off by twice the
// tolerance, so that no tolerance is so wide, or so misread, that nothing fails.
func TestTolerancesBite(t *testing.T) {
	for _, r := range load(t) {
		got, err := r.compute()
		if err != nil {
			continue // TestChecks says it
		}
		if off := 2.1 * r.within; r.holds(got+off) || r.holds(got-off) {
			t.Errorf("%s: %v passes though it is off by %g", r.id, got+off, off)
		}
		if r.want != 0 && r.within > 0.15*math.Abs(r.want) && r.kind.independent() && r.subject != "flammability" {
			t.Errorf("%s: the tolerance %s is more than 15 %% of %s", r.id, r.tolerance, r.expected)
		}
	}
}
