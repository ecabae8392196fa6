package display

import (
	"go/ast"
	gofmt "go/format"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/sizing"
)

const notebooks = "../../notebooks"

// Every notebook is one that a stranger can open: of the current format, without
// outputs, short, with short cells that have a title and need neither import lines nor
// error handling, and with checks at its end that hold it to what it says.
func TestNotebooks(t *testing.T) {
	for _, path := range notebookFiles(t) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			raw, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			for _, want := range []string{`"nbformat": 4`, `"nbformat_minor": 5`, `"name": "railbook"`, `"display_name": "Railbook"`, `"language": "go"`} {
				if !strings.Contains(string(raw), want) {
					t.Errorf("its metadata lack %s", want)
				}
			}
			nb, err := nbformat.Parse(raw)
			if err != nil {
				t.Fatal(err)
			}
			// The first one tells the whole story of a build; the others each tell a part.
			if most := map[bool]int{true: 36, false: 22}[strings.HasPrefix(filepath.Base(path), "01-")]; len(nb.Cells) > most {
				t.Errorf("it has %d cells; want %d at most", len(nb.Cells), most)
			}
			if nb.Cells[0].Type != nbformat.Markdown || !strings.HasPrefix(nb.Cells[0].Source, "# ") {
				t.Error("it does not begin with a title")
			}
			ids := map[string]bool{}
			code := 0
			for i, c := range nb.Cells {
				if c.ID == "" || ids[c.ID] {
					t.Errorf("cell %d has the id %q, which is empty or taken", i+1, c.ID)
				}
				ids[c.ID] = true
				if c.Type != nbformat.Code {
					continue
				}
				code++
				if len(c.Outputs) > 0 || c.ExecutionCount != 0 {
					t.Errorf("cell %d has outputs", i+1)
				}
				if c.HasTag("inputs") && code > 1 {
					t.Errorf("cell %d is tagged inputs and is not the first of code", i+1)
				}
				if c.HasTag("hide-input") != strings.Contains(c.Source, "Answer(") {
					t.Errorf("cell %d: an answer hides how it was computed, and nothing else does", i+1)
				}
				checkCell(t, i+1, c.Source)
			}
			last := nb.Cells[len(nb.Cells)-1]
			if !strings.HasPrefix(last.Source, "// Checks: ") || !strings.Contains(last.Source, "\nVerify(") {
				t.Errorf("it ends in\n%s\nwant checks", last.Source)
			}
		})
	}
}

// checkCell wants of a cell of code that it is Go, that it has a title, and that it is
// short: what is checked at the end has a line each.
func checkCell(t *testing.T, number int, source string) {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(source), "\n")
	if !cellTitle.MatchString(lines[0]) || len(lines) < 2 || strings.HasPrefix(lines[1], "//") {
		t.Errorf("cell %d begins with %q; want a comment of one line that is its title", number, lines[0])
	}
	most, width := 10, 160
	if strings.HasPrefix(lines[0], "// Checks") {
		most, width = 30, 320
	}
	if len(lines) > most {
		t.Errorf("cell %d has %d lines; want %d at most", number, len(lines), most)
	}
	for _, line := range lines {
		if n := utf8.RuneCountInString(line); n > width {
			t.Errorf("cell %d has a line of %d characters; want %d at most: %.60s…", number, n, width, line)
		}
	}
	if set, err := gofmt.Source([]byte(source)); err == nil && strings.TrimSpace(string(set)) != strings.TrimSpace(source) {
		t.Errorf("cell %d is not set as gofmt does, which gives\n%s", number, set)
	}
	file, err := parser.ParseFile(token.NewFileSet(), "", "package p\nfunc main() {\n"+source+"\n}", parser.SkipObjectResolution)
	if err != nil {
		t.Errorf("cell %d holds no bare statements: %v", number, err)
		return
	}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ImportSpec, *ast.IfStmt, *ast.GoStmt, *ast.DeferStmt:
			t.Errorf("cell %d has a %T; want no import lines and no error handling", number, n)
		case *ast.Ident:
			if n.Name == "err" || n.Name == "nil" {
				t.Errorf("cell %d speaks of %s", number, n.Name)
			}
		}
		return true
	})
}

var cellTitle = regexp.MustCompile(`^// [A-Z0-9].*[.?]$`)

