package sizing_test

import (
	"encoding"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/quantity"
)

// margin is that of a part of the build at a power.
func margin(t *testing.T, b sizing.Build, kind sizing.PartKind, at quantity.CrankPower) float64 {
	t.Helper()
	p, ok := assess(t, b.AtPower(at)).Part(kind)
	if !ok {
		t.Fatalf("at %v the %s is gone", at, kind)
	}
	return float64(p.Margin)
}

// roomy gives an unboosted engine room for more power and sizes on the power route, so
// that the demand follows power in proportion as the limits take it to.
func roomy(b sizing.Build) sizing.Build {
	b.Policy.Route = demand.Power
	if !b.Induction.Kind.Boosted() {
		b.Engine.VolumetricEfficiency = 0.6
	}
	return b
}

// TestLimitsEverywhere goes, for every part of every arrangement, to the powers at which
// it is said to run out and to keep its margin, and wants just that there.
func TestLimitsEverywhere(t *testing.T) {
	checked := map[sizing.PartKind]int{}
	for name, b := range arrangements(t) {
		a := assess(t, roomy(b))
		for _, p := range a.Parts {
			if !p.Limited || p.Limit == 0 || a.Build.AtPower(p.Limit).Validate() != nil {
				continue
			}
			checked[p.Kind]++
			t.Run(name+" "+p.Kind.String(), func(t *testing.T) {
				if got := margin(t, a.Build, p.Kind, p.Limit); math.Abs(got) > 1e-6 {
					t.Errorf("margin %v at the limit of %v", got, p.Limit)
				}
				if got := margin(t, a.Build, p.Kind, p.Keeps); p.Keeps != 0 && math.Abs(got-float64(p.Wanted)) > 1e-6 {
					t.Errorf("margin %v at %v, want %v", got, p.Keeps, p.Wanted)
				}
				if (p.Margin >= 0) != (p.Limit >= a.Power) && math.Abs(float64(p.Margin)) > 1e-9 {
					t.Errorf("margin %v, limit %v, target %v", p.Margin, p.Limit, a.Power)
				}
			})
		}
	}
	for _, kind := range []sizing.PartKind{sizing.SuctionPart, sizing.LiftPart, sizing.PumpsPart, sizing.FeedLinePart, sizing.InjectorsPart} {
		if checked[kind] == 0 {
			t.Errorf("no limit of the %s was checked", kind)
		}
	}
}

// TestMarginsFallEverywhere wants no margin to rise with power.
func TestMarginsFallEverywhere(t *testing.T) {
	for name, b := range arrangements(t) {
		b = roomy(b)
		power := b.CrankPower()
		var last *sizing.Assessment
		for share := 0.5; share < 1.8; share += 0.05 {
			b := b.AtPower(quantity.Of(share, power))
			if b.Induction.Kind.Boosted() && b.Induction.Boost < 0.1*quantity.PSI {
				continue
			}
			a := assess(t, b)
			for i := range a.Parts {
				if last == nil || !a.Parts[i].Limited {
					continue
				}
				if p, q := last.Parts[i], a.Parts[i]; !(q.Margin < p.Margin) {
					t.Errorf("%s at %.2f of its power: margin of the %s from %v to %v", name, share, q.Kind, p.Margin, q.Margin)
				}
			}
			last = a
		}
	}
}

// TestFilledBuild: the build as assessed is valid, and says the same when it is assessed
// again, with no default left to fill in.
func TestFilledBuild(t *testing.T) {
	list := arrangements(t)
	hot := list["natural"]
	hot.Fuel.Temperature = quantity.Celsius(95)
	list["natural, hot"] = hot
	lean := list["turbo"]
	lean.Target.Lambda, lean.Nitrous.Flow = 1.15, 20*quantity.GramPerSecond
	list["turbo, lean on nitrous oxide"] = lean
	for name, b := range list {
		a := assess(t, b)
		again, err := sizing.Assess(a.Build)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if !reflect.DeepEqual(a.Build, again.Build) {
			t.Errorf("%s: filling in defaults again changes the build", name)
		}
		again.Assumptions = a.Assumptions
		one, two := marshal(t, a), marshal(t, again)
		if one != two {
			t.Errorf("%s: assessed again it differs\n%s\n%s", name, one, two)
		}
	}
}

