package sizing_test

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

func written(t testing.TB, b sizing.Build) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := b.WriteSheet(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func readSheet(t testing.TB, text []byte) sizing.Build {
	t.Helper()
	b, err := sizing.Read("written", text)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return b
}

func assessBuild(t testing.TB, b sizing.Build) *sizing.Assessment {
	t.Helper()
	a, err := sizing.Assess(b)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// allSheets are the sheets of the tests, of the demo and the template.
func allSheets(t testing.TB) map[string]sizing.Build {
	list := map[string]sizing.Build{}
	for _, pattern := range []string{"../testdata/sheets/*.toml", "../report/testdata/*.toml", "../notebooks/*.toml"} {
		paths, err := filepath.Glob(pattern)
		if err != nil || len(paths) == 0 {
			t.Fatalf("%s: no sheets, %v", pattern, err)
		}
		for _, path := range paths {
			b, err := sizing.Open(path)
			if err != nil {
				t.Fatal(err)
			}
			list[path] = b
		}
	}
	list["template"] = readSheet(t, []byte(sizing.Template))
	return list
}

// TestWriteSheetReadsBack: what is written of a build reads as that build, to the last
// bit of every number.
func TestWriteSheetReadsBack(t *testing.T) {
	for name, b := range allSheets(t) {
		t.Run(name, func(t *testing.T) {
			text := written(t, b)
			if back := readSheet(t, text); !reflect.DeepEqual(back, b) {
				t.Errorf("reads back as\n%+v\nwas\n%+v\nby\n%s", back, b, text)
			}
			full := assessBuild(t, b).Build
			if back := assessBuild(t, readSheet(t, written(t, full))); !reflect.DeepEqual(back.Build, full) {
				t.Errorf("the build as assessed reads back as\n%+v\nwas\n%+v", back.Build, full)
			}
		})
	}
}

// TestGivenAssessesAlike: an assessment holds enough to be made again from a sheet, with
// the same assumptions.
func TestGivenAssessesAlike(t *testing.T) {
	for name, b := range allSheets(t) {
		t.Run(name, func(t *testing.T) { assessesAlike(t, assessBuild(t, b)) })
	}
}

func assessesAlike(t testing.TB, a *sizing.Assessment) {
	t.Helper()
	text := written(t, a.Given())
	again := assessBuild(t, readSheet(t, text))
	if !reflect.DeepEqual(again.Assumptions, a.Assumptions) {
		t.Errorf("assumes\n%+v\nwant\n%+v\nby\n%s", again.Assumptions, a.Assumptions, text)
	}
	if !alike(again.Build, a.Build) {
		t.Errorf("another build by\n%s", text)
	}
	same := *a
	same.Build = again.Build
	if !reflect.DeepEqual(*again, same) {
		t.Errorf("another assessment by\n%s", text)
	}
}

// TestWriteRandomBuilds does the same for many combinations of values, most of which are
// no round numbers in any unit.
func TestWriteRandomBuilds(t *testing.T) {
	list := allSheets(t)
	var names []string
	for name := range list {
		names = append(names, name)
	}
	slices.Sort(names)
	const builds = 200
	tried := 0
	for seed := range uint64(builds) {
		r := draw{rand.New(rand.NewPCG(seed, 5))}
		b := list[names[r.IntN(len(names))]]
		b.Pumps = slices.Clone(b.Pumps)
		for range 1 + r.IntN(12) {
			changes[r.IntN(len(changes))](r, &b)
		}
		if b.Validate() != nil {
			continue // the values contradict each other
		}
		tried++
		if t.Failed() {
			t.Fatalf("seed %d", seed-1)
		}
		if back := readSheet(t, written(t, b)); !alike(back, b) {
			t.Fatalf("seed %d reads back as\n%+v\nwas\n%+v\nby\n%s", seed, back, b, written(t, b))
		}
		assessesAlike(t, assessBuild(t, b))
	}
	if tried < builds/2 {
		t.Errorf("only %d of %d builds are valid", tried, builds)
	}
}

// alike reports whether two builds are the same but for an empty list being none, and for
// doubts about fields that have been changed since.
func alike(a, b sizing.Build) bool {
	for _, p := range []*sizing.Build{&a, &b} {
		p.Doubts = p.InDoubt()
		if len(p.Suction) == 0 {
			p.Suction = nil
		}
		if len(p.ReturnLine) == 0 {
			p.ReturnLine = nil
		}
	}
	return reflect.DeepEqual(a, b)
}

// TestWriteSheetKeepsDoubts: ranges and tolerances and what goes together come back.
func TestWriteSheetKeepsDoubts(t *testing.T) {
	text, err := os.ReadFile("../testdata/sheets/surge.toml")
	if err != nil {
		t.Fatal(err)
	}
	sheet := strings.NewReplacer(
		`blend = "E85"`, `blend = "E70..E85"`,
		`displacement = "2480 cm3"`, `displacement = "2480 cm3 +- 1 %"`,
		`flow = "1700 cc/min at 3 bar on n-heptane"`, `flow = "1700 cc/min +- 2 % at 3 bar on n-heptane"`,
		`temperature = "38 degC"`, `temperature = "28..32 degC"`, // its middle is the default
		`wear = "4 %"`, `wear = "0..10 %"`,
	).Replace(string(text)) + "\n[[correlation]]\nbetween = [\"injectors.flow\", \"pumps.wear\"]\nr = 0.5\n"
	b := readSheet(t, []byte(sheet))
	if n := len(b.Doubts.List); n != 5 {
		t.Fatalf("%d doubts, want 5", n)
	}
	back := readSheet(t, written(t, b))
	if !reflect.DeepEqual(back, b) {
		t.Errorf("reads back as\n%+v\nwas\n%+v", back.Doubts, b.Doubts)
	}
	assessesAlike(t, assessBuild(t, b))

	// A field that has been changed since is in doubt no more.
	b.Engine.Displacement = 3 * quantity.Litre
	text = written(t, b)
	if !strings.Contains(string(text), `displacement = "3 L"`) || strings.Contains(string(text), "+- 1 %") {
		t.Errorf("written\n%s", text)
	}
}

// TestWriteSheetIsShort: values come out as a person would write them.
func TestWriteSheetIsShort(t *testing.T) {
	b := readSheet(t, []byte(sizing.Template))
	b.Job.Notes = "first\nsecond \"third\" \\ \x07 \u007f é 漢"
	b.Electrical.Voltage = quantity.Of(13.1, quantity.Volt)
	b.Policy.PumpMargin = sizing.Wanted(0)
	text := string(written(t, b))
	for _, want := range []string{
		`displacement = "2 L"`, `speed = "7000 rpm"`, `power = "400 hp"`, "lambda = 0.8\n", `boost = "20 psi"`, `charge_temperature = "45 °C"`,
		`blend = "E85"`, `voltage = "13.1 V"`, `base_pressure = "43.5 psi"`, `bore = "8 mm"`, `{ voltage = "13.5 V", points = [`, "pump_margin = 0\n",
		`notes = "first\nsecond \"third\" \\ \u0007 \u007F é 漢"`,
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%s is not in\n%s", want, text)
		}
	}
	for _, absent := range []string{"wiring", "surge_tank", "nitrous", "revision", "e-05", "[tank]"} {
		if strings.Contains(text, absent) {
			t.Errorf("%s is in\n%s", absent, text)
		}
	}
}

func TestWriteSheetRefuses(t *testing.T) {
	b := readSheet(t, []byte(sizing.Template))
	change := func(f func(*sizing.Build)) sizing.Build {
		c := b
		f(&c)
		return c
	}
	for _, c := range []struct {
		name string
		b    sizing.Build
		says string
	}{
		{"no build", sizing.Build{}, "cannot be written"},
		{"not valid", change(func(b *sizing.Build) { b.Engine.Cylinders = -1 }), "engine.cylinders"},
		{"not a number", change(func(b *sizing.Build) { b.Engine.VolumetricEfficiency = quantity.Ratio(math.NaN()) }), "engine.volumetric_efficiency"},
		{"infinite", change(func(b *sizing.Build) { b.Fuel.Temperature = quantity.Temperature(math.Inf(1)) }), "fuel.temperature"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out bytes.Buffer
			err := c.b.WriteSheet(&out)
			if err == nil || !strings.Contains(err.Error(), c.says) || out.Len() > 0 {
				t.Errorf("error %v after %d bytes, want one that says %q", err, out.Len(), c.says)
			}
		})
	}
	full := errors.New("disk full")
	if err := b.WriteSheet(failingWriter{full}); !errors.Is(err, full) {
		t.Errorf("error %v, want the writer's", err)
	}
}

