package inputs

import (
	"errors"
	"fmt"
	"go/parser"
	"go/token"
	"slices"
	"strings"
	"testing"

	"example.com/railbook/kernel/nbformat"
)

// cell makes a notebook of one tagged code cell behind a heading.
func cell(t testing.TB, tag, source string) *nbformat.Notebook {
	t.Helper()
	c := &nbformat.Cell{Type: nbformat.Code, Source: source}
	if err := c.Metadata.Set("tags", []string{tag}); err != nil {
		t.Fatal(err)
	}
	return &nbformat.Notebook{Cells: []*nbformat.Cell{{Type: nbformat.Markdown, Source: "# T"}, c}}
}

func TestFind(t *testing.T) {
	const source = `// What the customer asks for.
%noautoget
boost := 14.0 // psi
var sheet = "a.toml"; var base quantity.PressureDiff = 43.5 * quantity.PSI
const (
	draws = 1000
	seed  = -1
	next  // repeats the one above
)
var (
	a, b = f(1, 2), []int{3, 4}
	quiet bool = true
	empty int
)
!echo hidden := 1
func helper() {
	inner := 1
}
total := boost * 2
_, c := 1, ` + "`raw`" + `
x.y, z[0] = 1, 2
for i := range 3 { j := i }
if k := 1; k > 0 {
}
boost = 15`
	var got []string
	for _, in := range Find(cell(t, "inputs", source)) {
		got = append(got, fmt.Sprintf("%d:%s %v", in.Line, in, in.Computed))
	}
	want := []string{
		"3:boost = 14.0 false", `4:sheet = "a.toml" false`, "4:base = 43.5 * quantity.PSI false",
		"6:draws = 1000 false", "7:seed = -1 false", "11:a = f(1, 2) true", "11:b = []int{3, 4} true", "12:quiet = true false",
		"19:total = boost * 2 true", "20:c = `raw` false",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

func TestFindLooksInTaggedCellsOnly(t *testing.T) {
	for tag, want := range map[string]int{"inputs": 1, "parameters": 1, "input": 0, "": 0} {
		if got := Find(cell(t, tag, "boost := 14")); len(got) != want {
			t.Errorf("tag %q: found %v, want %d", tag, got, want)
		}
	}
	if got := Find(cell(t, "inputs", "\n%%bash\nboost := 14")); len(got) != 0 {
		t.Errorf("found %v in a cell of another language", got)
	}
	if got := Find(cell(t, "inputs", "%%\nboost := 14")); len(got) != 1 {
		t.Errorf("found %v, want boost", got)
	}
}

// psi is a stand-in for quantities: numbers of psi.
func psi(present, text string) (string, bool, error) {
	if !strings.HasSuffix(present, "* psi.Unit") {
		return "", false, nil
	}
	number, ok := strings.CutSuffix(text, " psi")
	if !ok {
		return "", true, errors.New("want psi")
	}
	return number + " * psi.Unit", true, nil
}

func TestSet(t *testing.T) {
	for _, tt := range []struct{ name, source, set, want string }{
		{"number", "boost := 14.0 // psi", "boost=18.5", "boost := 18.5 // psi"},
		{"whole for a fraction", "boost := 14.0", "boost=18", "boost := 18.0"},
		{"negative", "boost := 14.0", "boost=-3", "boost := -3.0"},
		{"for a negative", "boost := -14", "boost=+3", "boost := 3"},
		{"exponent", "var n = 1e3", "n=2e6", "var n = 2e6"},
		{"typed takes any number", "var n float64 = 14", "n=18.5", "var n float64 = 18.5"},
		{"typed keeps whole", "var n float64 = 14.5", "n=18", "var n float64 = 18"},
		{"constant", "const draws = 1000", "draws=10", "const draws = 10"},
		{"constants have no type", "const k = 14", "k=14.5", "const k = 14.5"},
		{"text", `sheet := "a.toml"`, "sheet=b c.toml", `sheet := "b c.toml"`},
		{"text with quotes", `sheet := "a"`, `sheet=say "b" = \n`, `sheet := "say \"b\" = \\n"`},
		{"text that looks like a number", `blend := "E70"`, "blend=85", `blend := "85"`},
		{"nothing", `blend := "E70"`, "blend=", `blend := ""`},
		{"raw text", "t := `a\nb`\nu := 1", "t=c", "t := \"c\"\nu := 1"},
		{"truth", "wide := true", "wide=false", "wide := false"},
		{"quantity", "base := 43.5 * psi.Unit", "base=58 psi", "base := 58 * psi.Unit"},
		{"one of a group", "var (\n\ta = 1\n\tb = 2\n)", "b=3", "var (\n\ta = 1\n\tb = 3\n)"},
		{"one of a pair", "a, b := 1, 2", "a=3", "a, b := 3, 2"},
		{"several", "a := 1\nb := 2.0; c := \"x\"", "a=10 b=20 c=30", "a := 10\nb := 20.0; c := \"30\""},
		{"each time", "a := 1\na, b := 2, 3", "a=7", "a := 7\na, b := 7, 3"},
		{"accents stay in place", "λ := 1.0; name := \"Mähr\"; n := 1", "n=2", "λ := 1.0; name := \"Mähr\"; n := 2"},
		{"not there", "a := 1", "b=2", "a := 1"},
		// What does not fit is put where the compiler sees it.
		{"text for a number", "boost := 14.0", "boost=fast", `var boost float64 = "fast"`},
		{"with a decimal comma", "var boost = 14.0", "boost=14,5", `var boost float64 = "14,5"`},
		{"fraction for whole", "n := 14", "n=14.5", "var n int = 14.5"},
		{"text for a constant", "const n = 14", "n=fast", `const n int = "fast"`},
		{"text for a typed one", "var n float64 = 14", "n=fast", `var n float64 = "fast"`},
		{"number for truth", "wide := true", "wide=1", "var wide bool = 1"},
		{"a comment is a text", "n := 14", "n=1 // x", `var n int = "1 // x"`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			nb := cell(t, "inputs", tt.source)
			var args []string
			for _, a := range strings.Split(tt.set, " ") {
				if strings.Contains(a, "=") || len(args) == 0 {
					args = append(args, a)
				} else {
					args[len(args)-1] += " " + a
				}
			}
			if !strings.Contains(tt.name, "several") {
				args = []string{tt.set}
			}
			values, err := Parse(args)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := Set(nb, values, psi); err != nil {
				t.Fatal(err)
			}
			if got := nb.Cells[1].Source; got != tt.want {
				t.Errorf("got  %s\nwant %s", got, tt.want)
			}
		})
	}
}

func TestSetTellsWhatItDid(t *testing.T) {
	nb := cell(t, "inputs", "\na := 1\nb := 2.0")
	set, err := Set(nb, map[string]string{"b": "3", "a": "4"}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := fmt.Sprint(set), "[a = 4 b = 3.0]"; got != want || set[1].Line != 3 || set[1].Cell != 2 {
		t.Errorf("got %s %+v, want %s", got, set, want)
	}
}

func TestSetErrors(t *testing.T) {
	for _, tt := range []struct{ name, source, set, want string }{
		{"computed", "a := 1\ntotal := a *\n\t2", "total=3", `input total (cell 2, line 2): a * 2 is not a literal but computed, so it cannot be set`},
		{"quantity without unit", "base := 43.5 * psi.Unit", "base=58", "input base (cell 2, line 1): want psi"},
		{"one of a pair", "a, b := 1, 2", "b=x", `input b (cell 2, line 1): got "x", want a whole number`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			nb := cell(t, "parameters", tt.source)
			values, err := Parse([]string{tt.set})
			if err != nil {
				t.Fatal(err)
			}
			if _, err := Set(nb, values, psi); err == nil || err.Error() != tt.want {
				t.Errorf("got  %v\nwant %s", err, tt.want)
			}
			if nb.Cells[1].Source != tt.source {
				t.Errorf("the cell was changed to %s", nb.Cells[1].Source)
			}
		})
	}
}

func TestParse(t *testing.T) {
	got, err := Parse([]string{"a=1", "b = x = y", "a=2"})
	if err != nil || len(got) != 2 || got["a"] != "2" || got["b"] != " x = y" {
		t.Errorf("got %q, %v", got, err)
	}
	for _, bad := range []string{"", "a", "=1", "1a=2", "a b=2", "if=2"} {
		if _, err := Parse([]string{bad}); !errors.Is(err, ErrSyntax) {
			t.Errorf("Parse(%q): got %v, want ErrSyntax", bad, err)
		}
	}
}

func TestUnknown(t *testing.T) {
	known := []string{"boost", "base", "blend", "targetPower"}
	for name, want := range map[string]string{
		"bost":   `there is no input "bost", did you mean "boost"?; there is: base, blend, boost, targetPower`,
		"Boost":  `there is no input "Boost", did you mean "boost"?; there is: base, blend, boost, targetPower`,
		"target": `there is no input "target", did you mean "targetPower"?; there is: base, blend, boost, targetPower`,
		"wiring": `there is no input "wiring"; there is: base, blend, boost, targetPower`,
	} {
		if got := Unknown(name, known).Error(); got != want {
			t.Errorf("got  %s\nwant %s", got, want)
		}
	}
	if got, want := Unknown("x", nil).Error(), `there is no input "x", nor any other: inputs are literals in code cells tagged "inputs"`; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// TestDistance checks against the example of the algorithm that every textbook
// has (from memory): kitten to sitting takes three edits.
func TestDistance(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"", "abc", 3}, {"abc", "", 3}, {"same", "same", 0}, {"λa", "λb", 1}} {
		if got := distance([]rune(tt.a), []rune(tt.b)); got != tt.want {
			t.Errorf("distance(%q, %q) = %d, want %d", tt.a, tt.b, got, tt.want)
		}
	}
}

