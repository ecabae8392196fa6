package whatif_test

import (
	"encoding/json"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"example.com/railbook/kernel/whatif"
)

// rounded is JSON with its numbers, which are there to be drawn, rounded to six digits: the
// last bits differ from one processor to the other.
func rounded(data []byte) string {
	return regexp.MustCompile(`: -?\d+\.\d+(e[+-]?\d+)?`).ReplaceAllStringFunc(string(data), func(number string) string {
		v, err := strconv.ParseFloat(number[2:], 64)
		if err != nil {
			return number
		}
		return ": " + strconv.FormatFloat(v, 'g', 6, 64)
	}) + "\n"
}

// TestDescribed holds the descriptions of two panels, with the states of their sheets,
// against golden files: regression only, no published value. What all stops of a slider
// read is left to other tests.
func TestDescribed(t *testing.T) {
	for _, name := range []string{"turbo", "driven"} {
		d := panel(t, open(t, name)).Describe()
		for i, s := range d.Sliders {
			last := len(s.Stops) - 1
			d.Sliders[i].Stops = slices.Concat(s.Stops[:2], s.Stops[last-1:])
		}
		got, err := json.MarshalIndent(d, "", "  ")
		if err != nil {
			t.Fatal(err)
		}
		golden(t, name+".golden.json", rounded(got))
	}
}

// TestStatesOnTheWay holds what a few settings say against a golden file: regression only.
func TestStatesOnTheWay(t *testing.T) {
	p := panel(t, open(t, "turbo"))
	apart := stops(whatif.Boost, 0)
	apart.Apart = true
	type said struct {
		Changes  []string
		Verdict  string
		Readings []whatif.Reading
		Duties   []whatif.Duty
	}
	var list []said
	for _, s := range []whatif.Settings{stops(whatif.Boost, 45), stops(whatif.Ethanol, 0, whatif.BasePressure, 60), apart, stops(whatif.BasePressure, 0, whatif.Power, 40)} {
		st := state(t, p, s)
		list = append(list, said{st.Changes, st.Verdict, st.Readings, st.Duties})
	}
	got, err := json.MarshalIndent(list, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "states.golden.json", rounded(got))
}
