package display

import (
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/kernel/display/markup"
	"example.com/railbook/kernel/page/chart"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

var update = flag.Bool("update", false, "write the golden files anew")

// assessed is an assessment made by hand, so that the golden files depend on
// no computation.
func assessed() *sizing.Assessment {
	flow := func(v float64) quantity.VolumeFlow { return quantity.Of(v, quantity.LitrePerHour) }
	power := func(v float64) quantity.CrankPower { return quantity.Of(v, quantity.Kilowatt) }
	return &sizing.Assessment{
		Power: power(300),
		Parts: []sizing.Part{
			{Kind: sizing.PumpsPart, Name: "2 × <Fathom> & co", Capability: flow(400), Demand: flow(320), Margin: 0.25, Wanted: 0.1, Limit: power(375), Keeps: power(340), Limited: true},
			{Kind: sizing.InjectorsPart, Capability: flow(300), Demand: flow(320), Margin: -0.0625, Wanted: 0.1, Status: sizing.Short, Limit: power(280), Keeps: power(255), Limited: true},
		},
		Warnings: []sizing.Warning{
			{Concern: sizing.DutyExceeded, Text: "The injectors need more than they are allowed."},
			{Concern: sizing.RailSags, Grave: true, Text: "A <lean> engine breaks."},
		},
	}
}

func TestGoldenBundles(t *testing.T) {
	for name, v := range map[string]any{
		"table": sizing.Table{Caption: "Two & two", Columns: []sizing.Column{{Name: "Sum"}, {Name: "Is", Numeric: true}}, Rows: [][]string{{"2 + 2", "4"}}},
		"steps": []sizing.Step{{Title: "Duty", Formula: "duty = t_pulse / t", Numbers: "12 ms / 16 ms", Result: "75 %", Source: "definition"}},
		"figure": figure.Figure{ID: "headroom", Title: "headroom", Alt: "One part.", Headroom: &figure.Headroom{
			Unit: "kW", Target: 300, Bars: []figure.Bar{{Name: "pumps", Limit: 375, Keeps: 340}},
		}},
		"text":     "## A heading\n\nand *text*",
		"quantity": quantity.Of(640, quantity.Horsepower),
		"ratio":    quantity.Ratio(0.85),
		"number":   17,
	} {
		t.Run(name, func(t *testing.T) {
			b, err := bundle(v)
			if err != nil {
				t.Fatal(err)
			}
			got, err := json.MarshalIndent(b, "", " ")
			if err != nil {
				t.Fatal(err)
			}
			got = append(got, '\n')
			path := filepath.Join("testdata", "bundles", name+".json")
			if *update {
				if err := os.WriteFile(path, got, 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if string(got) != string(want) {
				t.Errorf("got\n%s\nwant\n%s", got, want)
			}
		})
	}
}

// An assessment is shown by its verdict, its table, and what has to be said, the
// grave first, in one display.
func TestAssessmentBundle(t *testing.T) {
	a := assessed()
	b, err := bundle(a)
	if err != nil {
		t.Fatal(err)
	}
	want := strings.Join([]string{
		markup.Verdict(a.Verdict(quantity.SI)), markup.Table(a.MarginTable(quantity.SI)),
		markup.Caution("A <lean> engine breaks."), markup.Note("The injectors need more than they are allowed."),
	}, "\n")
	if b[cell.HTML] != want {
		t.Errorf("got\n%s\nwant\n%s", b[cell.HTML], want)
	}
	want = strings.Join([]string{
		a.Verdict(quantity.SI), markup.TextTable(a.MarginTable(quantity.SI)),
		"Caution. A <lean> engine breaks.", "Note. The injectors need more than they are allowed.",
	}, "\n\n")
	if b[cell.Text] != want {
		t.Errorf("got\n%s\nwant\n%s", b[cell.Text], want)
	}
	if byValue, err := bundle(*a); err != nil || byValue[cell.HTML] != b[cell.HTML] {
		t.Errorf("an assessment by value is shown differently, error %v", err)
	}
}

// A figure goes out as the live chart, as data to draw a picture from, and in
// words; the data brings the figure back.
func TestFigureBundle(t *testing.T) {
	f := Headroom(assessed())
	b, err := bundle(f)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := json.Marshal(b[FigureMIME])
	if err != nil {
		t.Fatal(err)
	}
	var back figure.Figure
	if err := json.Unmarshal(raw, &back); err != nil {
		t.Fatal(err)
	}
	if back.Headroom == nil || len(back.Headroom.Bars) != 2 || back.Headroom.Bars[1].Status != sizing.Short {
		t.Errorf("the figure comes back as %+v", back)
	}
	if raw, err = json.Marshal(b[chart.MIME]); err != nil {
		t.Fatal(err)
	}
	if _, err := chart.Parse(raw); err != nil {
		t.Error(err)
	}
	if want := f.Title + "\n" + f.Alt; b[cell.Text] != want {
		t.Errorf("text %q, want %q", b[cell.Text], want)
	}
}

// Every quantity prints in both systems, or once where they agree.
func TestBothSystems(t *testing.T) {
	for want, v := range map[string]any{
		"300 kPa = 43.51 psi":    3 * quantity.BarDiff,
		"38 °C = 100.4 °F":       quantity.Celsius(38),
		"13.5 V":                 13.5 * quantity.Volt,
		"100 g/s = 793.7 lb/h":   quantity.Of(100, quantity.GramPerSecond),
		"400 kW = 536.4 hp":      400 * quantity.Kilowatt,
		"7200 rpm":               7200 * quantity.RPM,
		"70 %":                   quantity.VolumeFraction(0.7),
		"101.3 kPa = 14.7 psia":  quantity.Atmosphere,
		"16.67 ms":               quantity.Of(1.0/60, quantity.Second),
		"100 g/kWh = 0.1644 lb/": quantity.Of(100, quantity.GramPerKilowattHour),
	} {
		got, ok := bothSystems(v)
		if !ok || len(got) < len(want) || got[:len(want)] != want {
			t.Errorf("%T: %q, %v, want %q", v, got, ok, want)
		}
	}
	for _, v := range []any{1.0, "psi", nil, struct{}{}} {
		if got, ok := bothSystems(v); ok {
			t.Errorf("%v is taken for the quantity %q", v, got)
		}
	}
}
