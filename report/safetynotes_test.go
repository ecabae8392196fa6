package report

import (
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// TestSafetyNotesApply wants just the notes that apply to a fuel and a system.
func TestSafetyNotesApply(t *testing.T) {
	always := []string{"Fuel under pressure", "Ignition sources", "Ventilation", "Extinguisher", "Eyes and skin", "Breathing", "Hoses and lines", "Lean running", "Dynamometer", "Spills and waste"}
	turbo, natural := "../testdata/sheets/turbo.toml", "../testdata/sheets/natural.toml"
	for _, c := range []struct {
		name, sheet string
		change      func(*sizing.Build)
		also        []string
		foam        bool // whether ordinary foam fails
	}{
		{"E70, electric pumps", turbo, nil, []string{"Alcohol and materials", "Pump wiring", "Pump cut-off", "Road use"}, true},
		{"gasoline", natural, nil, []string{"Pump wiring", "Pump cut-off", "Road use"}, false},
		{"gasoline with 5 % ethanol", natural, func(b *sizing.Build) { *b, _ = b.WithEthanol(0.05) }, []string{"Pump wiring", "Pump cut-off", "Road use"}, false},
		{"methanol, driven pump", "../testdata/sheets/driven.toml", nil, []string{"Methanol", "Alcohol and materials", "Fuel shut-off", "Road use"}, true},
		{"surge tank", "../testdata/sheets/surge.toml", nil, []string{"Alcohol and materials", "Pump wiring", "Pump cut-off", "Surge tank", "Road use"}, true},
		{"control by pump speed", "../testdata/sheets/speed.toml", nil, []string{"Alcohol and materials", "Pump wiring", "Pump cut-off", "Failed control", "Road use"}, true},
		{"nitrous oxide", turbo, func(b *sizing.Build) { b.Nitrous.Power = 100 * quantity.Horsepower }, []string{"Alcohol and materials", "Pump wiring", "Pump cut-off", "Nitrous oxide", "Road use"}, true},
		{"water-methanol", natural, func(b *sizing.Build) { b.WaterMethanol.Flow = 300 * quantity.CCPerMinute }, []string{"Water-methanol", "Pump wiring", "Pump cut-off", "Road use"}, false},
		{"water-methanol as fuel", natural, func(b *sizing.Build) {
			b.WaterMethanol = sizing.WaterMethanol{Flow: 300 * quantity.CCPerMinute, Credit: sizing.Taken}
		}, []string{"Water-methanol", "Injection as fuel", "Pump wiring", "Pump cut-off", "Road use"}, false},
		{"competition", natural, func(b *sizing.Build) { b.Job.Use = sizing.CompetitionUse }, []string{"Pump wiring", "Pump cut-off", "Competition"}, false},
		{"road", natural, func(b *sizing.Build) { b.Job.Use = sizing.RoadUse }, []string{"Pump wiring", "Pump cut-off", "Road use"}, false},
		{"stationary", natural, func(b *sizing.Build) { b.Job.Use = sizing.StationaryUse }, []string{"Pump wiring", "Pump cut-off"}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := openSheet(t, c.sheet)
			if c.change != nil {
				c.change(&b)
			}
			want := map[string]bool{}
			for _, s := range append(always, c.also...) {
				want[s] = true
			}
			for _, n := range writerOf(t, b).notes() {
				if !want[n.subject] {
					t.Errorf("a note on %q, which does not apply", n.subject)
				}
				delete(want, n.subject)
				if len(n.works) == 0 && !n.practice {
					t.Errorf("%q has no source and does not say so", n.subject)
				}
				if n.subject == "Extinguisher" && strings.Contains(n.text, "alcohol-resistant") != c.foam {
					t.Errorf("extinguisher: %s", n.text)
				}
				if n.subject == "Road use" && strings.Contains(n.text, "does not say") != (b.Job.Use == sizing.UseNotStated) {
					t.Errorf("road use: %s", n.text)
				}
			}
			for s := range want {
				t.Errorf("no note on %q", s)
			}
		})
	}
}
