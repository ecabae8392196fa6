package session

import "testing"

func TestPlaces(t *testing.T) {
	nb := notebook(t,
		"code",
		"# The build\n\nText.\n\n## Boost ##\n",
		"%%\n// Turn it up.\nx := 1",
		"%%\nx := 1\n// not the first line",
		"# \n```\n# no heading\n```\n#no heading either",
		"//gonb:%%\n\nfmt.Println()",
	)
	want := []Place{
		{Number: 1, Of: 6, Code: 1, CodeOf: 4},
		{Number: 3, Of: 6, Code: 2, CodeOf: 4, Title: "Turn it up."},
		{Number: 4, Of: 6, Code: 3, CodeOf: 4, Title: "Boost"},
		{Number: 6, Of: 6, Code: 4, CodeOf: 4, Title: "Boost"},
	}
	got := places(nb)
	if len(got) != len(want) {
		t.Fatalf("got %d places, want %d", len(got), len(want))
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("got %+v, want %+v", got[i], want[i])
		}
	}
}

func TestPlaceString(t *testing.T) {
	for want, p := range map[string]Place{
		"the setup code":                {},
		"cell 3 (code cell 2)":          {Number: 3, Code: 2},
		`cell 3 (code cell 2, "Boost")`: {Number: 3, Code: 2, Title: "Boost"},
	} {
		if got := p.String(); got != want {
			t.Errorf("got %s, want %s", got, want)
		}
	}
}
