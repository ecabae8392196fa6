package chart_test

import (
	"encoding/json"
	"strings"
	"testing"

	"example.com/railbook/kernel/page/chart"
)

func TestParse(t *testing.T) {
	s, err := chart.Parse([]byte(`{
		"id": "demand", "title": "Fuel demand", "alt": "Demand rises with boost.", "later": true,
		"option": {"series": [{"type": "line", "data": [1, 2]}]},
		"names": {"x": "Boost"}, "units": {"x": "psi", "y": "lb/h"}}`))
	if err != nil {
		t.Fatal(err)
	}
	if s.ID != "demand" || s.Title != "Fuel demand" || s.Alt != "Demand rises with boost." {
		t.Errorf("texts = %q, %q, %q", s.ID, s.Title, s.Alt)
	}
	if s.Height != chart.DefaultHeight {
		t.Errorf("height = %d, want the default", s.Height)
	}
	if s.GL {
		t.Error("a line chart needs no WebGL")
	}
	if s.Names.X != "Boost" || s.Units != (chart.Axes{X: "psi", Y: "lb/h"}) {
		t.Errorf("names, units = %+v, %+v", s.Names, s.Units)
	}
}

func TestA3DGridNeedsWebGL(t *testing.T) {
	s, err := chart.Parse([]byte(`{"option": {"grid3D": {}, "series": {"type": "surface"}}}`))
	if err != nil {
		t.Fatal(err)
	}
	if !s.GL {
		t.Error("GL = false for an option with a grid3D")
	}
}

func TestParseRefuses(t *testing.T) {
	for name, tc := range map[string]struct{ in, want string }{
		"no JSON":      {`{`, "unexpected end"},
		"no object":    {`[]`, "cannot unmarshal"},
		"no option":    {`{"id": "a"}`, `chart "a": option`},
		"option text":  {`{"id": "a", "option": "x"}`, `want a JSON object`},
		"no series":    {`{"id": "a", "option": {}}`, "no series"},
		"empty series": {`{"id": "a", "option": {"series": [ ]}}`, "no series"},
		"null series":  {`{"id": "a", "option": {"series": null}}`, "no series"},
		"too low":      {`{"id": "a", "height": 10, "option": {"series": [1]}}`, "height 10, want 160 to 2000"},
		"too high":     {`{"id": "a", "height": 9999, "option": {"series": [1]}}`, "height 9999"},
		"one layer": {`{"id": "a", "option": {"series": [1]}, "layers": {"labels": ["1"], "options": [{"series": [1]}]}}`,
			`chart "a": 1 layers with 1 labels, starting at layer 0; want two`},
		"a label too few": {`{"option": {"series": [1]}, "layers": {"labels": ["1"], "options": [{"series": [1]}, {"series": [1]}]}}`, "2 layers with 1 labels"},
		"no such layer": {`{"option": {"series": [1]}, "layers": {"labels": ["1", "2"], "options": [{"series": [1]}, {"series": [1]}], "start": 2}}`,
			"starting at layer 2"},
		"layer without series": {`{"option": {"series": [1]}, "layers": {"labels": ["1", "2"], "options": [{"series": [1]}, {}]}}`, `layer "2": option has no series`},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := chart.Parse([]byte(tc.in))
			if err == nil || !strings.Contains(err.Error(), tc.want) {
				t.Errorf("error = %v, want one with %q", err, tc.want)
			}
		})
	}
}

func TestRoundTrip(t *testing.T) {
	in := chart.Spec{
		ID: "a", Height: 300, GL: true, Option: json.RawMessage(`{"series":[1]}`), Units: chart.Axes{Z: "lb/h"},
		Layers: &chart.Layers{Name: "base pressure", Labels: []string{"3 bar", "4 bar"}, Start: 1,
			Options: []json.RawMessage{json.RawMessage(`{"series":[2]}`), json.RawMessage(`{"series":[1]}`)}},
	}
	raw, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	out, err := chart.Parse(raw)
	if err != nil {
		t.Fatal(err)
	}
	again, err := json.Marshal(out)
	if err != nil {
		t.Fatal(err)
	}
	if string(again) != string(raw) {
		t.Errorf("second encoding %s\nwant            %s", again, raw)
	}
}
