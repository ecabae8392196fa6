package fuel

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func TestMix(t *testing.T) {
	// 20 L of E10 and 30 L of E85 hold 2 + 25.5 = 27.5 L of ethanol: E55.
	b, err := Mix(Portion{blend(t, "E10"), 20 * quantity.Litre}, Portion{blend(t, "E85"), 30 * quantity.Litre})
	if err != nil {
		t.Fatal(err)
	}
	if got := b.EthanolContent(); math.Abs(float64(got)-0.55) > 1e-12 || b.String() != "E55" {
		t.Errorf("%v with %v ethanol, want E55", b, got)
	}
	// Mass is conserved: the density is the volume average.
	want := (20*float64(blend(t, "E10").Density(Reference)) + 30*float64(blend(t, "E85").Density(Reference))) / 50
	within(t, "density", float64(b.Density(Reference)), want, 1e-12)
	// The result is written and read back like any other blend.
	text, err := b.MarshalText()
	if err != nil {
		t.Fatal(err)
	}
	if again := blend(t, string(text)); again != b {
		t.Errorf("%s reads back as %v", text, again)
	}
	one, err := Mix(Portion{blend(t, "E10"), 20 * quantity.Litre}, Portion{blend(t, "E85"), 0})
	if err != nil || one != blend(t, "E10") {
		t.Errorf("E10 and nothing is %v (%v)", one, err)
	}
}

func TestMixErrors(t *testing.T) {
	e10 := blend(t, "E10")
	for name, portions := range map[string][]Portion{
		"nothing":    nil,
		"no volume":  {{e10, 0}},
		"negative":   {{e10, 20 * quantity.Litre}, {e10, -1 * quantity.Litre}},
		"no fuel":    {{e10, 20 * quantity.Litre}, {Blend{}, 1 * quantity.Litre}},
		"not finite": {{e10, quantity.Volume(math.Inf(1))}},
		"NaN":        {{e10, quantity.Volume(math.NaN())}},
	} {
		if b, err := Mix(portions...); !errors.Is(err, ErrComposition) || !b.IsZero() {
			t.Errorf("%s: %v, error %v", name, b, err)
		}
	}
}

// TestNeededIsUndoneByMix mixes what Needed asks for and finds the target.
func TestNeededIsUndoneByMix(t *testing.T) {
	a, b := blend(t, "E10"), blend(t, "E85")
	for target := quantity.VolumeFraction(0.10); target < 0.851; target += 0.05 {
		target := min(target, 0.85)
		ofA, ofB, err := Needed(target, 60*quantity.Litre, a, b)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "total", float64(ofA+ofB), float64(60*quantity.Litre), 1e-12)
		mixed, err := Mix(Portion{a, max(ofA, 0)}, Portion{b, ofB})
		if err != nil {
			t.Fatal(err)
		}
		within(t, "content", float64(mixed.EthanolContent()), float64(target), 1e-12)
	}
	ofA, ofB, err := Needed(0.1, 10*quantity.Litre, a, a)
	if err != nil || ofA != 10*quantity.Litre || ofB != 0 {
		t.Errorf("two of a kind: %v and %v (%v)", ofA, ofB, err)
	}
}

func TestTopUp(t *testing.T) {
	// 30 L of E10 hold 3 L; with V of E85, (3 + 0.85 V)/(30 + V) = 0.5 gives V = 12/0.35.
	tank := Portion{blend(t, "E10"), 30 * quantity.Litre}
	v, err := TopUp(0.5, tank, blend(t, "E85"))
	if err != nil {
		t.Fatal(err)
	}
	within(t, "E85 needed", v.In(quantity.Litre), 12/0.35, 1e-12)
	if v, err := TopUp(0.1, tank, blend(t, "E85")); err != nil || v != 0 {
		t.Errorf("already there: %v (%v)", v, err)
	}
}

func TestTargetsOutOfReach(t *testing.T) {
	e10, e85 := blend(t, "E10"), blend(t, "E85")
	tank := Portion{e10, 30 * quantity.Litre}
	for name, make := range map[string]func() error{
		"too rich in ethanol": func() error { _, _, err := Needed(0.9, quantity.Litre, e10, e85); return err },
		"too poor":            func() error { _, _, err := Needed(0.05, quantity.Litre, e10, e85); return err },
		"NaN": func() error {
			_, _, err := Needed(quantity.VolumeFraction(math.NaN()), quantity.Litre, e10, e85)
			return err
		},
		"top up too far":      func() error { _, err := TopUp(0.9, tank, e85); return err },
		"top up with no fuel": func() error { _, err := TopUp(0.3, tank, Blend{}); return err },
	} {
		if err := make(); !errors.Is(err, ErrComposition) {
			t.Errorf("%s: error %v", name, err)
		}
	}
	_, _, err := Needed(0.9, quantity.Litre, e10, e85)
	if want := "90 % ethanol is out of reach of E10 and E85, which make 10 % to 85 %"; err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("error %v, want %q", err, want)
	}
	if _, err := TopUp(0.85, tank, e85); err == nil || !strings.Contains(err.Error(), "no finite volume of E85 brings E10 to 85 % ethanol") {
		t.Errorf("error %v", err)
	}
}
