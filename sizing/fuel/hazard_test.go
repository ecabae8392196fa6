package fuel

import (
	"math"
	"strings"
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

func TestCaveats(t *testing.T) {
	for _, test := range []struct {
		text  string
		wants []string
		lacks []string
	}{
		{"n-heptane", nil, []string{"E85", "ethanol", "ethanol", "ater"}},
		{"E10", []string{"720 to 775"}, []string{"E85"}},
		{"E70", []string{"51 % to 83 %", "D5798"}, []string{"more ethanol"}},
		{"E85", []string{"51 % to 83 %", "more ethanol than"}, nil},
		{"ethanol", nil, []string{"E85"}},
		{"M85", []string{"720 to 775"}, []string{"E85"}},
		{"90 % ethanol + 5 % gasoline + 5 % water", []string{"two layers"}, nil},
	} {
		text := strings.Join(blend(t, test.text).Caveats(), "\n")
		for _, want := range test.wants {
			if !strings.Contains(text, want) {
				t.Errorf("%s: %q lacks %q", test.text, text, want)
			}
		}
		for _, lack := range test.lacks {
			if strings.Contains(text, lack) {
				t.Errorf("%s: %q has %q", test.text, text, lack)
			}
		}
	}
}
