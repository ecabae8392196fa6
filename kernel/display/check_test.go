package display

import (
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

func TestNear(t *testing.T) {
	for name, c := range map[string]struct {
		check Check
		holds bool
		got   string // as printed, in the unit of the text
	}{
		"inside a tolerance":     {Near("x", 789*quantity.KilogramPerCubicMetre, "789.24 kg/m3 +- 0.1 %", "s"), true, "789 kg/m³"},
		"outside it":             {Near("x", 788*quantity.KilogramPerCubicMetre, "789.24 kg/m3 +- 0.1 %", "s"), false, "788 kg/m³"},
		"another unit":           {Near("x", 3*quantity.BarDiff, "43.5 psi +- 0.1 psi", "s"), true, "43.511 psi"},
		"at the end of a range":  {Near("x", 60*quantity.PSI, "43.5..60 psi", "s"), true, "60 psi"},
		"beyond a range":         {Near("x", 60.1*quantity.PSI, "43.5..60 psi", "s"), false, "60.1 psi"},
		"a ratio":                {Near("x", quantity.Ratio(9.005), "9.00 +- 0.01", "s"), true, "9.005"},
		"a ratio in percent":     {Near("x", quantity.Ratio(0.85), "84..86 %", "s"), true, "85 %"},
		"plus or minus as one":   {Near("x", 14*quantity.Volt, "13.9 V ± 0.2 V", "s"), true, "14 V"},
		"a temperature":          {Near("x", quantity.Celsius(20), "68 degF +- 0.1 K", "s"), true, "68 °F"},
		"a unit with a digit":    {Near("x", quantity.MetrePerSecondSquared, "1 m/s2 +- 0.01 m/s2", "s"), true, "1 m/s²"},
		"a negative value":       {Near("x", quantity.Ratio(-0.13784), "-0.1378 +- 0.0001", "s"), true, "-0.13784"},
		"a number with exponent": {Near("x", quantity.Ratio(0.00125), "1.25e-3 +- 1e-5", "s"), true, "0.00125"},
	} {
		if c.check.err != nil {
			t.Errorf("%s: %v", name, c.check.err)
		} else if c.check.holds != c.holds || c.check.got != c.got {
			t.Errorf("%s: holds %v with %q, want %v with %q", name, c.check.holds, c.check.got, c.holds, c.got)
		}
	}
}

// What cannot be a check says why, whether it would hold or not.
func TestChecksThatCannotBeMade(t *testing.T) {
	for name, c := range map[string]struct {
		check Check
		want  string
	}{
		"no tolerance":     {Near("duty", quantity.Ratio(0.8), "0.8", "s"), `check "duty": "0.8" says nothing of how near: want a tolerance or a range`},
		"no unit":          {Near("boost", quantity.BarDiff, "1 +- 0.1", "s"), `check "boost": `},
		"no end":           {Near("duty", quantity.Ratio(0.8), "normal 0.8, 0.1", "s"), "has no ends"},
		"percent of share": {Near("duty", quantity.Ratio(0.8), "80 % +- 1 %", "s"), "of a share can mean"},
		"no source":        {Holds("it holds", true, " "), `want both what is checked and the source`},
		"no name":          {Is("", 1, "1", "s"), "want both what is checked"},
	} {
		if _, err := verify([]Check{c.check}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one with %q", name, err, c.want)
		}
	}
	if _, err := verify(nil); err == nil || !strings.Contains(err.Error(), "nothing is checked") {
		t.Errorf("no checks: error %v", err)
	}
}

func TestVerify(t *testing.T) {
	good := []Check{
		Near("duty", quantity.Ratio(0.8), "0.75..0.85", "the sheet"), Holds("it carries", true, "the assessment"),
		Is("gives out first", sizing.InjectorsPart, "injectors", "the assessment"), Is("sets", 12, "12", "by hand: 3 · 4"),
	}
	table, err := verify(good)
	if err != nil || len(table.Rows) != 4 {
		t.Fatalf("%d rows, error %v", len(table.Rows), err)
	}
	for i, row := range table.Rows {
		if row[4] != "● holds" {
			t.Errorf("row %d says %q", i, row)
		}
	}
	if got := table.Rows[0][2]; got != "0.75 to 0.85" {
		t.Errorf("the range is printed as %q", got)
	}
	// Those that do not hold are all named, and the table has the others too.
	bad := append(good, Near("boost", 22*quantity.PSI, "20 psi +- 1 psi", "the gauge"), Holds("it idles", false, "the bench"), Is("hose", "red", "blue", "the invoice"))
	table, err = verify(bad)
	want := "3 of 7 checks do not hold:\n  boost: 22 psi, want 20 psi ± 1 psi (the gauge)\n  it idles: no, want yes (the bench)\n  hose: red, want blue (the invoice)"
	if err == nil || err.Error() != want {
		t.Errorf("error\n%v\nwant\n%s", err, want)
	}
	if len(table.Rows) != 7 || table.Rows[4][4] != "○ does not hold" {
		t.Errorf("the table is %q", table.Rows)
	}
}

// Checks are not asked where what they were written for is not given.
func TestGiven(t *testing.T) {
	for _, given := range []bool{true, false} {
		table, err := verify([]Check{Holds("first", true, "s"), Given("the demo's sheet", given), Holds("second", false, "s")})
		if failed := err != nil; failed != given {
			t.Errorf("given %v: error %v", given, err)
		}
		if want := map[bool]string{true: "○ does not hold", false: "not asked"}[given]; table.Rows[2][4] != want {
			t.Errorf("given %v: the check behind it is %q, want %q", given, table.Rows[2][4], want)
		}
	}
	// A premise does not excuse what stands before it.
	if _, err := verify([]Check{Holds("first", false, "s"), Given("the demo's sheet", false)}); err == nil {
		t.Error("a check before the premise is excused by it")
	}
}
