package evidence

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// TestSummaryComesBack writes a summary as JSON and reads it back, to the last bit.
func TestSummaryComesBack(t *testing.T) {
	b := usual()
	b.noise, b.memory, b.carries = 0.01, 0.5, 66
	log := readText(t, text(b.rows(t), ",", false), mapping(t, usualMapping+"[log]\nvalves_per_cylinder = 4\n"), demo(t))
	for _, p := range log.Pulls {
		data, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		var back PullSummary
		if err := json.Unmarshal(data, &back); err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(back, p.PullSummary) {
			t.Errorf("%+v\ncomes back as\n%+v", p.PullSummary, back)
		}
		if p.Valves != 4 || p.Log != "log.csv" || p.Samples() <= p.Used {
			t.Errorf("%+v", p.PullSummary)
		}
	}
}

func TestPlusMinus(t *testing.T) {
	for _, tt := range []struct {
		value, u float64
		want     string
	}{
		{0.9041, 0.0327, "0.904 ± 0.033"}, {550.12, 13.13, "550 ± 13"}, {550.12, 0.0995, "550.12 ± 0.10"},
		{0.88, 0.03, "0.880 ± 0.030"}, {1234, 120, "1234 ± 120"}, {5, 0, "5 ± 0"}, {5, math.Inf(1), "5 ± +Inf"},
	} {
		if got := plusMinus(tt.value, tt.u); got != tt.want {
			t.Errorf("%v, %v: %q, want %q", tt.value, tt.u, got, tt.want)
		}
	}
}

// TestTables have a row for each pull, name their log where there are several, and say
// what was not measured.
func TestTables(t *testing.T) {
	a := demo(t)
	b := usual()
	b.carries = 66
	full := readText(t, text(b.rows(t), ",", false), mapping(t, usualMapping), a)
	bare := readText(t, text(usual().rows(t), ",", false), mapping(t, strings.Replace(usualMapping, `power = { column = "Power", at = "crank" }`, "", 1)), a)
	bare.Name = "bare.csv"
	for _, table := range []string{
		PullTable(quantity.US, full, bare).Text(), ConsumptionTable(quantity.US, full, bare).Text(), AsideTable(full, bare).Text(),
	} {
		if n := strings.Count(table, "\n"); n != 3+4 {
			t.Errorf("%d lines:\n%s", n, table)
		}
		if !strings.Contains(table, "log.csv 2") || !strings.Contains(table, "bare.csv 1") {
			t.Errorf("pulls are not named:\n%s", table)
		}
	}
	if c := ConsumptionTable(quantity.US, bare).Text(); !strings.Contains(c, "1     ") || !strings.Contains(c, none) {
		t.Errorf("consumption without power:\n%s", c)
	}
	if bare.Pulls[0].Average.Measured() || bare.Pulls[0].Finding != nil || bare.Pulls[0].MostDuty == 0 {
		t.Errorf("a pull without power: %+v", bare.Pulls[0].PullSummary)
	}
	if !strings.Contains(strings.Join(bare.Notes, " "), "Neither power nor torque is logged") {
		t.Errorf("notes %q", bare.Notes)
	}
	if c := bare.Pulls[0].UncertaintyTable(quantity.SI); c.Caption != "No consumption was measured" {
		t.Errorf("caption %q", c.Caption)
	}
	u := full.Pulls[0].UncertaintyTable(quantity.SI)
	if n := len(u.Rows); n != 1+len(full.Pulls[0].Instruments)+1 {
		t.Errorf("%d rows of uncertainty", n)
	}
	if c := AsideTable(full).Columns; len(c) != 5 || c[3].Name != string(RailSagged) || c[4].Name != string(Transient) {
		t.Errorf("columns %+v", c)
	}
	if c := full.ColumnTable(); len(c.Rows) != 11 || c.Rows[3][3] != "absolute" {
		t.Errorf("rows %q", c.Rows)
	}
}

