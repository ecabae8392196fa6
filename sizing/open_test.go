package sizing_test

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"example.com/railbook/sizing"
)

// TestTemplate wants the template to be a valid sheet that names every field, and
// still to be one when all its optional lines are taken as they stand.
func TestTemplate(t *testing.T) {
	b, err := sizing.Read("template", []byte(sizing.Template))
	if err != nil {
		t.Fatal(err)
	}
	assess(t, b)
	for _, path := range fieldPaths(reflect.TypeFor[sizing.Build](), "") {
		name := path[strings.LastIndex(path, ".")+1:]
		if !regexp.MustCompile(`(?m)(^(# )?|[{,] ?|(# )?\[+([a-z_]+\.)?)` + name + `(\]|\]\]| =)`).MatchString(sizing.Template) {
			t.Errorf("the template does not name %s", path)
		}
	}
	// All optional fields together, less those that exclude each other, in several ways.
	full := regexp.MustCompile(`(?m)^# ([a-z_]+ = |\[+[a-z_.]+\])`).ReplaceAllString(sizing.Template, "$1")
	full = regexp.MustCompile(`"(\d+ L/h at \d+ kPa)"`).ReplaceAllString(full, `"$1 at 10 A"`)
	full = strings.Replace(full, `correction = "none"`, `correction = "ISO 1585"`, 1)
	const (
		lift      = "\n[[pumps]]\nrole = \"lift\"\ncurves = [{ voltage = \"13.5 V\", points = [\"500 L/h at 0 kPa\", \"300 L/h at 100 kPa\"] }]\n"
		driven    = "\\[pumps.mechanical|displacement = \"6|drive|efficiency|test_.*|greatest_speed"
		electric  = "curves|  \\{|\\] |\\[pumps.wiring|conductor = \"10|length = \"4 m\" +# one way|return = \"0.5|temperature = \"60|allowance = \"10 %\"  .*solid|contacts|feeds"
		ofSpeed   = "control|least_speed|relief = \"800"
		ofValve   = "least_return|max_return|slope|set_flow|open_drop|\\[\\[return_line|length = \"3.5 m|return = \"50 W"
		surgeTank = "\\[surge_tank|volume = \"2|lift_rise|return = \"surge"
		dash      = "dash"
		bore      = "bore = \"8 mm"
	)
	for _, tt := range []struct {
		without []string
		with    string
		from    string
		to      string
	}{
		{without: []string{driven, ofSpeed, dash, "wheel_power|drivetrain_loss|torque|vehicle_mass|trap_speed|elapsed_time|correction|dyno_.*|compressor_efficiency|inlet_loss|intercooler_.*|coolant_temperature|power = \"100"}, with: lift},
		{without: []string{electric, ofSpeed, surgeTank, dash, "power|wheel_power|drivetrain_loss|torque|elapsed_time|correction|dyno_.*|charge_temperature"}},
		{without: []string{driven, ofValve, bore, "power|wheel_power|drivetrain_loss|vehicle_mass|trap_speed|elapsed_time|charge_temperature"}, with: lift, from: `control = "valve"`, to: `control = "pump speed"`},
	} {
		text := regexp.MustCompile(`(?m)^(`+strings.Join(tt.without, "|")+`).*\n`).ReplaceAllString(full, "") + tt.with
		if tt.from != "" {
			text = strings.Replace(text, tt.from, tt.to, 1)
		}
		b, err = sizing.Read("full template", []byte(text))
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		assess(t, b)
	}
}

func fieldPaths(typ reflect.Type, prefix string) []string {
	var list []string
	for i := range typ.NumField() {
		name, _, _ := strings.Cut(typ.Field(i).Tag.Get("sheet"), ",")
		if name == "" {
			continue
		}
		list = append(list, prefix+name)
		inner := typ.Field(i).Type
		if inner.Kind() == reflect.Slice || inner.Kind() == reflect.Pointer {
			inner = inner.Elem()
		}
		if inner.Kind() == reflect.Struct {
			list = append(list, fieldPaths(inner, prefix+name+".")...)
		}
	}
	return list
}

