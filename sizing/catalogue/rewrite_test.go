package catalogue_test

import (
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/catalogue"
	"example.com/railbook/sizing/quantity"
)

// TestRewrittenSheetsAssessTheSame writes sheets of all kinds with random parts, and
// wants their parts to carry what the choice says, to the last bit.
func TestRewrittenSheetsAssessTheSame(t *testing.T) {
	files, err := filepath.Glob("../../testdata/sheets/*.toml")
	if err != nil || len(files) == 0 {
		t.Fatal("no sheets")
	}
	done := 0
	for seed, file := range append(files, "../../notebooks/first-build.toml") {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		b := sheetOf(t, string(text))
		for round := range 6 {
			r := draw{rand.New(rand.NewPCG(uint64(seed), uint64(round)))}
			c := catalogue.Candidate{Injector: 0, Pump: -1, Count: 1, Hose: -1, Filter: -1, Regulator: -1, Pressure: quantity.Of(r.around(0.8, 1.3), b.Regulator.BasePressure)}
			l := &catalogue.Lists{Injectors: r.injectors(b, 1), Pumps: r.pumps(b, 1), Filters: r.filters(1)}
			if r.IntN(3) > 0 {
				c.Pump, c.Count = 0, 1+r.IntN(3)
			}
			if b.FeedLine.Length != 0 && r.IntN(2) == 0 {
				l.Hoses, c.Hose = r.hoses(1), 0
			}
			if r.IntN(2) == 0 {
				c.Filter = 0
			}
			if b.Regulator.Control == sizing.ByValve && r.IntN(2) == 0 {
				l.Regulators, c.Regulator = r.regulators(1), 0
			}
			want, err := sizing.Assess(l.Build(b, c))
			if err != nil {
				continue // the parts do not go together
			}
			spelt := text
			if round%2 == 1 {
				spelt = []byte(strings.ReplaceAll(string(text), "\n", "\r\n"))
			}
			out, err := l.Rewrite(file, spelt, c)
			if err != nil {
				t.Errorf("%s, round %d: %v", file, round, err)
				continue
			}
			got, err := sizing.Assess(sheetOf(t, string(out)))
			if err != nil {
				t.Fatal(err)
			}
			if len(got.Parts) != len(want.Parts) {
				t.Fatalf("%s, round %d: %d parts, want %d", file, round, len(got.Parts), len(want.Parts))
			}
			for i := range want.Parts {
				if got.Parts[i] != want.Parts[i] {
					t.Errorf("%s, round %d: %+v, want %+v", file, round, got.Parts[i], want.Parts[i])
				}
			}
			done++
			for comment := range strings.Lines(string(text)) {
				if strings.HasPrefix(comment, "#") && !strings.Contains(string(out), strings.TrimSpace(comment)) {
					t.Errorf("%s, round %d: lost %s", file, round, comment)
				}
			}
		}
	}
	if done < 30 {
		t.Errorf("only %d sheets written", done)
	}
}

