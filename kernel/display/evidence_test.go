package display

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/kernel/display/live"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

func demoPulls(t *testing.T, logs ...string) *Measurements {
	t.Helper()
	b, err := sizing.Open(notebooks + "/first-build.toml")
	if err != nil {
		t.Fatal(err)
	}
	for i := range logs {
		logs[i] = notebooks + "/logs/" + logs[i]
	}
	return Evidence(b, notebooks+"/logs/dyno.toml", logs...)
}

func TestEvidenceIsReadWhenNeeded(t *testing.T) {
	m := demoPulls(t, "te-0147-*.csv")
	if m.logs != nil {
		t.Fatal("read before anything is shown")
	}
	first := m.Logs()
	if again := m.Logs(); len(first) != 2 || again[0] != first[0] {
		t.Errorf("%d logs, read twice", len(first))
	}
	b, err := bundle(m)
	if err != nil {
		t.Fatal(err)
	}
	for _, has := range []string{"more than the high end of the band", "te-0147-second.csv: The rail sagged", "above the band", "transient fuelling"} {
		if !strings.Contains(b[cell.HTML].(string), has) || !strings.Contains(b[cell.Text].(string), has) {
			t.Errorf("%q is not shown", has)
		}
	}
	// The measured consumption goes into the build, and its demand rises with it.
	before, after := Assess(m.build), Assess(m.Build())
	ratio := float64(after.Demand.Routes.Power / before.Demand.Routes.Power)
	if want := float64(m.Advice().BSFC.Value / before.Demand.Band.High); math.Abs(ratio-want) > 1e-9 || ratio < 1.03 {
		t.Errorf("the power route rises by %v, want %v", ratio, want)
	}
}

func TestEvidenceFigures(t *testing.T) {
	m := demoPulls(t, "te-0147-first.csv", "te-0147-second.csv")
	consumption, rail := ConsumptionOverSpeed(m), RailOverSpeed(m)
	if n := len(consumption.Chart.Series); n != 5+2 {
		t.Errorf("%d series of consumption, want 5 pulls and both ends of the band", n)
	}
	if n := len(rail.Chart.Series); n != 5+1 {
		t.Errorf("%d series of rail pressure, want 5 pulls and the tolerance", n)
	}
	least := 0.0
	for _, p := range rail.Chart.Series[4].Points { // the last pull, which sags
		least = min(least, p.Y)
	}
	if fall := m.Logs()[1].Rail.Fall.In(quantity.PSI); math.Abs(least+fall) > 1e-9 || fall < 5 {
		t.Errorf("the rail falls by %v psi in the figure, by %v in the finding", -least, fall)
	}
	if !strings.Contains(consumption.Alt, "0.787 to 0.853") {
		t.Errorf("alt %q", consumption.Alt)
	}
	for _, f := range []any{consumption, rail} {
		if _, err := json.Marshal(f); err != nil {
			t.Error(err)
		}
	}
	if _, err := live.Spec(consumption); err != nil {
		t.Error(err)
	}
	if _, err := live.Spec(rail); err != nil {
		t.Error(err)
	}
}

func TestEvidenceMistakes(t *testing.T) {
	for name, tt := range map[string]struct {
		m    *Measurements
		says string
	}{
		"no log":          {demoPulls(t), "no log is named"},
		"missing log":     {demoPulls(t, "third.csv"), "no such file"},
		"missing mapping": {Evidence(sizing.Build{}, "nowhere.toml", "x.csv"), "the mapping: "},
		"no mapping":      {Evidence(sizing.Build{}, notebooks+"/first-build.toml", "x.csv"), "columns: is missing"},
	} {
		if _, err := bundle(tt.m); err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: error %v", name, err)
		}
	}
}
