package whatif_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"example.com/railbook/kernel/whatif"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// fieldOf is the field of a sheet that a slider moves, by the name that package sizing has
// for it.
var fieldOf = map[string]string{
	whatif.Boost: "boost", whatif.Power: "power", whatif.Ethanol: "ethanol",
	whatif.BasePressure: "base pressure", whatif.FuelTemperature: "fuel temperature", whatif.ChargeTemperature: "charge temperature",
}

// changed is the build that a user of package sizing makes of the settings, from the texts
// of the stops as a sheet would have them: independent of how the panel moves it. The
// sheet's own stop changes nothing, but where it states what else is computed.
func changed(t *testing.T, b sizing.Build, p *whatif.Panel, s whatif.Settings) sizing.Build {
	t.Helper()
	sheet := b
	for _, slider := range p.Describe().Sliders {
		stop, set := s.Stops[slider.ID]
		if !set || stop == slider.Home && !slider.Computed {
			continue
		}
		text := slider.Stops[stop].Text
		before := b
		if slider.ID == whatif.Methanol {
			blend, err := fuel.Parse("M" + strings.TrimSuffix(text, " %"))
			if err != nil {
				t.Fatal(err)
			}
			b = b.WithBlend(blend)
			continue
		}
		f, err := sizing.FieldNamed(fieldOf[slider.ID])
		if err != nil {
			t.Fatal(err)
		}
		if stop == slider.Home { // a text of four digits
			si, _ := f.Number(sheet)
			b, err = f.Set(b, si)
		} else {
			b, err = f.Read(b, text)
		}
		if err != nil {
			t.Fatal(err)
		}
		if s.Apart && slider.ID == whatif.Boost {
			b.Target = before.Target
		}
		if s.Apart && slider.ID == whatif.Power {
			b.Induction.Boost, b.Engine.VolumetricEfficiency = before.Induction.Boost, before.Engine.VolumetricEfficiency
		}
	}
	return b
}

// TestStateIsTheAssessment compares every number of many states, of all sheets, with an
// assessment made without the panel.
func TestStateIsTheAssessment(t *testing.T) {
	for name, b := range sheets(t) {
		t.Run(name, func(t *testing.T) {
			p := panel(t, b)
			r := rand.New(rand.NewPCG(1, 20261125))
			for i := range 60 {
				s := whatif.Settings{Stops: map[string]int{}, Apart: i%3 == 2}
				for _, v := range p.Describe().Sliders {
					partner := v.ID == whatif.Power && !s.Apart
					if _, boost := s.Stops[whatif.Boost]; r.IntN(2) == 0 && !(partner && boost) {
						s.Stops[v.ID] = r.IntN(len(v.Stops))
					}
				}
				want := changed(t, b, p, s)
				a, err := sizing.Assess(want)
				got := state(t, p, s)
				if err != nil {
					if got.Refused == "" {
						t.Errorf("%+v: answered, where package sizing says %v", s, err)
					}
					continue
				}
				compare(t, fmt.Sprintf("%+v", s), got, a)
			}
		})
	}
}

