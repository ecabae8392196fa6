package sheet

import (
	"slices"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

type pump struct {
	Part  string                  `sheet:"part,required"`
	Rises []quantity.PressureDiff `sheet:"rises"`
}

type sample struct {
	Engine struct {
		Size      quantity.Volume `sheet:"displacement,required"`
		Cylinders int             `sheet:"cylinders"`
	} `sheet:"engine,required"`
	Duty  quantity.Ratio `sheet:"max_duty"`
	Pumps []pump         `sheet:"pumps"`
	Name  string         `sheet:"name"`
}

func TestDecode(t *testing.T) {
	doc, problem := Parse([]byte(`
name = "sample"
max_duty = 0.85
[engine]
displacement = "3.4 L"
cylinders = 6
[[pumps]]
part = "first"
rises = "14 psi"
[[pumps]]
part = "second"
rises = ["1 bar", "2 bar"]
`))
	if problem != nil {
		t.Fatal(problem)
	}
	var s sample
	if problems := doc.Decode(&s); len(problems) > 0 {
		t.Fatal(problems)
	}
	if s.Engine.Size != quantity.MustParse[quantity.Volume]("3.4 L") || s.Engine.Cylinders != 6 || s.Duty != 0.85 || s.Name != "sample" {
		t.Errorf("decoded %+v", s)
	}
	if len(s.Pumps) != 2 || s.Pumps[0].Rises[0] != 14*quantity.PSI || s.Pumps[1].Rises[1] != 2*quantity.BarDiff {
		t.Errorf("decoded pumps %+v", s.Pumps)
	}
	for path, line := range map[string]int{"engine.cylinders": 6, "pumps[2].part": 11, "pumps[2].rises[2]": 12, "pumps[1].nothing": 7} {
		if got := doc.Line(path); got != line {
			t.Errorf("line of %s: got %d, want %d", path, got, line)
		}
	}
	if doc.Has("pumps[1].nothing") || !doc.Has("max_duty") {
		t.Error("Has is wrong about what the document holds")
	}
}

func TestDecodeReportsEverything(t *testing.T) {
	doc, problem := Parse([]byte(`
max_duty = "85 percents"
nmae = "typo"
[engine]
cylinders = "six"
[[pumps]]
rises = ["1 bar",
         "2 bra"]
`))
	if problem != nil {
		t.Fatal(problem)
	}
	var s sample
	var got []string
	for _, p := range doc.Decode(&s) {
		got = append(got, p.String())
	}
	for _, want := range []string{
		`line 4: engine.displacement: is missing; want a volume such as "3.4 L"`,
		`line 5: engine.cylinders = "six": is not a whole number`,
		`line 2: max_duty = "85 percents": unknown unit "percents"; want a number or a percentage such as "85 %"`,
		`line 6: pumps[1].part: is missing; want text in quotes`,
		`line 8: pumps[1].rises[2] = "2 bra": unknown unit "bra"; want a pressure difference such as "43.5 psi"`,
		`line 3: nmae = "typo": unknown name in the sheet, perhaps "name" is meant; want one of engine, max_duty, pumps, name`,
	} {
		if !slices.ContainsFunc(got, func(g string) bool { return strings.HasPrefix(g, want) }) {
			t.Errorf("no problem starts with\n\t%s\ngot\n\t%s", want, strings.Join(got, "\n\t"))
		}
	}
	if len(got) != 6 {
		t.Errorf("%d problems, want 6:\n%s", len(got), strings.Join(got, "\n"))
	}
}

func TestNotTOML(t *testing.T) {
	_, problem := Parse([]byte("[engine\ncylinders = 6\n"))
	if problem == nil || problem.Line != 1 || !strings.Contains(problem.Reason, "not TOML") {
		t.Errorf("got %v, want a problem on line 1", problem)
	}
}

func TestInlineTables(t *testing.T) {
	doc, problem := Parse([]byte("pumps = [\n {part = \"a\"},\n {prat = \"b\"},\n]\n[engine]\ndisplacement='1 L'\n"))
	if problem != nil {
		t.Fatal(problem)
	}
	var s sample
	problems := doc.Decode(&s)
	if len(problems) != 2 || problems[0].Line != 3 || problems[1].Line != 3 {
		t.Errorf("got %v, want two problems on line 3", problems)
	}
}

func FuzzDecode(f *testing.F) {
	for _, seed := range []string{
		"[engine]\ndisplacement = '3 L'\n", // right
		"[[engine]]\n",                     // an array where a table is wanted
		"pumps = 3\n", "pumps = [[1]]\n", "max_duty = 1979-05-27\n", "a.b.c = {d = [{}]}\n", "[pumps]\n[[pumps.x]]\n", "\xff",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		doc, problem := Parse(data)
		if (doc == nil) == (problem == nil) {
			t.Fatal("want a document or a problem")
		}
		if doc != nil {
			var s sample
			for _, p := range doc.Decode(&s) {
				if p.Field == "" || p.Reason == "" {
					t.Fatalf("problem without field or reason: %+v", p)
				}
			}
		}
	})
}
