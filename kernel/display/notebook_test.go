package display

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/sizing"
)

const notebooks = "../../notebooks"

// Every notebook is one that a stranger can open: of the current format, without
// outputs, with short cells that need neither import lines nor error handling.
func TestNotebooks(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(notebooks, "*.ipynb"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no notebooks in %s: %v", notebooks, err)
	}
	for _, path := range files {
		t.Run(filepath.Base(path), func(t *testing.T) {
			raw, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			for _, want := range []string{`"nbformat": 4`, `"nbformat_minor": 5`, `"name": "railbook"`, `"display_name": "Railbook"`, `"language": "go"`} {
				if !strings.Contains(string(raw), want) {
					t.Errorf("its metadata lack %s", want)
				}
			}
			nb, err := nbformat.Parse(raw)
			if err != nil {
				t.Fatal(err)
			}
			if nb.Cells[0].Type != nbformat.Markdown || !strings.HasPrefix(nb.Cells[0].Source, "# ") {
				t.Error("it does not begin with a title")
			}
			ids := map[string]bool{}
			for i, c := range nb.Cells {
				if c.ID == "" || ids[c.ID] {
					t.Errorf("cell %d has the id %q, which is empty or taken", i+1, c.ID)
				}
				ids[c.ID] = true
				if c.Type != nbformat.Code {
					continue
				}
				if len(c.Outputs) > 0 || c.ExecutionCount != 0 {
					t.Errorf("cell %d has outputs", i+1)
				}
				if n := strings.Count(strings.TrimSpace(c.Source), "\n") + 1; n > 6 {
					t.Errorf("cell %d has %d lines; want 6 at most", i+1, n)
				}
				if m := regexp.MustCompile(`\b(import|if|err)\b`).FindString(c.Source); m != "" {
					t.Errorf("cell %d has %q in it", i+1, m)
				}
			}
		})
	}
}

// What the prose of the first notebook says about its build is so. Its text does
// not change with the sheet, so this test does.
func TestFirstBuildStory(t *testing.T) {
	b, err := sizing.Open(filepath.Join(notebooks, "first-build.toml"))
	if err != nil {
		t.Fatal(err)
	}
	a := Assess(b)
	if a.Status() != sizing.Carries {
		t.Errorf("as it stands the system is %v, want it to carry", a.Status())
	}
	if a.Demand.Spread > 0.12 {
		t.Errorf("the routes lie %v apart, want a tenth or so", a.Demand.Spread)
	}
	if share := float64(a.Injection.DeadTime / a.Injection.Interval); share < 1/17.0 || share > 1/15.0 {
		t.Errorf("the dead time is %v of the interval, want a sixteenth", share)
	}
	gasoline := Assess(With(b, "blend = E0"))
	byMass, byVolume := float64(a.Demand.Total/gasoline.Demand.Total), float64(a.Demand.Volume/gasoline.Demand.Volume)
	if byMass < 1.30 || byMass > 1.37 || byVolume >= byMass {
		t.Errorf("E70 takes %v times the mass and %v times the volume, want a third more by mass and less by volume", byMass, byVolume)
	}
	for change, want := range map[string]struct {
		status sizing.Status
		first  sizing.PartKind
	}{
		"boost = 28 psi":                                                    {sizing.Short, sizing.InjectorsPart},
		"boost = 28 psi, base pressure = 50 psi":                            {sizing.Thin, sizing.InjectorsPart},
		"boost = 28 psi, base pressure = 58 psi":                            {sizing.Short, sizing.PumpsPart},
		"boost = 28 psi, base pressure = 58 psi, blend = E50":               {sizing.Thin, sizing.PumpsPart},
		"boost = 28 psi, injector flow = 2000 cc/min at 3 bar on n-heptane": {sizing.Carries, sizing.PumpsPart},
	} {
		c := Assess(With(b, change))
		if c.Status() != want.status || c.Weakest().Kind != want.first {
			t.Errorf("%s: %v, %v first, want %v, %v", change, c.Status(), c.Weakest().Kind, want.status, want.first)
		}
	}
	// More base pressure gains nothing beyond the point where the two share.
	limit := func(change string) float64 { return float64(Assess(With(b, change)).Weakest().Limit) }
	if low, mid, high := limit("boost = 28 psi"), limit("boost = 28 psi, base pressure = 50 psi"), limit("boost = 28 psi, base pressure = 58 psi"); !(mid > 1.03*low) || high > low {
		t.Errorf("limits %v, %v, %v at 43.5, 50 and 58 psi: want the middle one highest and the last no gain", low, mid, high)
	}
	if turned := Assess(With(b, "boost = 28 psi, base pressure = 58 psi")); !turned.Delivery.Sags {
		t.Error("turned up the easy way the rail does not sag")
	}
}