type failingWriter struct{ err error }

func (w failingWriter) Write([]byte) (int, error) { return 0, w.err }

// FuzzWriteSheet: whatever text stands in a sheet comes back.
func FuzzWriteSheet(f *testing.F) {
	for _, seed := range []string{"", "plain", "a \"b\" \\ c", "\x00\x1f\x7f", "\u2028\ufeff", "1..3", "=", "'''", "[table]", "\xff", "a\r\nb"} {
		f.Add(seed)
	}
	b := readSheet(f, []byte(sizing.Template))
	f.Fuzz(func(t *testing.T, text string) {
		b := b
		b.Job.Name, b.Job.Notes, b.Injectors.Part = text, text, text
		b.Pumps = slices.Clone(b.Pumps)
		b.Pumps[0].Part = text
		back := readSheet(t, written(t, b))
		want := strings.ToValidUTF8(text, "\ufffd")
		if back.Job.Notes != want || back.Injectors.Part != want || back.Pumps[0].Part != want {
			t.Errorf("%q reads back as %q", text, back.Job.Notes)
		}
	})
}

func ExampleBuild_WriteSheet() {
	b, err := sizing.Open("../testdata/sheets/natural.toml")
	if err != nil {
		fmt.Println(err)
		return
	}
	b.Target.Power = 250 * quantity.Horsepower
	var out bytes.Buffer
	if err := b.WriteSheet(&out); err != nil {
		fmt.Println(err)
		return
	}
	_, target, _ := strings.Cut(out.String(), "[target]")
	target, _, _ = strings.Cut(target, "[induction]")
	fmt.Print("[target]", target)
	// Output:
	// [target]
	// power = "250 hp"
	// lambda = 0.88
}
