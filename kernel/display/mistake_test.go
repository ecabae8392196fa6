package display_test

import (
	"errors"
	"os"
	"os/exec"
	"strings"
	"testing"

	. "example.com/railbook/kernel/display"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/sweep"
)

// mistake names, in the environment, the entry of mistakes that this test
// binary makes in place of running tests, as the program of a cell would.
const mistake = "DISPLAY_TEST_MISTAKE"

func TestMain(m *testing.M) {
	if name := os.Getenv(mistake); name != "" {
		mistakes[name].cell()
		os.Exit(0) // the mistake went unnoticed
	}
	os.Exit(m.Run())
}

func bench() sizing.Build { return Open("testdata/bench.toml") }

func cube() *Grid {
	return Sweep(bench(), "boost = 1..2 bar by 0.2", "ethanol = 0, 50, 85 %", "base pressure = 3, 4 bar")
}

// odd is a list of numbers that are not pairs.
func odd() []float64 { return []float64{1, 2, 3} }

// failingCheck is the one mistake of which something is to be seen: what was checked.
const failingCheck = "check that fails"

// mistakes are cells that go wrong, with what they are to say.
var mistakes = map[string]struct {
	cell func()
	want string
}{
	"no sheet":            {func() { Open("testdata/none.toml") }, "cannot open the build sheet: open testdata/none.toml: no such file or directory"},
	"sheet with problems": {func() { Open("testdata/wrong.toml") }, "testdata/wrong.toml has "},
	"invalid build":       {func() { Assess(sizing.Build{}) }, "build has "},
	"unknown field":       {func() { With(bench(), "boots = 1 bar") }, `change "boots = 1 bar": unknown field "boots", perhaps "boost" is meant; want one of boost, power, `},
	"no unit":             {func() { With(bench(), "boost = 26") }, `change "boost = 26": boost: `},
	"no value":            {func() { With(bench(), "turn it up") }, `change "turn it up": "turn it up" has no "="; want for example "boost = 26 psi"`},
	"no change":           {func() { With(bench(), " , ") }, `change " , ": it is empty; want for example "boost = 26 psi"`},
	"twice":               {func() { With(bench(), "lambda = 0.8, lambda = 0.9") }, "lambda is given twice"},
	"boost and power":     {func() { With(bench(), "boost = 1 bar, power = 300 kW") }, "boost and power move each other; give one of them"},
	"unknown blend":       {func() { With(bench(), "blend = turpentine") }, `change "blend = turpentine": blend: fuel "turpentine": unknown fuel`},
	"senseless change":    {func() { With(bench(), "lambda = 9") }, `change "lambda = 9": build has a problem:`},
	"compare":             {func() { Compare(bench(), "boost = 1.5 bar", "boost") }, `change "boost": "boost" has no "="`},
	"no axis":             {func() { Sweep(bench()) }, "not an axis: none is given"},
	"misspelt axis":       {func() { Sweep(bench(), "boots = 1..2 bar by 0.1") }, `unknown field "boots", perhaps "boost" is meant`},
	"axis twice":          {func() { Sweep(bench(), "boost = 1, 2 bar", "boost = 1, 2 bar") }, "boost is given twice"},
	"one axis for a map":  {func() { Map(Sweep(bench(), "boost = 1, 2 bar"), sweep.Duty) }, "a sweep of 2 axes or more is needed; this one has 1"},
	"held off the grid":   {func() { Map(cube(), sweep.Duty, "base pressure = 5 bar") }, `held "base pressure = 5 bar": not a value of the sweep; want one of 3, 4 bar`},
	"held in other units": {func() { Map(cube(), sweep.Duty, "base pressure = 300 kPa") }, "want one of 3, 4 bar"},
	"held range":          {func() { Map(cube(), sweep.Duty, "base pressure = 3, 4 bar") }, "want one value"},
	"held axis shown":     {func() { Map(cube(), sweep.Duty, "boost = 1 bar") }, `held "boost = 1 bar": boost is not held here; held are base pressure`},
	"nothing held":        {func() { Lines(Sweep(bench(), "boost = 1, 2 bar", "ethanol = 0, 85 %"), sweep.Duty, "lambda = 0.8") }, "the figure shows every axis of the sweep; leave it out"},
	"too many lines":      {func() { Lines(Sweep(bench(), "boost = 1, 2 bar", "ethanol = 0..85 % by 5"), sweep.Duty) }, "18 lines, one for each value of ethanol, cannot be told apart; want at most 7"},
	"no limit":            {func() { LimitLines(cube(), sweep.FuelMass) }, "fuel mass flow has no limit to draw a line at"},
	"two axes for limits": {func() { LimitLines(Sweep(bench(), "boost = 1, 2 bar", "ethanol = 0, 85 %"), sweep.Duty) }, "limit lines need a sweep of 3 axes; this one has 2"},
	"limit not met": {func() {
		LimitLines(Sweep(bench(), "boost = 0.1, 0.2 bar", "ethanol = 0, 1 %", "base pressure = 3, 4 bar"), sweep.Duty)
	}, "injector duty does not meet its limit, largest duty allowed, 85 %, anywhere on this sweep"},
	"gaps only": {func() {
		Map(Sweep(bench(), "boost = 1, 2 bar", "lambda = 3, 4"), sweep.Duty)
	}, "lambda"},
	"no such fuel":     {func() { Fuel("turpentine") }, `fuel "turpentine": unknown fuel`},
	"too much ethanol": {func() { Ethanol(170) }, "no such blend"},
	"nothing to mix":   {func() { Mix("18 L E10") }, `portion "18 L E10": want a volume of a fuel, such as "18 L of E10"`},
	"out of reach":     {func() { Needed("50 L of E90", "E85", "E10") }, "out of reach"},
	"curve backwards":  {func() { Curve("a", 2, 1, func(x float64) float64 { return x }) }, `curve "a" goes from 2 to 1; want the lesser end first`},
	"half a dot":       {func() { Dots("a", odd()...) }, "dots a: want x and y in turn"},
	"no such place": {func() {
		Most(bench(), "boost = 0.5..3 bar in 11", "ethanol = 0, 50 %", "base pressure = 3 bar").At(2, 0)
	}, "there is no value 2, 0; there are 2 along ethanol and 1 along base pressure, counted from 0"},
	"no format":       {func() { Save(cube(), "duty") }, `cannot write "duty": the ending "" tells no format; want .csv or .json`},
	failingCheck:      {func() { Verify(Holds("it carries", false, "the bench")) }, "1 of 1 checks do not hold:\n  it carries: no, want yes (the bench)"},
	"nothing checked": {func() { Verify() }, "nothing is checked"},
	"unshowable":      {func() { Show([]int{1}) }, "cannot show a []int; Show takes builds, assessments, "},
	"nil assessment":  {func() { Show((*sizing.Assessment)(nil)) }, "cannot show a *sizing.Assessment"},
	"nil":             {func() { Show(nil) }, "cannot show a <nil>"},
	"way out":         {func() { Out("../x.pdf") }, `cannot write "../x.pdf": want the name of a file inside the output folder`},
}

// A mistake is told in plain words, once, and ends the program with status 1.
func TestMistakes(t *testing.T) {
	for name, m := range mistakes {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			cmd := exec.Command(os.Args[0])
			cmd.Env = append(os.Environ(), mistake+"="+name, "GONB_PIPE=")
			var stdout, stderr strings.Builder
			cmd.Stdout, cmd.Stderr = &stdout, &stderr
			err := cmd.Run()
			if _, ok := errors.AsType[*exec.ExitError](err); err != nil && !ok {
				t.Fatal(err)
			}
			if code := cmd.ProcessState.ExitCode(); code != 1 {
				t.Errorf("status %d, want 1", code)
			}
			if shown := stdout.Len() > 0; shown != (name == failingCheck) {
				t.Errorf("it showed %q", stdout.String())
			}
			said := stderr.String()
			if !strings.Contains(said, m.want) {
				t.Errorf("it said %q, want %q", said, m.want)
			}
			for _, noise := range []string{"panic", "goroutine", ".go:"} {
				if strings.Contains(said, noise) {
					t.Errorf("it said %q, which has %q in it", said, noise)
				}
			}
		})
	}
}
