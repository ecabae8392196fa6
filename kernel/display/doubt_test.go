package display

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/kernel/display/live"
	"example.com/railbook/sizing/sweep"
)

func TestDoubtIsStudiedWhenNeeded(t *testing.T) {
	d := Doubt(InDoubt(bench(t), "fuel.blend = E40..E60", "target.lambda = normal 0.80, 0.01"), sweep.Duty, sweep.PumpMargin)
	if d.made != nil {
		t.Fatal("studied before anything is shown")
	}
	first := d.Study()
	if d.Study() != first {
		t.Error("studied twice")
	}
	if first.Draws != cellDraws || len(first.Outcomes) != 2 || len(first.Doubts.List) != 2 {
		t.Errorf("%d draws, %d outcomes of %v", first.Draws, len(first.Outcomes), first.Doubts.List)
	}
	b, err := bundle(d)
	if err != nil {
		t.Fatal(err)
	}
	for _, has := range []string{"fuel.blend", "E40..E60", "injector duty", "Falls short"} {
		if !strings.Contains(b[cell.HTML].(string), has) || !strings.Contains(b[cell.Text].(string), has) {
			t.Errorf("%q is not shown", has)
		}
	}
}

func TestHistogram(t *testing.T) {
	d := Doubt(InDoubt(bench(t), "injectors.flow = 900..1100 cc/min at 3 bar"), sweep.Duty, sweep.Power)
	f := Histogram(d, sweep.Duty)
	if len(f.Chart.Series) != 3 || !strings.Contains(f.Alt, "largest duty allowed") {
		t.Fatalf("%d series; %s", len(f.Chart.Series), f.Alt)
	}
	outline := f.Chart.Series[0].Points
	sum := 0.0
	for i := 1; i+1 < len(outline); i += 2 {
		if outline[i].Y != outline[i+1].Y {
			t.Errorf("bar %d is not level", i/2)
		}
		sum += outline[i].Y
	}
	if math.Abs(sum-100) > 1e-6 || outline[0].Y != 0 || outline[len(outline)-1].Y != 0 {
		t.Errorf("the bars add up to %g %%", sum)
	}
	if _, err := live.Spec(f); err != nil {
		t.Error(err)
	}
	if _, err := json.Marshal(f); err != nil {
		t.Error(err)
	}
	if _, err := d.histogram(sweep.Power); err == nil || !strings.Contains(err.Error(), "does not vary") {
		t.Errorf("a histogram of what does not vary: %v", err)
	}
	if _, err := d.histogram(sweep.BSFC); err == nil || !strings.Contains(err.Error(), "is not studied") {
		t.Errorf("a histogram of what is not studied: %v", err)
	}
}

func TestDoubtMistakes(t *testing.T) {
	b := bench(t)
	for text, says := range map[string]string{
		"fuel.blend E60..E78":      `has no "="`,
		"fuel.blend = 60..78":      "no letter says",
		"fuel.bland = E60..E78":    `perhaps "fuel.blend" is meant`,
		"engine.speed = 1..2 mile": "unknown unit",
	} {
		if _, err := inDoubt(b, []string{text}); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, want it to say %q", text, err, says)
		}
	}
	if _, err := Doubt(b).study(); err == nil || !strings.Contains(err.Error(), "put one in doubt") {
		t.Errorf("a build without doubts: %v", err)
	}
}
