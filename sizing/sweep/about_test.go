package sweep

import "testing"

func TestEveryResultHasAMeaning(t *testing.T) {
	for _, r := range Results {
		if r.About() == "" {
			t.Errorf("%s has none", r.Name)
		}
	}
	if len(abouts) != len(Results) {
		t.Errorf("%d meanings for %d results", len(abouts), len(Results))
	}
	if r, err := ResultNamed("delivery.pump_rise"); err != nil || r.About() != "" {
		t.Errorf("a result by its path: %q, %v", r.About(), err)
	}
}