// compare wants everything that a state shows to be what the assessment prints.
func compare(t *testing.T, at string, got whatif.State, a *sizing.Assessment) {
	t.Helper()
	sys := a.Build.Job.Units
	other := quantity.US
	if sys == quantity.US {
		other = quantity.SI
	}
	fail := func(what string, got, want any) {
		t.Helper()
		t.Errorf("%s: %s is %v, want %v", at, what, got, want)
	}
	if got.Refused != "" {
		fail("answer", got.Refused, "one")
		return
	}
	if want := a.Verdict(sys); got.Verdict != want {
		fail("verdict", got.Verdict, want)
	}
	if got.Status != a.Status().String() || got.Symbol != a.Status().Symbol() {
		fail("status", got.Status, a.Status())
	}
	if want := quantity.Format(a.Power, sys); got.Power.Text != want || !near(got.RawPower, float64(a.Power)) {
		fail("power", got.Power, want)
	}
	cells := func(table func(quantity.System) sizing.Table, rows func(i int) []whatif.Amount, n int) {
		t.Helper()
		here, there := table(sys), table(other)
		if len(here.Rows) != n {
			fail(here.Caption, n, len(here.Rows))
			return
		}
		for i, row := range here.Rows {
			for j, amount := range rows(i) {
				if amount.Text != row[j+1] || amount.Other != "" && amount.Other != there.Rows[i][j+1] || amount.Other == "" && there.Rows[i][j+1] != row[j+1] {
					fail(fmt.Sprintf("%s, %s, column %d", here.Caption, row[0], j+1), amount, row[j+1])
				}
			}
		}
	}
	cells(a.DemandTable, func(i int) []whatif.Amount {
		r := got.Demand[i]
		return []whatif.Amount{r.Mass, r.Volume, r.BSFC, {Text: r.Note}}
	}, len(got.Demand))
	cells(func(sys quantity.System) sizing.Table {
		table := a.MarginTable(sys)
		for _, row := range table.Rows {
			row[5] = strings.TrimSuffix(row[5], " (first)")
		}
		return table
	}, func(i int) []whatif.Amount {
		p := got.Parts[i]
		return []whatif.Amount{p.Can, p.Has, {Text: p.Margin}, {Text: p.Wanted}, p.Limit, {Text: p.Symbol + " " + p.Status}}
	}, len(got.Parts))
	for i, table := range []func(quantity.System) sizing.Table{a.InjectionTable, a.SupplyTable} {
		cells(table, func(j int) []whatif.Amount { return got.Tables[i].Rows[j].Cells }, len(got.Tables[i].Rows))
	}
	for i, p := range a.Parts {
		g := got.Parts[i]
		if g.First != (p.Limited && p.Kind == a.Weakest().Kind) || !near(g.RawLimit, float64(p.Limit)) || !near(g.RawKeeps, float64(p.Keeps)) {
			fail(g.Title, g, p)
		}
		if share := 1 / (1 + float64(p.Margin)); p.Margin > -0.99 && !near(g.RawShare, share) {
			fail(g.Title+" used", g.RawShare, share)
		}
	}
	if d := got.Duties[0]; a.Injection.Pulse != 0 && d.Text != a.Injection.Duty.Percent(1) {
		fail("duty", d.Text, a.Injection.Duty.Percent(1))
	}
	if len(got.Warnings) != len(a.Warnings) || len(got.Assumed) != len(a.Assumptions) {
		fail("warnings and assumptions", []int{len(got.Warnings), len(got.Assumed)}, []int{len(a.Warnings), len(a.Assumptions)})
		return
	}
	for _, w := range a.Warnings {
		if !slices.Contains(got.Warnings, whatif.Warning{Grave: w.Grave, Text: w.Text}) {
			fail("warnings", got.Warnings, w.Text)
		}
	}
	for i, as := range a.Assumptions {
		if got := got.Assumed[i]; !strings.HasPrefix(got, as.Text+" (") || !strings.HasSuffix(got, as.Effect+".") {
			fail("assumed", got, as)
		}
	}
	for i, h := range a.Build.Fuel.Blend.Hazards() {
		if f := got.Fire[i]; f.Name != h.Constituent || f.Flash.Text != quantity.Format(h.FlashPoint, sys) {
			fail("fire data", f, h)
		}
	}
}

// near allows for the last bits: 94 % of methanol is not M94 to the last one.
func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Abs(b) }

// TestEveryStopHasAnAnswer wants the ranges of the sliders to hold nothing that the model
// refuses, on the sheets of the tests.
func TestEveryStopHasAnAnswer(t *testing.T) {
	for name, b := range sheets(t) {
		p := panel(t, b)
		for _, v := range p.Describe().Sliders {
			for stop := 0; stop < len(v.Stops); stop += 1 + len(v.Stops)/20 {
				if st := state(t, p, stops(v.ID, stop)); st.Refused != "" {
					t.Errorf("%s, %s at %s: %s", name, v.Name, v.Stops[stop].Text, st.Refused)
				}
			}
			if st := state(t, p, stops(v.ID, len(v.Stops)-1)); st.Refused != "" {
				t.Errorf("%s, %s at its end: %s", name, v.Name, st.Refused)
			}
		}
	}
}

