package plumbing

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func mustDash(t *testing.T, text string) Dash {
	t.Helper()
	d, err := ParseDash(text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// TestDashHose holds hose against a hose distributor's table of dash numbers
// (aesreddeer.com, selecting a hose, "all except C5 series, C14"): inches and, rounded
// to a tenth, millimetres.
func TestDashHose(t *testing.T) {
	for text, want := range map[string]struct{ inches, mm float64 }{
		"-3 hose":  {3.0 / 16, 4.8},
		"-4 hose":  {1.0 / 4, 6.4},
		"-5 hose":  {5.0 / 16, 7.9},
		"-6 hose":  {3.0 / 8, 9.5},
		"-8 hose":  {1.0 / 2, 12.7},
		"-10 hose": {5.0 / 8, 15.9},
		"-12 hose": {3.0 / 4, 19.0},
		"-16 hose": {1, 25.4},
		"-20 hose": {1.25, 31.8},
		"-32 hose": {2, 50.8},
	} {
		bore := mustDash(t, text).Bore()
		near(t, text+" in inches", bore.In(quantity.Inch), want.inches, 1e-15)
		if got := bore.In(quantity.Millimetre); math.Abs(got-want.mm) > 0.0501 {
			t.Errorf("%s: %.3f mm, the table has %g", text, got, want.mm)
		}
	}
}

// TestDashTube holds tube against teaching for aircraft mechanics: slides on fluid
// lines and fittings, after chapter 7 of the handbook FAA-H-8083-30, work the example
// of size 10 with a wall of 0.065 in, 0.495 in inside. The others are the sizes of SAE
// J526 tube at chicagotube.com less twice its walls (independent arithmetic).
func TestDashTube(t *testing.T) {
	for text, inches := range map[string]float64{
		"-10 tube, wall 0.065 in": 0.495,
		"-5 tube, wall 0.028 in":  0.2565,
		"-6 tube, wall 0.028 in":  0.319,
		"-8 tube, wall 0.035 in":  0.430,
		"-10 tube, wall 0.035 in": 0.555,
	} {
		near(t, text, mustDash(t, text).Bore().In(quantity.Inch), inches, 1e-14)
	}
	// A table of the least bores after bending (navyaviation.tpub.com, table 6-6) has to lie
	// a little below.
	for text, least := range map[string]float64{
		"-4 tube, wall 0.035 in": 0.150, "-6 tube, wall 0.049 in": 0.240, "-8 tube, wall 0.065 in": 0.330,
		"-8 tube, wall 0.028 in": 0.400, "-12 tube, wall 0.042 in": 0.610, "-16 tube, wall 0.065 in": 0.830,
	} {
		if got := mustDash(t, text).Bore().In(quantity.Inch); !(got > least && got < least+0.06) {
			t.Errorf("%s: bore %.4f in, not just above the least of %g", text, got, least)
		}
	}
}

// TestParseDash: spellings of the same size, and the constructors.
func TestParseDash(t *testing.T) {
	hose, err := DashHose(8)
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"-8 hose", " -8   Hose ", "-08 hose", "\u20138 hose", "\u22128 HOSE"} {
		if got := mustDash(t, text); got != hose {
			t.Errorf("ParseDash(%q) = %v", text, got)
		}
	}
	tube, err := DashTube(8, 0.035*quantity.Inch)
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"-8 tube, wall 0.035 in", "-8 tube wall 0.035in", "-8  Tube,  WALL 0.035\"", "-8 tube, wall 0.000889 m"} {
		got := mustDash(t, text)
		near(t, text, float64(got.Bore()), float64(tube.Bore()), 1e-15)
	}
	if a, b := hose.Bore(), tube.Bore(); !(b < a) || hose == tube || hose.IsZero() {
		t.Errorf("tube %v, hose %v", b, a)
	}
	if got := (Dash{}).Bore(); got != 0 || !(Dash{}).IsZero() {
		t.Errorf("no size has a bore of %v", got)
	}
}