func TestStanding(t *testing.T) {
	band := demand.Band{Low: 500 * quantity.GramPerKilowattHour, High: 600 * quantity.GramPerKilowattHour}
	for _, tt := range []struct {
		value, u float64
		want     Standing
	}{
		{620, 10, Above}, {620, 30, Undecided}, {605, 10, Undecided}, {550, 10, Within}, {550, 60, Undecided}, {510, 20, Undecided}, {470, 10, Below}, {470, 40, Undecided},
	} {
		got := standing(quantity.Of(tt.value, quantity.GramPerKilowattHour), quantity.Of(tt.u, quantity.GramPerKilowattHour), band)
		if got != tt.want {
			t.Errorf("%v ± %v: %q, want %q", tt.value, tt.u, got, tt.want)
		}
	}
}

// TestAdvise words each standing, and counts a pull given twice once.
func TestAdvise(t *testing.T) {
	a := demo(t)
	m := mapping(t, usualMapping)
	for _, tt := range []struct {
		gkWh float64
		want Standing
		says string
		line bool
	}{
		{580, Above, "the band is too low for it", true},
		{530, Undecided, "leaves open", true},
		{510, Undecided, "leaves open", false},
		{430, Below, "Before anything is sized smaller, prove power", true},
	} {
		b := usual()
		b.bsfc = func(float64) float64 { return tt.gkWh }
		pulls := readText(t, text(b.rows(t), ",", false), m, a).Pulls
		ad := Advise(a, pulls...)
		if ad.Standing != tt.want || !strings.Contains(ad.Text, tt.says) || (ad.Field != "") != tt.line {
			t.Errorf("%v g/kWh: %+v", tt.gkWh, ad)
		}
		twice := Advise(a, append(pulls, pulls...)...)
		if twice.BSFC != ad.BSFC || twice.Pulls != 2 || !strings.Contains(twice.Text, "2 given twice are counted once") {
			t.Errorf("given twice: %+v", twice)
		}
	}
	// Within, with instruments that are sure.
	b := usual()
	b.bsfc = func(float64) float64 { return 500 }
	sure := mapping(t, usualMapping+"[uncertainty]\npower = \"0.5 %\"\ninjector_flow = \"0.5 %\"\nrail_pressure = \"1 kPa\"\n")
	if ad := Advise(a, readText(t, text(b.rows(t), ",", false), sure, a).Pulls...); ad.Standing != Within || ad.Field != "" {
		t.Errorf("%+v", ad)
	}
}

// TestFuels has the fuel of a content as package fuel has it, on the sheet's own base.
func TestFuels(t *testing.T) {
	for _, sheet := range []string{"E70", "gasoline", "E100", "10 % ethanol + 90 % premium gasoline"} {
		blend, err := fuel.Parse(sheet)
		if err != nil {
			t.Fatal(err)
		}
		f, err := newFuels(blend, true)
		if err != nil {
			t.Fatal(err)
		}
		if got := f.at(float64(blend.EthanolContent())); got.blend != blend {
			t.Errorf("%s at its own content is %v", sheet, got.blend)
		}
		for _, content := range []float64{0, 0.1, 0.4567, 0.85, 1, 1.01, -0.01} {
			got := f.at(content)
			near(t, sheet+": content", float64(got.blend.EthanolContent()), min(max(content, 0), 1), 0.5/steps+1e-9)
			near(t, sheet+": energy of ethanol", got.share, float64(got.blend.MassFraction("ethanol"))*ethanolLHV/float64(got.blend.LHV()), 1e-12)
		}
		if strings.Contains(sheet, "premium") && !f.at(0.3).blend.Has("premium gasoline") {
			t.Errorf("the base of %s becomes %v", sheet, f.at(0.3).blend)
		}
	}
	m85, err := fuel.Parse("M85")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := newFuels(m85, true); err == nil || !strings.Contains(err.Error(), "cannot tell ethanol from the methanol") {
		t.Errorf("content of M85: %v", err)
	}
	if f, err := newFuels(m85, false); err != nil || f.at(0).blend != m85 || f.at(0.01).blend != m85 {
		t.Errorf("M85 without a content: %v", err)
	}
}