func marshal(t *testing.T, v any) string {
	t.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// TestJSONEverywhere wants every assessment to survive JSON bit for bit.
func TestJSONEverywhere(t *testing.T) {
	for name, b := range arrangements(t) {
		data := marshal(t, assess(t, b))
		var back sizing.Assessment
		if err := json.Unmarshal([]byte(data), &back); err != nil {
			t.Errorf("%s: %v", name, err)
		} else if again := marshal(t, &back); again != data {
			t.Errorf("%s: JSON changes on the way\n%s\n%s", name, data, again)
		}
	}
}

// TestUnitsDoNotMatterAnywhere writes every build as a sheet in coherent SI units, reads
// it, and wants the same assessment: sheets mix SI and US units.
func TestUnitsDoNotMatterAnywhere(t *testing.T) {
	for name, b := range sheets(t) {
		t.Run(name, func(t *testing.T) {
			var text strings.Builder
			writeTable(t, &text, "", reflect.ValueOf(b))
			si, err := sizing.Read(name, []byte(text.String()))
			if err != nil {
				t.Fatalf("%v\n%s", err, text.String())
			}
			// A unit is turned back to the last digit or two.
			one, two := assess(t, b), assess(t, si)
			for i, p := range one.Parts {
				q := two.Parts[i]
				if !near(float64(p.Limit), float64(q.Limit), 1e-9) || math.Abs(float64(p.Margin-q.Margin)) > 1e-9 {
					t.Errorf("%s: %v and %v", p.Kind, p, q)
				}
			}
			if !near(float64(one.Demand.Total), float64(two.Demand.Total), 1e-12) || !near(float64(one.Idle.Pulse), float64(two.Idle.Pulse), 1e-9) {
				t.Errorf("demand %v and %v, idle pulse %v and %v", one.Demand.Total, two.Demand.Total, one.Idle.Pulse, two.Idle.Pulse)
			}
		})
	}
}

// writeTable writes a struct with sheet tags as TOML, quantities in coherent SI units.
func writeTable(t *testing.T, w *strings.Builder, path string, v reflect.Value) {
	var later []func()
	for i := range v.NumField() {
		name, option, _ := strings.Cut(v.Type().Field(i).Tag.Get("sheet"), ",")
		f := v.Field(i)
		if name == "" || f.IsZero() && option != "required" {
			continue
		}
		at := name
		if path != "" {
			at = path + "." + name
		}
		if f.Kind() == reflect.Pointer {
			f = f.Elem()
		}
		switch {
		case isText(f) || f.Kind() != reflect.Struct && f.Kind() != reflect.Slice:
			fmt.Fprintf(w, "%s = %s\n", name, tomlText(t, f))
		case f.Kind() == reflect.Struct:
			later = append(later, func() { fmt.Fprintf(w, "\n[%s]\n", at); writeTable(t, w, at, f) })
		case isText(f.Index(0)):
			texts := make([]string, f.Len())
			for k := range texts {
				texts[k] = tomlText(t, f.Index(k))
			}
			fmt.Fprintf(w, "%s = [%s]\n", name, strings.Join(texts, ", "))
		default:
			later = append(later, func() {
				for k := range f.Len() {
					fmt.Fprintf(w, "\n[[%s]]\n", at)
					writeTable(t, w, at, f.Index(k))
				}
			})
		}
	}
	for _, table := range later {
		table()
	}
}

func isText(v reflect.Value) bool {
	_, ok := v.Interface().(encoding.TextMarshaler)
	return ok
}

func tomlText(t *testing.T, v reflect.Value) string {
	t.Helper()
	m, ok := v.Interface().(encoding.TextMarshaler)
	switch {
	case !ok && v.Kind() == reflect.String:
		return fmt.Sprintf("%q", v.String())
	case !ok:
		return fmt.Sprint(v.Interface())
	}
	text, err := m.MarshalText()
	if err != nil {
		t.Fatal(err)
	}
	return fmt.Sprintf("%q", text)
}

// numbers walks everything in v and reports, by its path, each number that is none.
func numbers(v reflect.Value, path string, report func(path string, x float64)) {
	switch v.Kind() {
	case reflect.Float64:
		if x := v.Float(); math.IsNaN(x) || math.IsInf(x, 0) {
			report(path, x)
		}
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			numbers(v.Elem(), path, report)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			// What is not exported may be unbounded, as the ends of a normal distribution.
			if f := v.Type().Field(i); f.IsExported() {
				numbers(v.Field(i), path+"."+f.Name, report)
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			numbers(v.Index(i), fmt.Sprintf("%s[%d]", path, i), report)
		}
	}
}

// TestNumbersFindsThem proves that the walk sees what it looks for.
func TestNumbersFindsThem(t *testing.T) {
	a := assess(t, open(t, "surge.toml"))
	a.Loads.Pumps[1].Drop = quantity.Voltage(math.NaN())
	a.Warming.Boils = quantity.Time(math.Inf(1))
	var found []string
	numbers(reflect.ValueOf(a), "", func(path string, x float64) { found = append(found, path) })
	if !slices.Equal(found, []string{".Loads.Pumps[1].Drop", ".Warming.Boils"}) {
		t.Errorf("found %q", found)
	}
}
