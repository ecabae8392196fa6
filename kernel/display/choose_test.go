package display

import (
	"strings"
	"testing"

	"example.com/railbook/sizing"
)

const demoSheet, demoParts = notebooks + "/first-build.toml", notebooks + "/parts"

func TestChoose(t *testing.T) {
	c, err := choose(Open(demoSheet), demoParts, []string{"43.5, 50, 58, 65, 72.5 psi"})
	if err != nil {
		t.Fatal(err)
	}
	best := BestTable(c)
	if len(best.Rows) != 10 || best.Columns[1].Name != "Injectors" || !strings.Contains(best.Caption, "of 27,300") {
		t.Errorf("got %s", best.Text())
	}
	if rejected := RejectionTable(c); len(rejected.Rows) < 4 {
		t.Errorf("got %s", rejected.Text())
	}
	if misses := MissTable(c); len(misses.Rows) != 10 {
		t.Errorf("got %s", misses.Text())
	}
}

func TestPlanParts(t *testing.T) {
	p, err := planParts(Open(demoSheet), "power = 800 hp, blend = E85", demoParts, []string{"43.5, 50, 58, 65, 72.5 psi"})
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Rows) != 3 || !strings.Contains(p.Caption, "later with power 800 hp, blend E85: in two steps ") || !strings.Contains(p.Caption, " EUR, once ") {
		t.Errorf("got %s", p.Text())
	}
}

func TestWhatCannotBeChosen(t *testing.T) {
	b := Open(demoSheet)
	for name, tc := range map[string]struct {
		do   func() error
		want string
	}{
		"folder":   {func() error { _, err := choose(b, "nowhere", nil); return err }, "nowhere: cannot read the folder of parts lists: "},
		"pressure": {func() error { _, err := choose(b, demoParts, []string{"58"}); return err }, "the unit is missing"},
		"change":   {func() error { _, err := planParts(b, "powr = 800 hp", demoParts, nil); return err }, `perhaps "power" is meant`},
		"build":    {func() error { _, err := choose(sizing.Build{}, demoParts, nil); return err }, "build has "},
	} {
		if err := tc.do(); err == nil || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("%s: got %v, want %s", name, err, tc.want)
		}
	}
}