// TestSheetItself wants nothing moved, and every slider moved to the sheet's own stop, to
// be the sheet.
func TestSheetItself(t *testing.T) {
	for name, b := range sheets(t) {
		p := panel(t, b)
		start := p.Describe().Start
		a, err := sizing.Assess(b)
		if err != nil {
			t.Fatal(err)
		}
		compare(t, name, start, a)
		if len(start.Changes) != 0 {
			t.Errorf("%s: changes %q in the sheet itself", name, start.Changes)
		}
		for _, v := range p.Describe().Sliders {
			if v.Computed {
				continue // stated instead of computed, which other tables tell
			}
			if got := state(t, p, stops(v.ID, v.Home)); got.Verdict != start.Verdict || !reflect.DeepEqual(got.Parts, start.Parts) || len(got.Changes) != 0 {
				t.Errorf("%s: %s at its own stop: %q, changes %q", name, v.Name, got.Verdict, got.Changes)
			}
		}
	}
}

// TestBuildByJSON wants the same answers of a build that went through JSON, as it does on
// the way into a page.
func TestBuildByJSON(t *testing.T) {
	for name, b := range sheets(t) {
		data, err := json.Marshal(b)
		if err != nil {
			t.Fatal(err)
		}
		var back sizing.Build
		if err := json.Unmarshal(data, &back); err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(b, back) {
			t.Errorf("%s comes back changed", name)
		}
		if got, want := panel(t, back).Describe(), panel(t, b).Describe(); !reflect.DeepEqual(got, want) {
			t.Errorf("%s: another panel", name)
		}
	}
}

// TestBoostAndPower wants each to move the other as the model has it, the other slider to
// follow, and neither where they are apart.
func TestBoostAndPower(t *testing.T) {
	b := open(t, "turbo")
	p := panel(t, b)
	boost := slider(t, p, whatif.Boost)
	stop := slices.Index(boost.Stops, whatif.Amount{Text: "26.5 psi", Other: "182.7 kPa"})
	if stop < 0 {
		t.Fatalf("no stop at 26.5 psi among %v", boost.Stops)
	}
	st := state(t, p, stops(whatif.Boost, stop))
	// Independent arithmetic: (26.5 psi + 100.5 kPa) over (22 psi + 100.5 kPa), of 640 hp.
	const want = "718.7 hp"
	if st.Power.Text != want || st.Values[1].Text != want || st.Values[1].Moved != "follows" {
		t.Errorf("power is %v, its slider %+v, want %s", st.Power, st.Values[1], want)
	}
	if got, want := strings.Join(st.Changes, "; "), "boost 22 psi → 26.5 psi; target power 640 hp → 718.7 hp, which follows"; got != want {
		t.Errorf("changes %q, want %q", got, want)
	}
	back := state(t, p, stops(whatif.Power, st.Values[1].Stop)) // nearest to 718.7 hp: 720 hp
	if v := back.Values[0]; v.Moved != "follows" || math.Abs(float64(v.Stop-stop)) > 1 {
		t.Errorf("boost follows to %+v, want about %s", v, boost.Stops[stop].Text)
	}
	apart := stops(whatif.Boost, stop)
	apart.Apart = true
	st = state(t, p, apart)
	if st.Power.Text != "640 hp" || st.Values[1].Moved != "" {
		t.Errorf("apart, power is %v", st.Power)
	}
	if st.Demand[2].Mass.Text == p.Describe().Start.Demand[2].Mass.Text || st.Demand[0].Mass.Text != p.Describe().Start.Demand[0].Mass.Text {
		t.Errorf("apart, boost moves the air route alone; got %+v", st.Demand)
	}
}

