package fuel

import (
	"strings"
	"testing"
)

func TestCaveats(t *testing.T) {
	const (
		season, more = "51 % to 83 %", "more ethanol than"
		mean         = "720 to 775"
		rise         = "about 1 psi"
		methanolRise = "Methanol raises the vapour pressure"
		layers       = "two layers"
		contraction  = "Ethanol and water take up less room"
		methanolLoss = "Methanol and water take up less room"
	)
	all := []string{season, more, mean, rise, methanolRise, layers, contraction, methanolLoss}
	for _, test := range []struct {
		text  string
		wants []string // and no other of all
	}{
		{"n-heptane", nil},
		{"ethanol", nil},
		{"gasoline", []string{mean}},
		{"winter gasoline", []string{mean}},
		{"E10", []string{mean, rise}},
		{"10 % ethanol + 90 % premium gasoline", []string{mean, rise}},
		{"10 % ethanol + 90 % isooctane", []string{rise}},
		{"10 % ethanol + 90 % ETBE", []string{rise}},
		{"85 % gasoline + 15 % MTBE", []string{mean}},
		{"E70", []string{season, mean, rise}},
		{"70 % ethanol + 30 % test gasoline", []string{season, mean, rise}},
		{"E85", []string{season, more, mean, rise}},
		{"M85", []string{mean, methanolRise}},
		{"95 % ethanol + 5 % water", []string{contraction}},
		{"99.9 % ethanol + 0.1 % water", nil}, // 0.02 %
		{"95 % methanol + 5 % water", []string{methanolLoss}},
		{"99 % gasoline + 1 % water", []string{mean, layers}},
		{"60 % ethanol + 38 % toluene + 2 % water", []string{rise, layers, contraction}},
	} {
		text := strings.Join(blend(t, test.text).Caveats(), "\n")
		for _, phrase := range all {
			var wanted bool
			for _, want := range test.wants {
				wanted = wanted || want == phrase
			}
			if strings.Contains(text, phrase) != wanted {
				t.Errorf("%s: %q has or lacks %q wrongly", test.text, text, phrase)
			}
		}
	}
	if list := (Blend{}).Caveats(); list != nil {
		t.Errorf("no fuel has caveats %q", list)
	}
}

// The size of the contraction is that of the blend at hand.
func TestCaveatsGiveTheContraction(t *testing.T) {
	text := strings.Join(blend(t, "95 % ethanol + 5 % water").Caveats(), "\n")
	if want := "0.98 % above"; !strings.Contains(text, want) {
		t.Errorf("%q lacks %q", text, want)
	}
}