func TestParseDashRefuses(t *testing.T) {
	const alone = "a dash number alone does not tell the bore: a hose is numbered by its inside, a tube by its outside"
	tests := []struct {
		text, says string
		kind       error
	}{
		{"-8", alone, quantity.ErrSyntax},
		{"-8 AN", alone, quantity.ErrSyntax},
		{"-06 JIC", alone, quantity.ErrSyntax},
		{"", "does not begin with a dash and a number", quantity.ErrSyntax},
		{"8 hose", "does not begin with a dash and a number", quantity.ErrSyntax},
		{"AN-8 hose", "does not begin with a dash and a number", quantity.ErrSyntax},
		{"--8 hose", "does not begin with a dash and a number", quantity.ErrSyntax},
		{"-8.5 hose", "does not begin with a dash and a number", quantity.ErrSyntax},
		{"-70000 hose", "does not begin with a dash and a number", quantity.ErrSyntax},
		{"12.7 mm", "does not begin with a dash and a number", quantity.ErrSyntax},
		{"-8 AN hose", `only a plain "-8 hose" has that bore`, quantity.ErrSyntax},
		{"-8 PTFE hose", "state the bore itself", quantity.ErrSyntax},
		{"-8 hose, 100R14", "of 100R5, 100R14, PTFE and AN hose", quantity.ErrSyntax},
		{"-8 pipe", `"pipe" is neither a hose nor a tube`, quantity.ErrSyntax},
		{"-8 tube", "the wall is missing", quantity.ErrSyntax},
		{"-8 tube, 0.035 in", "the wall is missing", quantity.ErrSyntax},
		{"-8 tubewall 0.035 in", "neither a hose nor a tube", quantity.ErrSyntax},
		{"-8 tube, wall 0.035", "wall: \"0.035\": the unit is missing", quantity.ErrSyntax},
		{"-8 tube, wall 0.035 kg", "unknown unit", quantity.ErrSyntax},
		{"-8 tube, wall 0.035 mm", "must not be less than 0.2 mm", quantity.ErrRange},
		{"-8 tube, wall -1 mm", "must not be less than 0.2 mm", quantity.ErrRange},
		{"-8 tube, wall 0.25 in", "the wall leaves no bore in a tube of 12.7 mm", quantity.ErrRange},
		{"-0 hose", "must lie from 1 to 64", quantity.ErrRange},
		{"-65 hose", "must lie from 1 to 64", quantity.ErrRange},
	}
	before := mustDash(t, "-4 hose")
	for _, tt := range tests {
		t.Run(tt.text, func(t *testing.T) {
			d, err := ParseDash(tt.text)
			var pe *quantity.ParseError
			if d != (Dash{}) || !errors.As(err, &pe) || !errors.Is(err, tt.kind) || pe.Accepted == "" {
				t.Fatalf("%v, %v; want no size and a ParseError of kind %v", d, err, tt.kind)
			}
			if !strings.Contains(err.Error(), tt.says) {
				t.Errorf("error %q does not say %q", err, tt.says)
			}
			if tt.text != "" {
				if d = before; d.UnmarshalText([]byte(tt.text)) == nil || d != before {
					t.Errorf("UnmarshalText made %v of it", d)
				}
			}
		})
	}
	_, err := ParseDash("-8")
	for _, form := range []string{`"-8 hose"`, `"-8 tube, wall 0.035 in"`} {
		if !strings.Contains(err.Error(), form) {
			t.Errorf("error %q does not offer %s", err, form)
		}
	}
	for _, wall := range []quantity.Length{0, quantity.Length(math.NaN()), quantity.Length(math.Inf(1)), 7 * quantity.Millimetre} {
		if d, err := DashTube(8, wall); !errors.Is(err, quantity.ErrRange) || d != (Dash{}) {
			t.Errorf("a tube with a wall of %v: %v, %v", wall, d, err)
		}
	}
	if d, err := DashHose(-8); !errors.Is(err, quantity.ErrRange) || d != (Dash{}) || !strings.Contains(err.Error(), `"-8"`) {
		t.Errorf("a hose of -8: %v, %v", d, err)
	}
}

func TestDashPrints(t *testing.T) {
	if got := (Dash{}).Accepts(); !strings.Contains(got, `"-8 tube, wall 0.035 in"`) {
		t.Errorf("Accepts: %q", got)
	}
	tube := mustDash(t, "-8 tube, wall 0.035 in")
	for got, want := range map[string]string{
		mustDash(t, "-06 hose").String(): "-6 hose",
		tube.Format(quantity.US):         "-8 tube, wall 0.035 in",
		tube.String():                    "-8 tube, wall 0.889 mm",
		Dash{}.String():                  "no size",
	} {
		if got != want {
			t.Errorf("prints %q, want %q", got, want)
		}
	}
	text, err := Dash{}.MarshalText()
	if err != nil || len(text) != 0 {
		t.Errorf("no size is written %q, %v", text, err)
	}
	if err := tube.UnmarshalText(text); err != nil || !tube.IsZero() {
		t.Errorf("an empty text reads as %v, %v", tube, err)
	}
}

// FuzzParseDash: whatever reads has a bore and is written so that it reads back the
// same.
func FuzzParseDash(f *testing.F) {
	for _, seed := range []string{
		"-8 hose", "-8 tube, wall 0.035 in", "-8 tube wall 1mm",
		"-8", "-8 AN", // refused
		"\u22128 hose",           // a minus sign
		"-1 tube, wall 0.79 mm",  // all but no bore
		"-8 tube, wall 1e-320 m", // no wall
		"-18446744073709551616 hose", "-8 tube,", "-8  wall",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		d, err := ParseDash(text)
		if err != nil {
			if d != (Dash{}) {
				t.Errorf("%q: %v with error %v", text, d, err)
			}
			return
		}
		if bore := d.Bore(); !(bore > 0 && bore <= 4*quantity.Inch) {
			t.Errorf("%q has a bore of %v", text, bore)
		}
		written, err := d.MarshalText()
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		var back Dash
		if err := back.UnmarshalText(written); err != nil || back != d {
			t.Errorf("%q: written %q, reads as %v, %v", text, written, back, err)
		}
	})
}
