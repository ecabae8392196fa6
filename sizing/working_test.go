package sizing_test

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// constants are the numbers of formulas, which come from nowhere but the formula.
var constants = map[string]bool{"1": true, "4": true, "7": true, "8": true, "9": true, "2": true, "60": true, "225": true, "402.336": true, "3600": true}

// TestEveryNumberHasAnOrigin wants every number that is put in to be that of a field that
// there is, or of a step before.
func TestEveryNumberHasAnOrigin(t *testing.T) {
	number := regexp.MustCompile(`\d+(\.\d+)?`)
	for name, b := range arrangements(t) {
		for _, sys := range []quantity.System{quantity.SI, quantity.US, quantity.USThenSI} {
			a := assess(t, b)
			for i, s := range a.Working(sys) {
				rest, end := "", 0
				for _, o := range s.Origins {
					if o.Start < end || o.End <= o.Start || o.End > len(s.Numbers) {
						t.Fatalf("%s: %s: origin %+v does not fit %q", name, s.Title, o, s.Numbers)
					}
					rest += s.Numbers[end:o.Start] + "…"
					end = o.End
					switch {
					case o.Step != 0:
						if o.Field != "" || o.Step > i {
							t.Errorf("%s: %s: %+v, want an earlier step than %d", name, s.Title, o, i+1)
						}
					case !isSheetPath(o.Field):
						t.Errorf("%s: %s: %q comes from %q, which is no path of the sheet", name, s.Title, s.Numbers[o.Start:o.End], o.Field)
					}
				}
				rest += s.Numbers[end:]
				for _, n := range number.FindAllString(rest, -1) {
					if !constants[n] {
						t.Errorf("%s: %s: %q has the number %s, which comes from nowhere", name, s.Title, s.Numbers, n)
					}
				}
				if strings.ContainsAny(s.Numbers+s.Result, "\x01\x02\x03") {
					t.Errorf("%s: %s: marks are left in %q", name, s.Title, s.Numbers)
				}
			}
		}
	}
}

// isSheetPath reports whether a path, with or without the numbers of elements, is that of
// a field or a table of the sheet.
func isSheetPath(path string) bool {
	path = regexp.MustCompile(`\[\d+\]`).ReplaceAllString(path, "")
	for _, p := range sizing.SheetPaths() {
		if p == path || strings.HasPrefix(p, path+".") {
			return true
		}
	}
	return false
}

// Both systems: numbers go in in the first, results come out in both.
func TestWorkingInBothSystems(t *testing.T) {
	a := assess(t, open(t, "turbo.toml"))
	us, both := a.Working(quantity.US), a.Working(quantity.USThenSI)
	for i := range us {
		if us[i].Numbers != both[i].Numbers {
			t.Errorf("%s: %q, want %q", us[i].Title, both[i].Numbers, us[i].Numbers)
		}
		if !strings.HasPrefix(both[i].Result, strings.SplitN(us[i].Result, " = ", 2)[0]) {
			t.Errorf("%s: result %q, want it to begin with %q", us[i].Title, both[i].Result, us[i].Result)
		}
	}
	if got := both[0].Result; got != "36.58 psia (252.2 kPa)" {
		t.Errorf("manifold pressure %q", got)
	}
}

// Sums and differences of pressures come out as printed, but for the last digit:
// independent arithmetic on what is printed.
func TestPrintedSumsComeOut(t *testing.T) {
	sum := regexp.MustCompile(`^(-?[\d.]+) kPa ([+−]) (-?[\d.]+) kPa(?:$|,| in all| at )`)
	result := regexp.MustCompile(`^(-?[\d.]+) kPa$`)
	seen := 0
	for name, b := range arrangements(t) {
		a := assess(t, b)
		for _, s := range a.Working(quantity.SI) {
			m, r := sum.FindStringSubmatch(s.Numbers), result.FindStringSubmatch(s.Result)
			if m == nil || r == nil {
				continue
			}
			seen++
			x, _ := strconv.ParseFloat(m[1], 64)
			y, _ := strconv.ParseFloat(m[3], 64)
			z, _ := strconv.ParseFloat(r[1], 64)
			if m[2] == "−" {
				y = -y
			}
			// Four digits of numbers up to 1,000 kPa.
			if math.Abs(x+y-z) > 0.16 {
				t.Errorf("%s: %s: %s is not %s", name, s.Title, s.Numbers, s.Result)
			}
		}
	}
	if seen < 50 {
		t.Errorf("only %d sums were seen", seen)
	}
}
