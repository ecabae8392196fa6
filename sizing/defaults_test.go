package sizing_test

import (
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// untold are the defaults that no assumption names, each for a reason.
var untold = regexp.MustCompile(`^(` + strings.Join([]string{
	`job\..*`,             // enters no result
	`pumps\[\d+\]\.count`, // an entry is a pump
	`regulator\.rise`,     // 1:1 is what manifold-referenced means
}, "|") + `)$`)

// TestDefaultsAreAssumptions compares each build with what was made of it: whatever was
// filled in and enters a result has an assumption with text, source and effect.
func TestDefaultsAreAssumptions(t *testing.T) {
	list := arrangements(t)
	second := list["turbo"]
	second.Secondary = &sizing.Secondary{Flow: second.Injectors.Flow, Start: 0.6}
	second.Nitrous.Flow, second.WaterMethanol.Flow = 20*quantity.GramPerSecond, 300*quantity.CCPerMinute
	list["turbo with a second set"] = second
	standard := list["surge"]
	standard.Induction.AmbientTemperature = 0
	list["surge on a standard day"] = standard
	plain := list["speed"]
	plain.Regulator.LeastSpeed = 0
	list["speed, any least speed"] = plain
	filled := map[string]bool{}
	for name, b := range list {
		a := assess(t, b)
		told := map[string]bool{}
		for _, as := range a.Assumptions {
			if as.Text == "" || as.Source == "" || as.Effect == "" {
				t.Errorf("%s: assumption without text, source or effect: %+v", name, as)
			}
			if strings.Contains(as.Text, "%!") {
				t.Errorf("%s: %s", name, as.Text)
			}
			for _, field := range strings.Split(as.Field, ", ") { // one may speak of several
				told[field] = true
			}
		}
		fields(reflect.ValueOf(b), reflect.ValueOf(a.Build), "", func(path string) {
			filled[path] = true
			if !told[path] && !untold.MatchString(path) && used(b, path) {
				t.Errorf("%s: no assumption stands in for %s", name, path)
			}
		})
	}
	// The walk finds what is filled in at every depth.
	for _, field := range []string{"engine.strokes", "injectors.count", "injectors.wiring.allowance", "pumps[1].wiring.contacts", "suction[1].roughness",
		"secondary_injectors.dead_time", "regulator.least_speed", "policy.inlet_margin", "nitrous.lambda", "tank.temperature"} {
		if !filled[field] {
			t.Errorf("%s was not filled in anywhere", field)
		}
	}
}

// used reports whether a default enters a result of the build.
func used(b sizing.Build, path string) bool {
	bare, wired := false, b.Injectors.Wiring != nil
	for _, p := range b.Pumps {
		bare = bare || p.Mechanical == nil && p.Wiring == nil
		wired = wired || p.Wiring != nil
	}
	switch path {
	case "electrical.voltage":
		return b.Injectors.Wiring == nil
	case "electrical.pump_voltage":
		return bare
	case "electrical.supply":
		return wired
	case "policy.line_margin", "policy.allowed_line_loss":
		return !b.FeedLine.IsZero()
	case "induction.ambient_temperature":
		// Of the charge where it is not stated, and around the tank.
		return b.Induction.ChargeTemperature == 0 || b.Tank.Fuel != 0 && b.Tank.Cooling != 0
	}
	return true
}

// fields reports the sheet's path of every field that is zero in given and not in full.
func fields(given, full reflect.Value, path string, report func(path string)) {
	switch {
	case given.Kind() == reflect.Pointer && !given.IsNil() && !full.IsNil():
		fields(given.Elem(), full.Elem(), path, report)
	case given.IsZero() || given.Kind() == reflect.Slice && given.Len() == 0:
		if !full.IsZero() && !(full.Kind() == reflect.Slice && full.Len() == 0) {
			if full.Kind() == reflect.Struct && !isText(full) {
				inside(given, full, path, report)
				return
			}
			report(path)
		}
	case given.Kind() == reflect.Struct && !isText(given):
		inside(given, full, path, report)
	case given.Kind() == reflect.Slice:
		for i := range given.Len() {
			fields(given.Index(i), full.Index(i), fmt.Sprintf("%s[%d]", path, i+1), report)
		}
	}
}

func inside(given, full reflect.Value, path string, report func(path string)) {
	for i := range given.NumField() {
		name, _, _ := strings.Cut(given.Type().Field(i).Tag.Get("sheet"), ",")
		if name == "" {
			continue
		}
		if path != "" {
			name = path + "." + name
		}
		fields(given.Field(i), full.Field(i), name, report)
	}
}

// TestNoAssumptionWithoutCause: a field that the sheet gives is not assumed.
func TestNoAssumptionWithoutCause(t *testing.T) {
	for name, b := range sheets(t) {
		full := assess(t, b).Build
		var list []string
		for _, as := range assess(t, full).Assumptions {
			list = append(list, as.Field)
		}
		// What stays: the air's humidity, whose zero is a value too, what follows from a
		// rating that names no fluid, a return that is as long as the way there, the middle
		// of what is in doubt, and the model's own.
		list = slices.DeleteFunc(list, func(field string) bool {
			doubted := func(d sizing.Doubt) bool { return d.Path == field }
			return slices.ContainsFunc(full.Doubts.List, doubted) || slices.Contains([]string{"", "induction.humidity", "injectors.flow", "fuel.bsfc", "feed_line"}, field) || strings.HasSuffix(field, "wiring.return")
		})
		if len(list) > 0 {
			t.Errorf("%s: all is given, yet assumed are %q", name, list)
		}
	}
}