// TestMixing wants the shares of alcohol to be those of package fuel, the rest of a blend
// to keep its proportions, and more than a whole to be refused.
func TestMixing(t *testing.T) {
	b := open(t, "turbo")
	for text, want := range map[string]struct {
		settings whatif.Settings
		fuel     string
		refused  string
	}{
		"E70":      {settings: stops(whatif.Ethanol, 0), fuel: "gasoline"},
		"gasoline": {settings: stops(whatif.Ethanol, 50), fuel: "ethanol"},
		"M85":      {settings: stops(whatif.Methanol, 10), fuel: "M20"},
		"methanol": {settings: stops(whatif.Methanol, 10), fuel: "M20"},
		"20 % ethanol + 60 % gasoline + 20 % toluene":                   {settings: stops(whatif.Ethanol, 20), fuel: "40 % ethanol + 45 % gasoline + 15 % toluene"},
		"10 % ethanol + 40 % methanol + 50 % gasoline":                  {settings: stops(whatif.Ethanol, 20), fuel: "40 % ethanol + 20 % gasoline + 40 % methanol"},
		"50 % ethanol + 50 % methanol":                                  {settings: stops(whatif.Ethanol, 10), fuel: "20 % ethanol + 30 % gasoline + 50 % methanol"},
		"30 % ethanol + 50 % methanol + 10 % gasoline + 10 % isooctane": {settings: stops(whatif.Ethanol, 40), refused: "80 % of ethanol and 50 % of methanol are more than a whole"},
	} {
		f, err := fuel.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		st := state(t, panel(t, b.WithBlend(f)), want.settings)
		if st.Fuel != want.fuel || st.Refused != want.refused {
			t.Errorf("%s: %q, refused %q; want %q, %q", text, st.Fuel, st.Refused, want.fuel, want.refused)
		}
	}
	e70 := panel(t, b)
	with, err := b.WithEthanol(0.4)
	if err != nil {
		t.Fatal(err)
	}
	a, err := sizing.Assess(with)
	if err != nil {
		t.Fatal(err)
	}
	compare(t, "E40", state(t, e70, stops(whatif.Ethanol, 20)), a)
}

// TestNoAnswer wants a setting that makes no build to be told with its reason, and the
// sliders where they are.
func TestNoAnswer(t *testing.T) {
	b := open(t, "speed")
	b.Regulator.Relief = 62 * quantity.PSI // the set point is 58 psi
	p := panel(t, b)
	base := slider(t, p, whatif.BasePressure)
	st := state(t, p, stops(whatif.BasePressure, len(base.Stops)-1))
	if !strings.HasPrefix(st.Refused, "regulator.relief = 427.5 kPa (62 psi): does not exceed base_pressure") {
		t.Errorf("refused with %q", st.Refused)
	}
	if st.Verdict != "" || st.Parts != nil || len(st.Values) != len(p.Describe().Sliders) || len(st.Changes) != 1 {
		t.Errorf("state %+v", st)
	}
}

// TestWrongSettings wants settings that the panel does not have to be told.
func TestWrongSettings(t *testing.T) {
	p := panel(t, open(t, "turbo"))
	for want, s := range map[string]whatif.Settings{
		`no slider "bost"; want one of boost, power, ethanol, base-pressure, fuel-temperature, charge-temperature`: stops("bost", 1),
		"slider boost has no stop -1; want 0 to 67":                                                                stops(whatif.Boost, -1),
		"slider ethanol has no stop 51; want 0 to 50":                                                              stops(whatif.Ethanol, 51),
		"boost and power move each other; set one of them, or take them apart":                                     stops(whatif.Boost, 1, whatif.Power, 2),
	} {
		if _, err := p.State(s); err == nil || err.Error() != want {
			t.Errorf("%+v: %v, want %s", s, err, want)
		}
	}
}

// TestBadBuild wants the usual error of a build that is not valid.
func TestBadBuild(t *testing.T) {
	b := open(t, "turbo")
	b.Target.Lambda = 0
	want := b.Validate()
	if _, err := whatif.New(b); err == nil || want == nil || err.Error() != want.Error() {
		t.Errorf("%v, want %v", err, want)
	}
}
