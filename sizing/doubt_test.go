package sizing_test

import (
	"encoding/json"
	"math"
	"os"
	"reflect"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// natural is the sheet natural.toml.
func natural(t testing.TB) string {
	t.Helper()
	data, err := os.ReadFile("../testdata/sheets/natural.toml")
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// changed reads a sheet in which old is changed to new.
func changed(t *testing.T, sheet, old, new string) sizing.Build {
	t.Helper()
	text := strings.Replace(sheet, old, new, 1)
	if text == sheet {
		t.Fatalf("the sheet has no %s", old)
	}
	b, err := sizing.Read("doubt.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestDoubtsOfASheet reads sheets with one doubt and wants the assessment of the sheet
// that says its middle instead, the field that moves, and its ends.
func TestDoubtsOfASheet(t *testing.T) {
	sheet := natural(t)
	const ccPerMinute = 1e-6 / 60
	for _, tt := range []struct {
		old, doubt, middle string
		path, field        string
		low, high          float64
		printed            string
	}{
		{`"145 kW"`, `"140..150 kW"`, `"145 kW"`, "target.power", "target.power", 140e3, 150e3, "145 kW"},
		{`lambda = 0.88`, `lambda = "0.86..0.90"`, `lambda = 0.88`, "target.lambda", "target.lambda", 0.86, 0.90, "0.88"},
		{`"30 degC"`, `"30 degC +- 5 K"`, `"30 degC"`, "induction.charge_temperature", "induction.charge_temperature", 298.15, 308.15, "30 °C"},
		{`"gasoline"`, `"E5..E10"`, `"E7.5"`, "fuel.blend", "ethanol content", 0.05, 0.10, "E7.5"},
		{`"gasoline"`, `"e70 ± 5"`, `"E70"`, "fuel.blend", "ethanol content", 0.65, 0.75, "E70"},
		{`"gasoline"`, `"M50 .. M85"`, `"M67.5"`, "fuel.blend", "methanol content", 0.50, 0.85, "M67.5"},
		{`"420 cc/min at 3 bar"`, `"420 cc/min +- 5 % at 3 bar"`, `"420 cc/min at 3 bar"`, "injectors.flow", "injector size", 399 * ccPerMinute, 441 * ccPerMinute, "420 cc/min"},
		{`"420 cc/min at 3 bar"`, `"40..44 lb/h at 43.5 psi on gasoline"`, `"42 lb/h at 43.5 psi on gasoline"`, "injectors.flow", "injector size", 0, 0, "5.292 g/s"},
		{`"4 bar"`, `"uniform 3.8, 4.2 bar"`, `"4 bar"`, "regulator.base_pressure", "regulator.base_pressure", 3.8e5, 4.2e5, "400 kPa"},
		{`[[pumps]]`, "[[pumps]]\nwear = \"0..10 %\"", "[[pumps]]\nwear = \"5 %\"", "pumps[1].wear", "pumps[1].wear", 0, 0.1, "5 %"},
		{`[[pumps]]`, "[[pumps]]\nwear = \"-5..5 %\"", "[[pumps]]\nwear = \"0 %\"", "pumps[1].wear", "pumps[1].wear", -0.05, 0.05, "0 %"},
		{`[injectors]`, "[injectors]\ndead_time_shift = \"0 ms +- 0.05 ms\"", "[injectors]\ndead_time_shift = \"0 ms\"", "injectors.dead_time_shift", "injectors.dead_time_shift", -5e-5, 5e-5, "0 ms"},
		{`[regulator]`, "[policy]\nmax_duty = \"80..90 %\"\n[regulator]", "[policy]\nmax_duty = \"85 %\"\n[regulator]", "policy.max_duty", "policy.max_duty", 0.8, 0.9, "85 %"},
	} {
		b := changed(t, sheet, tt.old, tt.doubt)
		if len(b.Doubts.List) != 1 {
			t.Errorf("%s: doubts %v, want one", tt.doubt, b.Doubts.List)
			continue
		}
		d := b.Doubts.List[0]
		if d.Path != tt.path || d.Field().Name() != tt.field || d.Middle(quantity.SI) != tt.printed {
			t.Errorf("%s: doubt of %s that moves %s, middle %s; want %s, %s, %s", tt.doubt, d.Path, d.Field().Name(), d.Middle(quantity.SI), tt.path, tt.field, tt.printed)
		}
		if low, high, _ := d.Spread().Ends(); tt.high != 0 && (math.Abs(low-tt.low) > 1e-12*tt.high || math.Abs(high-tt.high) > 1e-12*tt.high) {
			t.Errorf("%s: from %g to %g, want from %g to %g", tt.doubt, low, high, tt.low, tt.high)
		}
		got, want := assess(t, b), assess(t, changed(t, sheet, tt.old, tt.middle+" ")) // the blank only to be a change
		if g, w := float64(got.Demand.Total), float64(want.Demand.Total); math.Abs(g/w-1) > 1e-12 {
			t.Errorf("%s: demand %g, of its middle %g", tt.doubt, g, w)
		}
		if g, w := float64(got.Weakest().Limit), float64(want.Weakest().Limit); math.Abs(g/w-1) > 1e-9 {
			t.Errorf("%s: limit %g, of its middle %g", tt.doubt, g, w)
		}
		said := false
		for _, a := range got.Assumptions {
			said = said || a.Field == tt.path && strings.Contains(a.Text, "assessed at "+tt.printed) && strings.Contains(a.Text, "of "+d.Text)
		}
		if !said {
			t.Errorf("%s: no assumption tells of it", tt.doubt)
		}
	}
}

// TestMassRatingInDoubt moves the doubt of a rating by mass through its field, which
// counts by volume, and wants the mass flow that the sheet means.
func TestMassRatingInDoubt(t *testing.T) {
	b := changed(t, natural(t), `"420 cc/min at 3 bar"`, `"40..44 lb/h at 43.5 psi on gasoline"`)
	d := b.Doubts.List[0]
	_, high, _ := d.Spread().Ends()
	at, err := d.Field().Set(b, high)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := at.Injectors.Flow.Mass(), 44*quantity.PoundPerHour; math.Abs(float64(got/want)-1) > 1e-12 {
		t.Errorf("at its upper end the injectors pass %v, want %v", got, want)
	}
}

func TestSecondSetInDoubt(t *testing.T) {
	second := "[secondary_injectors]\nflow = \"normal 500, 10 cc/min at 3 bar\"\nstart = \"60 %\"\n[regulator]"
	b := changed(t, natural(t), "[regulator]", second)
	d := b.Doubts.List[0]
	at, err := d.Field().Set(b, float64(550*quantity.CCPerMinute))
	if err != nil {
		t.Fatal(err)
	}
	if got := at.Secondary.Flow.Volume(); math.Abs(got.In(quantity.CCPerMinute)-550) > 1e-9 || math.Abs(b.Secondary.Flow.Volume().In(quantity.CCPerMinute)-500) > 1e-9 {
		t.Errorf("moved to %v, the build itself has %v", got, b.Secondary.Flow.Volume())
	}
	if si, ok := d.Field().Number(b); !ok || math.Abs(si/d.Spread().Median()-1) > 1e-12 {
		t.Errorf("the build has %v (%v), the middle is %v", si, ok, d.Spread().Median())
	}
}

func TestCorrelationsOfASheet(t *testing.T) {
	sheet := strings.Replace(natural(t), `"145 kW"`, `"140..150 kW"`, 1)
	sheet = strings.Replace(sheet, "[[pumps]]", "[[pumps]]\nwear = \"0..10 %\"", 1)
	b := changed(t, sheet, `lambda = 0.88`, `lambda = "0.86..0.90"`+"\n[[correlation]]\nbetween = [\"pumps.wear\", \"target.power\"]\nr = 0.6\n")
	c, err := b.Doubts.Copula()
	if err != nil {
		t.Fatal(err)
	}
	if want := [][]int{{0, 2}, {1}}; !reflect.DeepEqual(c.Groups(), want) {
		t.Errorf("groups %v of %v, want %v", c.Groups(), b.Doubts.List, want)
	}
}

// TestBadDoubts changes one line of a good sheet and wants one problem, as
// [TestBadSheets] does.
func TestBadDoubts(t *testing.T) {
	sheet := natural(t)
	for _, tt := range []badLine{
		{"ends swapped", `"145 kW"`, `"150..140 kW"`, "target.power", `"150..140 kW"`, "the upper end must lie above the lower one"},
		{"unit", `"145 kW"`, `"140..150 kV"`, "target.power", `"140..150 kV"`, `unknown unit "kV"`},
		{"a tolerance too many", `"145 kW"`, `"145 kW +- 2 % +- 3 %"`, "target.power", "+-", `"% +- 3 %": unknown unit; want a range`},
		{"an end out of bounds", `lambda = 0.88`, `lambda = "0.86..1.30"`, "target.lambda", `"0.86..1.30"`, "its end 1.3 is too large; want from 0.6 to 1.2"},
		{"a middle out of bounds", `lambda = 0.88`, `lambda = "8.6..9.0"`, "target.lambda", "8.8", "is too large; want from 0.6 to 1.2"},
		{"percent of a share", `[[pumps]]`, "[[pumps]]\nwear = \"5 % +- 2 %\"", "pumps[1].wear", `"5 % +- 2 %"`, `can mean "3..7 %" or "4.9..5.1 %"`},
		{"count", `cylinders = 4`, `cylinders = "4..6"`, "engine.cylinders", `"4..6"`, "a count is known exactly; want a whole number"},
		{"content of nothing", `"gasoline"`, `"60..78 %"`, "fuel.blend", `"60..78 %"`, "no letter says of which alcohol"},
		{"content of two", `"gasoline"`, `"E60..M78"`, "fuel.blend", `"E60..M78"`, "labels of two fuels"},
		{"percent of a label", `"gasoline"`, `"E70 +- 5 %"`, "fuel.blend", `"E70 +- 5 %"`, `leave the sign out; want a label as a range`},
		{"content above all", `"gasoline"`, `"E90..E110"`, "fuel.blend", `"E90..E110"`, "above the greatest possible value"},
		{"tolerance beyond all", `"gasoline"`, `"E95 +- 10"`, "fuel.blend", `"E95 +- 10"`, "its end E105 cannot be"},
		{"flow without conditions", `"420 cc/min at 3 bar"`, `"420 cc/min +- 2 %"`, "injectors.flow", `"420 cc/min +- 2 %"`, `no " at "`},
		{"conditions in doubt", `"420 cc/min at 3 bar"`, `"420..430 cc/min at 3..4 bar"`, "injectors.flow", `at 3..4 bar`, "only the flow of a rating"},
		{"flow of the wrong kind", `"420 cc/min at 3 bar"`, `"420..430 kW at 3 bar"`, "injectors.flow", `kW`, "want the flow as a range"},
		{"bad conditions", `"420 cc/min at 3 bar"`, `"420..430 cc/min at 3 bar on whisky"`, "injectors.flow", "whisky", "n-heptane"},
		{"no doubt possible", `"1.0 ms"`, `"0.9..1.1 ms"`, "injectors.dead_time[1]", `"0.9..1.1 ms"`, "only a plain number, fuel.blend and the flow of injectors"},
		{"correlation of nothing", `lambda = 0.88`, "lambda = 0.88\n[[correlation]]\nbetween = [\"a\", \"b\"]\nr = 0.5", "correlation[1]", `"a"`, "is not a field in doubt; want a value that is given as a range"},
		{"correlation of one", `"145 kW"`, "\"140..150 kW\"\n[[correlation]]\nbetween = \"target.power\"\nr = 0.5\n[target.x]", "correlation[1]", `"target.power"`, "are not two fields"},
	} {
		if strings.HasSuffix(tt.new, "[target.x]") { // lambda would land in the correlation
			tt.new = strings.TrimSuffix(tt.new, "[target.x]")
			tt.old += "\nlambda = 0.88"
			tt.new = strings.Replace(tt.new, "\n", "\nlambda = 0.88\n", 1)
		}
		t.Run(tt.name, func(t *testing.T) { badSheet(t, sheet, tt) })
	}
}

// TestBadCorrelations does so in a sheet with several doubts.
func TestBadCorrelations(t *testing.T) {
	sheet := strings.Replace(natural(t), "power = \"145 kW\"\nlambda = 0.88", "power = \"140..150 kW\"\nlambda = \"0.86..0.9\"", 1)
	sheet = strings.Replace(sheet, "[[pumps]]", "[[pumps]]\nwear = \"0..10 %\"", 1)
	pump := sheet[strings.Index(sheet, "[[pumps]]"):]
	both := strings.Replace(sheet, "[[pumps]]", pump+"\n[[pumps]]", 1)
	between := func(a, b, r string) string {
		return "\n[[correlation]]\nbetween = [\"" + a + "\", \"" + b + "\"]\nr = " + r + "\n[regulator]"
	}
	for _, tt := range []badLine{
		{"itself", "[regulator]", between("target.power", "target.power", "0.5"), "correlation[1]", "target.power", "cannot go together with itself"},
		{"too close", "[regulator]", between("target.power", "target.lambda", "1"), "correlation[1]", "1", "want a number between -1 and 1"},
		{"no number", "[regulator]", between("target.power", "target.lambda", `"half"`), "correlation[1].r", `"half"`, "want a number"},
		{"no such doubt", "[regulator]", between("target.power", "engine.speed", "0.5"), "correlation[1]", `"engine.speed"`, `want one of "target.power", "target.lambda", "pumps[1].wear"`},
		{"contradiction", "[regulator]", strings.TrimSuffix(between("target.power", "target.lambda", "0.9"), "[regulator]") +
			strings.TrimSuffix(between("target.lambda", "pumps.wear", "0.9"), "[regulator]") + between("target.power", "pumps[1].wear", "-0.9"),
			"correlation", "target.power, target.lambda and pumps[1].wear", "not positive definite"},
	} {
		t.Run(tt.name, func(t *testing.T) { badSheet(t, sheet, tt) })
	}
	t.Run("two of a name", func(t *testing.T) {
		badSheet(t, both, badLine{"", "[regulator]", between("target.power", "pumps.wear", "0.5"), "correlation[1]", `"pumps.wear"`, `want one of "pumps[1].wear", "pumps[2].wear"`})
	})
}

// TestDoubtsInJSON wants the doubts of a build to come back from its JSON.
func TestDoubtsInJSON(t *testing.T) {
	b := changed(t, natural(t), `"gasoline"`, `"E60..E78"`)
	data, err := json.Marshal(b)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(data), `"Doubts":{"list":[{"path":"fuel.blend","text":"E60..E78"}]}`) {
		t.Errorf("JSON without the doubt: %s", data)
	}
	var back sizing.Build
	if err := json.Unmarshal(data, &back); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(back.Doubts, b.Doubts) {
		t.Errorf("%+v came back as %+v", b.Doubts, back.Doubts)
	}
	var d sizing.Doubt
	if err := json.Unmarshal([]byte(`{"path": "fuel.blend", "text": "60..78"}`), &d); err == nil {
		t.Error("a bad doubt was read from JSON")
	}
	if data, err = json.Marshal(open(t, "natural.toml")); err != nil || strings.Contains(string(data), "Doubts") {
		t.Errorf("a build without doubts tells of them: %s, %v", data, err)
	}
}

func TestWithDoubt(t *testing.T) {
	b := open(t, "natural.toml")
	one, err := b.WithDoubt("fuel.blend", "E5..E10")
	if err != nil {
		t.Fatal(err)
	}
	two, err := one.WithDoubt("target.lambda", "0.8..0.9")
	if err != nil {
		t.Fatal(err)
	}
	again, err := two.WithDoubt("fuel.blend", "E60..E78")
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Doubts.List) != 0 || len(one.Doubts.List) != 1 || len(two.Doubts.List) != 2 || len(again.Doubts.List) != 2 {
		t.Errorf("doubts: %v, %v, %v, %v", b.Doubts, one.Doubts, two.Doubts, again.Doubts)
	}
	if got := again.Fuel.Blend.String(); got != "E69" || one.Fuel.Blend.String() != "E7.5" || again.Doubts.List[1].Text != "E60..E78" {
		t.Errorf("blend %s, doubts %v", got, again.Doubts)
	}
	if math.Abs(float64(again.Target.Lambda)-0.85) > 1e-12 {
		t.Errorf("lambda %v, want the middle", again.Target.Lambda)
	}
	for path, text := range map[string]string{"fuel.blend": "gasoline", "job.name": "1..2", "engine.speed": "1..2", "engine.spede": "1..2 rpm", "target.lambda": "0.85"} {
		if _, err := b.WithDoubt(path, text); err == nil || !strings.HasPrefix(err.Error(), path) {
			t.Errorf("%s = %s: %v", path, text, err)
		}
	}
}

// TestInDoubt changes fields of a build with doubts.
func TestInDoubt(t *testing.T) {
	sheet := strings.Replace(natural(t), "power = \"145 kW\"\nlambda = 0.88", "power = \"140..150 kW\"\nlambda = \"0.86..0.9\"", 1)
	b := changed(t, sheet, `"gasoline"`, `"E60..E78"`+"\n[[correlation]]\nbetween = [\"fuel.blend\", \"target.lambda\"]\nr = 0.5\n")
	if !reflect.DeepEqual(b.InDoubt(), b.Doubts) {
		t.Errorf("the sheet's own doubts are %v, want %v", b.InDoubt(), b.Doubts)
	}
	f, err := sizing.FieldNamed("blend")
	if err != nil {
		t.Fatal(err)
	}
	on, err := f.Read(b, "E85")
	if err != nil {
		t.Fatal(err)
	}
	left := on.InDoubt()
	if len(left.List) != 2 || left.List[0].Path != "target.power" || left.List[1].Path != "target.lambda" || len(left.Correlations) != 0 {
		t.Errorf("on E85 left in doubt: %v", left)
	}
	for _, a := range assess(t, on).Assumptions {
		if a.Field == "fuel.blend" {
			t.Errorf("on E85 it is said to be assumed: %s", a.Text)
		}
	}
	if in := assess(t, b).Build.InDoubt(); !reflect.DeepEqual(in, b.Doubts) {
		t.Errorf("as assessed, the build is in doubt of %v", in)
	}
}

// FuzzDoubt puts text into fields of a sheet, and wants no panic, problems with a reason,
// and of every sheet that is taken an assessment.
func FuzzDoubt(f *testing.F) {
	sheet := natural(f)
	for _, seed := range []string{"E60..E78", "142 lb/h +- 2 % at 3 bar", "0.8..0.9", "140..150 kW", "normal 145 kW, 2 %", "normal E70, 3 within E51..E83", "lognormal 420 cc/min, 5 % at 3 bar", "M5 +- 5", "Ee1..E2", "E1e1..E20"} {
		for at := range 4 {
			f.Add(at, seed)
		}
	}
	f.Fuzz(func(t *testing.T, at int, text string) {
		quoted, err := json.Marshal(text) // a JSON string is one of TOML too
		if err != nil || at < 0 || at > 3 {
			return
		}
		old := []string{`"145 kW"`, `0.88`, `"gasoline"`, `"420 cc/min at 3 bar"`}[at]
		b, err := sizing.Read("fuzz", []byte(strings.Replace(sheet, old, string(quoted), 1)))
		if err != nil {
			if err.Error() == "" {
				t.Fatal("an error without a word")
			}
			return
		}
		if _, err := sizing.Assess(b); err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		for _, d := range b.Doubts.List {
			if si, ok := d.Field().Number(b); !ok || math.Abs(si-d.Spread().Median()) > 1e-9*math.Abs(si) {
				t.Fatalf("%q: the build has %v (%v), the middle is %v", text, si, ok, d.Spread().Median())
			}
		}
	})
}