// FuzzSet sets every input of any source to anything. What was a literal must
// be one afterwards, and nothing else may change.
func FuzzSet(f *testing.F) {
	f.Add("a := 1\nvar b, c = 2.0, \"x\"", "3")
	f.Add("%%\nconst (\n\ta = `x`\n\tb\n)", "y \"z\"")
	f.Add("a := 'x' + ((", "1")
	f.Add("var x int = 1 /* a", "\n")
	f.Add("\ufeffa := -1;;b:=true", "false")
	f.Fuzz(func(t *testing.T, source, value string) {
		nb := cell(t, "inputs", source)
		before := Find(nb)
		for _, in := range before {
			nb.Cells[1].Source = source
			set, err := Set(nb, map[string]string{in.Name: value}, nil)
			if err != nil {
				if nb.Cells[1].Source != source {
					t.Errorf("an error, but the source was changed to %q", nb.Cells[1].Source)
				}
				continue
			}
			for _, s := range set {
				if _, err := parser.ParseExpr(s.Text); err != nil || kindOf(s.Text) == computed {
					t.Errorf("%s was set to %q, which is no literal", s.Name, s.Text)
				}
			}
			after := Find(nb)
			if got, want := Names(after), Names(before); !slices.Equal(got, want) {
				t.Errorf("names were %q and are %q in %q", want, got, nb.Cells[1].Source)
			}
		}
	})
}

func TestFormsAreKnown(t *testing.T) {
	for _, p := range assignments("a := 1\nvar b = 2\nconst c = 3") {
		if p.form != map[string]token.Token{"a": token.DEFINE, "b": token.VAR, "c": token.CONST}[p.name] {
			t.Errorf("%s: form %v", p.name, p.form)
		}
	}
}