// Every name that stands in a notebook, or in what lies beside it, is an invented one or
// that of a source: a capitalised word is one that is also written small there, or is
// listed. Whoever adds a name has to look at it.
func TestNamesAreInvented(t *testing.T) {
	raw, err := os.ReadFile("testdata/names.txt")
	if err != nil {
		t.Fatal(err)
	}
	known := map[string]bool{}
	for line := range strings.Lines(string(raw)) {
		if !strings.HasPrefix(line, "#") {
			for _, w := range strings.Fields(line) {
				known[w] = true
			}
		}
	}
	where := map[string]string{} // of capitalised words
	small := map[string]bool{}
	err = filepath.WalkDir(notebooks, func(path string, d fs.DirEntry, err error) error {
		ext := filepath.Ext(path)
		if err != nil || d.IsDir() || !slices.Contains([]string{".ipynb", ".toml", ".csv", ".md"}, ext) {
			return err
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		texts := []string{string(data)}
		if ext == ".ipynb" {
			nb, err := nbformat.Parse(data)
			if err != nil {
				return err
			}
			texts = nil
			for _, c := range nb.Cells {
				if c.Type == nbformat.Code {
					texts = append(texts, quotedInGo.FindAllString(c.Source, -1)...)
				} else {
					texts = append(texts, codeInMarkdown.ReplaceAllString(c.Source, " "))
				}
			}
		}
		for _, w := range word.FindAllString(strings.Join(texts, "\n"), -1) {
			if first, _ := utf8.DecodeRuneInString(w); unicode.IsUpper(first) {
				where[w] = filepath.Base(path)
			} else {
				small[w] = true
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(where) < 100 {
		t.Fatalf("%d capitalised words found; the notebooks have more", len(where))
	}
	for w, file := range where {
		if !small[strings.ToLower(w)] && !known[w] && utf8.RuneCountInString(w) > 1 {
			t.Errorf("%s has %q; if that is no name of a person, a shop or a product, list it in testdata/names.txt", file, w)
		}
	}
	for w := range known {
		if where[w] == "" {
			t.Errorf("testdata/names.txt lists %q, which stands nowhere", w)
		}
	}
}

var (
	word           = regexp.MustCompile(`\p{L}+`)
	quotedInGo     = regexp.MustCompile(`"(?:[^"\\\n]|\\.)*"|//[^\n]*`)
	codeInMarkdown = regexp.MustCompile("`[^`]*`|<[^>]*>")
)

func notebookFiles(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(notebooks, "*.ipynb"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no notebooks in %s: %v", notebooks, err)
	}
	return files
}

// What the prose of the first notebook says about its build is so. Its text does
// not change with the sheet, so this test does.
func TestFirstBuildStory(t *testing.T) {
	b, err := sizing.Open(filepath.Join(notebooks, "first-build.toml"))
	if err != nil {
		t.Fatal(err)
	}
	a := Assess(b)
	if a.Status() != sizing.Carries {
		t.Errorf("as it stands the system is %v, want it to carry", a.Status())
	}
	if a.Demand.Spread > 0.12 {
		t.Errorf("the routes lie %v apart, want a tenth or so", a.Demand.Spread)
	}
	if share := float64(a.Injection.DeadTime / a.Injection.Interval); share < 1/17.0 || share > 1/15.0 {
		t.Errorf("the dead time is %v of the interval, want a sixteenth", share)
	}
	gasoline := Assess(With(b, "blend = E0"))
	byMass, byVolume := float64(a.Demand.Total/gasoline.Demand.Total), float64(a.Demand.Volume/gasoline.Demand.Volume)
	if byMass < 1.30 || byMass > 1.37 || byVolume >= byMass {
		t.Errorf("E70 takes %v times the mass and %v times the volume, want a third more by mass and less by volume", byMass, byVolume)
	}
	for change, want := range map[string]struct {
		status sizing.Status
		first  sizing.PartKind
	}{
		"boost = 28 psi":                                                    {sizing.Short, sizing.InjectorsPart},
		"boost = 28 psi, base pressure = 50 psi":                            {sizing.Thin, sizing.InjectorsPart},
		"boost = 28 psi, base pressure = 58 psi":                            {sizing.Short, sizing.PumpsPart},
		"boost = 28 psi, base pressure = 58 psi, blend = E50":               {sizing.Thin, sizing.PumpsPart},
		"boost = 28 psi, injector flow = 2000 cc/min at 3 bar on n-heptane": {sizing.Carries, sizing.PumpsPart},
	} {
		c := Assess(With(b, change))
		if c.Status() != want.status || c.Weakest().Kind != want.first {
			t.Errorf("%s: %v, %v first, want %v, %v", change, c.Status(), c.Weakest().Kind, want.status, want.first)
		}
	}
	// More base pressure gains nothing beyond the point where the two share.
	limit := func(change string) float64 { return float64(Assess(With(b, change)).Weakest().Limit) }
	if low, mid, high := limit("boost = 28 psi"), limit("boost = 28 psi, base pressure = 50 psi"), limit("boost = 28 psi, base pressure = 58 psi"); !(mid > 1.03*low) || high > low {
		t.Errorf("limits %v, %v, %v at 43.5, 50 and 58 psi: want the middle one highest and the last no gain", low, mid, high)
	}
	if turned := Assess(With(b, "boost = 28 psi, base pressure = 58 psi")); !turned.Delivery.Sags {
		t.Error("turned up the easy way the rail does not sag")
	}
}