// TestBadSheets changes one line of a good sheet and wants one problem that names
// the line, the field, the value and what would be accepted.
func TestBadSheets(t *testing.T) {
	good, err := os.ReadFile("../testdata/sheets/natural.toml")
	if err != nil {
		t.Fatal(err)
	}
	tests := []badLine{
		{"unit", `"145 kW"`, `"145 kV"`, "target.power", `"145 kV"`, `unknown unit "kV"; want a crank power such as "640 hp"`},
		{"no unit", `"145 kW"`, `145`, "target.power", "145", "the unit is missing"},
		{"decimal comma", `"145 kW"`, `"145,5 kW"`, "target.power", `"145,5 kW"`, `write "145.5 kW"`},
		{"wheel power as crank power", `"145 kW"`, `"190 whp"`, "target.power", `"190 whp"`, "wheel power cannot stand for crank power"},
		{"absolute as gauge", `"4 bar"`, `"58 psia"`, "regulator.base_pressure", `"58 psia"`, "an absolute pressure cannot stand for a gauge"},
		{"lambda", "lambda = 0.88", "lambda = 12.5", "target.lambda", "12.5", "is too large; want from 0.6 to 1.2"},
		{"negative displacement", `"1998 cm3"`, `"-2 L"`, "engine.displacement", `"-2 L"`, "below the least possible value"},
		{"huge displacement", `"1998 cm3"`, `"1998 L"`, "engine.displacement", `1998 L`, "is too large"},
		{"cylinders", "cylinders = 4", "cylinders = 0", "engine.cylinders", "0", "a whole number from 1 to 24"},
		{"cylinders in words", "cylinders = 4", `cylinders = "four"`, "engine.cylinders", `"four"`, "a whole number"},
		{"induction", `"naturally aspirated"`, `"steam"`, "induction.kind", `"steam"`, `one of "naturally aspirated", "supercharged", "turbocharged"`},
		{"boost missing", `"naturally aspirated"`, `"turbocharged"`, "induction.boost", "", `such as "14 psi"`},
		{"boost on an unboosted engine", `"30 degC"`, "\"30 degC\"\nboost = \"10 psi\"", "induction.boost", "", "contradicts kind"},
		{"absolute zero", `"30 degC"`, `"-300 degC"`, "induction.charge_temperature", `"-300 degC"`, "below the least possible value"},
		{"fuel", `"gasoline"`, `"E170"`, "fuel.blend", `"E170"`, "E"},
		{"fuel unknown", `"gasoline"`, `"kerosine"`, "fuel.blend", `"kerosine"`, "known are ETBE, ethanol, gasoline"},
		{"rating", `"420 cc/min at 3 bar"`, `"420 cc/min"`, "injectors.flow", `"420 cc/min"`, "at"},
		{"rating fluid", `at 3 bar"`, `at 3 bar on whisky"`, "injectors.flow", "whisky", "n-heptane"},
		{"dead time", `"1.0 ms"`, `"1.0"`, "injectors.dead_time[1]", `"1.0"`, "unit is missing"},
		{"dead time rising with voltage", `"1.0 ms"`, `["1.0 ms at 12 V", "1.2 ms at 14 V"]`, "injectors.dead_time", "", "dead time"},
		{"regulator", `"returnless"`, `"magic"`, "regulator.kind", `"magic"`, "manifold-referenced"},
		{"curve not falling", `"130 L/h at 400 kPa"`, `"160 L/h at 400 kPa"`, "pumps[1].curves[1].points", "", "pressure rising and flow falling"},
		{"curve point", `"130 L/h at 400 kPa"`, `"130 L/h"`, "pumps[1].curves[1].points[2]", `"130 L/h"`, " at "},
		{"unknown field", "cylinders = 4", "cylinders = 4\nspede = \"7000 rpm\"", "engine.spede", `"7000 rpm"`, `perhaps "speed" is meant`},
		{"unknown table", "[regulator]", "[turbo]\nsize = 1\n[regulator]", "turbo", "a table", "one of job, revisions, engine, target"},
		{"missing table", "[fuel]\nblend = \"gasoline\"\n", "", "fuel", "", "is missing; want a table [fuel] with blend"},
		{"power twice", `power = "145 kW"`, "power = \"145 kW\"\ntorque = \"200 N m\"", "target.power", "", "more than one way"},
		{"no power", "power = \"145 kW\"\n", "", "target.power", "", "exactly one of power"},
		{"drivetrain loss missing", `power = "145 kW"`, `wheel_power = "145 kW"`, "target.drivetrain_loss", "", `such as "12 %"`},
		{"not TOML", "[engine]", "[engine", "document", "", "not TOML"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { badSheet(t, string(good), tt) })
	}
}