// TestRewriteKeepsTheRest wants all lines but those replaced to stay in their order.
func TestRewriteKeepsTheRest(t *testing.T) {
	l, err := catalogue.Read(os.DirFS("../../notebooks/parts"))
	if err != nil {
		t.Fatal(err)
	}
	const sheet = `# A sheet. [injectors]
[job]
notes = """ends in [a "quote""""
[engine] # the engine
displacement = "3.4 L"
cylinders = 6
speed = "7200 rpm"
[target]
power = "640 hp"
lambda = 0.80
[induction]
kind = "turbocharged"
boost = "22 psi"
charge_temperature = "48 degC"
[fuel]
blend = "E70"
[injectors]
# sizes to be settled
"flow" = """1550 cc/min at 3 bar \
  on n-heptane""" # [pumps]
dead_time = [
  "1.32 ms at 12 V", # cold
  '1.02 ms at 13.5 V',
]
firing = "batch" # stays
[regulator]
kind = "manifold-referenced"
base_pressure = "43.5 psi"
[[ pumps ]]
part = "in-tank"
role = "lift"
curves = [{ voltage = "13.5 V", points = ["600 L/h at 0 kPa", "500 L/h at 100 kPa"] }]
# the pump that goes
[[pumps]]
part = "driven"
wear = "5 %"
[pumps.mechanical]
displacement = "5 cc"
drive = 0.5
efficiency = "90 %"
test_speed = "3000 rpm"
test_pressure = "400 kPa"
[[pumps]]
part = "second"
curves = [{ voltage = "13.5 V", points = ["410 L/h at 200 kPa", "236 L/h at 600 kPa"] }]
[policy] # last
max_duty = "85 %"`
	c := catalogue.Candidate{Injector: 3, Pump: 2, Count: 2, Hose: -1, Filter: 0, Regulator: -1, Pressure: 58 * quantity.PSI}
	out, err := l.Rewrite("sheet", []byte(sheet), c)
	if err != nil {
		t.Fatal(err)
	}
	const want = `# A sheet. [injectors]
[job]
notes = """ends in [a "quote""""
[engine] # the engine
displacement = "3.4 L"
cylinders = 6
speed = "7200 rpm"
[target]
power = "640 hp"
lambda = 0.80
[induction]
kind = "turbocharged"
boost = "22 psi"
charge_temperature = "48 degC"
[fuel]
blend = "E70"
[injectors]
part = "Lindqvist L-1550"
flow = "1550 cc/min at 3 bar on n-heptane"
dead_time = ["1.32 ms at 12 V", "1.02 ms at 13.5 V", "0.86 ms at 15 V"]
minimum_pulse = "1.15 ms"
spread = "2 %"
coil = "12 ohm"
# sizes to be settled
firing = "batch" # stays
[regulator]
base_pressure = "58 psi"
kind = "manifold-referenced"
[[ pumps ]]
part = "in-tank"
role = "lift"
curves = [{ voltage = "13.5 V", points = ["600 L/h at 0 kPa", "500 L/h at 100 kPa"] }]
# the pump that goes
[[pumps]]
part = "Skerry 400"
count = 2
relief = "8.5 bar"
curves = [
  { voltage = "12 V", points = ["352 L/h at 200 kPa", "318 L/h at 300 kPa", "276 L/h at 400 kPa", "224 L/h at 500 kPa", "158 L/h at 600 kPa"] },
  { voltage = "13.5 V", points = ["410 L/h at 200 kPa", "379 L/h at 300 kPa", "341 L/h at 400 kPa", "294 L/h at 500 kPa", "236 L/h at 600 kPa"] },
]
wear = "5 %"
[policy] # last
max_duty = "85 %"

[feed_line]
part = "Fenwall F-10"
filter = "12 kPa at 500 L/h"
`
	if string(out) != want {
		t.Errorf("got\n%s", out)
	}
}

func TestSheetsThatAreNotRewritten(t *testing.T) {
	l := generated(1, 0, 0)
	c := catalogue.Candidate{Pump: -1, Count: 1, Hose: -1, Filter: -1, Regulator: -1, Pressure: 43.5 * quantity.PSI}
	inline := strings.Replace(sizing.Template, "[regulator]\n", "regulator = {kind = \"fixed\", base_pressure = \"43.5 psi\"}\n[ignored]\n", 1)
	if _, err := l.Rewrite("x", []byte(inline), c); err == nil {
		t.Error("a sheet that is not valid was written")
	}
	const dotted = `engine = {displacement = "3.4 L", cylinders = 6, speed = "7200 rpm"}
target = {power = "400 hp", lambda = 0.8}
induction = {kind = "turbocharged", boost = "20 psi", charge_temperature = "45 degC"}
fuel = {blend = "E85"}
injectors = {flow = "1300 cc/min at 3 bar", dead_time = "1 ms"}
regulator = {kind = "fixed", base_pressure = "43.5 psi"}
pumps = [{curves = [{voltage = "13.5 V", points = ["410 L/h at 200 kPa", "236 L/h at 600 kPa"]}]}]
`
	if _, err := l.Rewrite("x", []byte(dotted), c); !errors.Is(err, catalogue.ErrRewrite) {
		t.Errorf("got %v", err)
	}
}