// badLine is one change of a good sheet, and what has to be said of it.
type badLine struct{ name, old, new, field, value, says string }

// badSheet wants one problem of a sheet in which old was changed to new.
func badSheet(t *testing.T, good string, tt badLine) {
	t.Helper()
	text := strings.Replace(good, tt.old, tt.new, 1)
	if text == good {
		t.Fatal("the sheet did not change")
	}
	_, err := sizing.Read("bad.toml", []byte(text))
	var be *sizing.BuildError
	if !errors.As(err, &be) {
		t.Fatalf("got %v, want a *BuildError", err)
	}
	if len(be.Problems) != 1 {
		t.Fatalf("%d problems, want 1: %v", len(be.Problems), err)
	}
	p := be.Problems[0]
	if p.Line == 0 && p.Field != "fuel" {
		t.Error("no line is given")
	}
	if p.Field != tt.field || !strings.Contains(p.String(), tt.value) || !strings.Contains(p.String(), tt.says) {
		t.Errorf("problem %q\nwant field %q, value %q, saying %q", p, tt.field, tt.value, tt.says)
	}
	if !strings.Contains(p.String(), "want ") && p.Field != "document" {
		t.Errorf("problem %q does not say what would be accepted", p)
	}
}

func TestOpenErrors(t *testing.T) {
	if _, err := sizing.Open("testdata/none.toml"); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a missing sheet gives %v", err)
	}
	big := filepath.Join(t.TempDir(), "big.toml")
	if err := os.WriteFile(big, make([]byte, 2<<20), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := sizing.Open(big); err == nil {
		t.Error("two megabytes were read as a build sheet")
	}
}

func TestValidateGoBuild(t *testing.T) {
	var b sizing.Build
	err := b.Validate()
	var be *sizing.BuildError
	if !errors.As(err, &be) || len(be.Problems) < 8 {
		t.Fatalf("the zero build gives %v", err)
	}
	if _, err := sizing.Assess(b); !errors.As(err, &be) {
		t.Errorf("Assess of the zero build gives %v", err)
	}
}

// FuzzRead wants no panic, and an assessment of every sheet that is taken, all of its
// numbers finite.
func FuzzRead(f *testing.F) {
	for _, name := range []string{"turbo.toml", "natural.toml", "surge.toml", "driven.toml", "speed.toml", "lift.toml"} {
		data, err := os.ReadFile("../testdata/sheets/" + name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte(sizing.Template))
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := sizing.Read("fuzz", data)
		if err != nil {
			return
		}
		a, err := sizing.Assess(b)
		if err != nil {
			t.Fatalf("a sheet that was read is not assessed: %v", err)
		}
		if a.Verdict(b.Job.Units) == "" || len(a.Working(b.Job.Units)) == 0 {
			t.Fatal("no verdict or no working")
		}
		numbers(reflect.ValueOf(*a), "", func(path string, x float64) { t.Errorf("%s is %v", path, x) })
	})
}
