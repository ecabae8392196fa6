package cell

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"

	"example.com/railbook/kernel/cell/keep"
)

// rootOfModule is the folder of the Railbook module, seen from here.
const rootOfModule = "../.."

// shared is the library of all tests, as looking up packages takes long.
var shared = sync.OnceValues(func() (*Session, error) {
	root, err := filepath.Abs(rootOfModule)
	if err != nil {
		return nil, err
	}
	dir, err := os.MkdirTemp("", "cell-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	s, err := New(Options{Folder: dir, Root: root})
	if err != nil {
		return nil, err
	}
	return s, s.Prepare()
})

// player plays a session without running any program: what a cell makes is
// carried, but for what it says is not.
type player struct {
	t    testing.TB
	s    *Session
	lost map[string]string // variables that are not carried, with the reason
	// vars and types are what variables need beside.
	vars, types map[string][]string
	program     string // of the last cell
}

func newPlayer(t testing.TB) *player {
	t.Helper()
	base, err := shared()
	if err != nil {
		t.Fatal(err)
	}
	s := &Session{o: base.o, library: base.library, directory: base.directory, knownOf: base.knownOf}
	s.o.Folder = t.TempDir()
	if _, err := s.Reset(); err != nil {
		t.Fatal(err)
	}
	return &player{t: t, s: s, lost: map[string]string{}, vars: map[string][]string{}, types: map[string][]string{}}
}

// rewrite prepares a cell and checks that its program is one.
func (p *player) rewrite(code string) (*Prepared, error) {
	p.t.Helper()
	pr, err := p.s.Rewrite(code)
	if err != nil {
		return nil, err
	}
	for _, name := range []string{ProgramFile, TestFile} {
		text, err := os.ReadFile(filepath.Join(p.s.o.Folder, name))
		if err != nil {
			p.t.Fatal(err)
		}
		if string(text) != emptyProgram {
			p.program = string(text)
		}
	}
	if pr.b != nil {
		if err := p.check(p.program); err != nil {
			p.t.Fatalf("cell\n%s\ncomes out as\n%s\nwhich is no program: %v", code, p.program, err)
		}
	}
	return pr, nil
}

// check checks the types of a program.
func (p *player) check(text string) error {
	fset := token.NewFileSet()
	f, err := parser.ParseFile(fset, "", text, 0)
	if err != nil {
		return err
	}
	conf := types.Config{Importer: p.s.library}
	_, err = conf.Check("main", fset, []*ast.File{f}, nil)
	return err
}

// run prepares a cell and acts as if it had been run.
func (p *player) run(code string) *Prepared {
	p.t.Helper()
	pr, err := p.rewrite(code)
	if err != nil {
		p.t.Fatalf("cell\n%s\n%v", code, err)
	}
	p.commit(pr)
	return pr
}

func (p *player) commit(pr *Prepared) {
	p.t.Helper()
	if pr.plan == nil {
		return
	}
	mark := strconv.Itoa(pr.plan.src.id)
	report := &keep.Report{}
	for _, name := range pr.plan.kept() {
		v := keep.VarReport{Name: name, Lost: p.lost[name], Vars: p.vars[name], Types: p.types[name]}
		if v.Lost == "" {
			v.File = mark + "-heap-" + name
			if err := p.s.write(v.File, ""); err != nil {
				p.t.Fatal(err)
			}
		}
		report.Vars = append(report.Vars, v)
		report.Files = append(report.Files, keep.FileReport{Name: v.File})
	}
	if err := p.s.write(keep.ReportFile(mark), report.String()); err != nil {
		p.t.Fatal(err)
	}
	if remark := pr.Commit(true, pr.plan.src.id); remark != "" {
		p.t.Errorf("remark: %s", remark)
	}
}

// body returns what the program does, without the notes of where it is.
func (p *player) body() string {
	_, rest, _ := strings.Cut(p.program, "func "+bodyName+"() {\n")
	rest, _, _ = strings.Cut(rest, "\n}\n\nfunc "+entry+"()")
	var lines []string
	for line := range strings.Lines(rest) {
		line = strings.TrimSpace(line)
		if _, after, ok := strings.Cut(line, "); "); ok && strings.HasPrefix(line, stepsName) {
			line = after
		}
		if line != "" {
			lines = append(lines, strings.ReplaceAll(line, prefix, ""))
		}
	}
	return strings.Join(lines, "\n")
}

// declared lists the variables of the program with their types.
func (p *player) declared() string {
	var list []string
	for line := range strings.Lines(p.program) {
		if rest, ok := strings.CutPrefix(line, "var "); ok && !strings.HasPrefix(rest, stepsName) {
			list = append(list, strings.ReplaceAll(strings.TrimSpace(rest), prefix, ""))
		}
	}
	return strings.Join(list, "; ")
}

// loaded lists the variables that the program loads.
func (p *player) loaded() string {
	var list []string
	for line := range strings.Lines(p.program) {
		if strings.Contains(line, "{Name: ") && !strings.Contains(line, `File: ""`) {
			name, _, _ := strings.Cut(strings.TrimPrefix(strings.TrimSpace(line), `{Name: "`), `"`)
			if strings.Contains(line, "Was: true") {
				name += " as it was"
			}
			list = append(list, name)
		}
	}
	return strings.Join(list, " ")
}

// imports lists what the program imports.
func (p *player) imports() string {
	_, rest, _ := strings.Cut(p.program, "import (\n")
	rest, _, _ = strings.Cut(rest, ")\n")
	return strings.TrimSpace(strings.ReplaceAll(rest, "\t", ""))
}

func TestCellsBecomePrograms(t *testing.T) {
	for _, tt := range []struct {
		name     string
		before   []string // cells
		cell     string
		body     string
		declared string
		loaded   string
	}{
		{"made", nil, "x := 1", "x = 1", "x int", ""},
		{"used", []string{"x := 1"}, "x++", "x++", "x int", "x"},
		{"not used", []string{"x := 1"}, "y := 2", "y = 2", "y int", ""},
		{"shown", []string{"x := 1"}, "x", "show.Show(x)", "x int", "x"},
		{"shown not", []string{"x := 1"}, "x;", "_ = x", "x int", "x"},
		{"call without value", nil, "println()", "println()", "", ""},
		{"printing", nil, "fmt.Println(1)", "show.Written(fmt.Println(1))", "", ""},
		{"call that may fail", nil, "os.Remove(\"x\")", "show.Error(os.Remove(\"x\"))", "", ""},
		{"two values", nil, "strconv.Atoi(\"1\")", "show.Show(strconv.Atoi(\"1\"))", "", ""},
		{"value of a project and an error", nil, "sizing.Open(\"x\")", "{ value0, value1 := sizing.Open(\"x\"); display.Show(value0); if any(value1) != nil { show.Show(value1) } }", "", ""},
		{"table", nil, "sizing.Table{}", "{ value0 := sizing.Table{}; display.Show(value0) }", "", ""},
		{"quantity", nil, "3 * quantity.BarDiff", "{ value0 := 3 * quantity.BarDiff; display.Show(value0) }", "", ""},
		{"pointer", nil, "Assess(Open(\"x\"))", "{ value0 := display.Assess(display.Open(\"x\")); if value0 == nil { show.Show(nil) } else { display.Show(value0) } }", "", ""},
		{"copy", nil, "copy([]int{1}, []int{2})", "copy([]int{1}, []int{2})", "", ""},
		{"nothing to see", nil, "struct{}{}", "_ = struct{}{}", "", ""},
		{"var", nil, "var x, y = 1, \"a\"", "x, y = 1, \"a\"", "x int; y string", ""},
		{"var with type", nil, "var x float64 = 1", "x = 1", "x float64", ""},
		{"var without value", nil, "var x map[string]time.Time", "", "x map[string]time.Time", ""},
		{"var of an old name", []string{"x := 1"}, "_ = x\nvar x int", "_ = x\n{ var zero int; x = zero };", "x int", "x"},
		{"group", nil, "var (\n\ta = 1\n\tb, _ = strconv.Atoi(\"2\")\n)", "a = 1\nb, _ = strconv.Atoi(\"2\")", "a int; b int", ""},
		{"error again", nil, "a, err := strconv.Atoi(\"1\")\nb, err := strconv.Atoi(\"2\")", "a, err = strconv.Atoi(\"1\")\nb, err = strconv.Atoi(\"2\")", "a int; b int; err error", ""},
		{"of itself", []string{"x := 1"}, "x := x + 1", "x = x + 1", "x int", "x"},
		{"of another type", []string{"x := 1"}, "x := fmt.Sprint(x)\nx", "x = fmt.Sprint(was_x)\nshow.Show(x)", "was_x int; x string", "x as it was"},
		{"of another type, not looked at", []string{"x := 1"}, "x := \"a\"", "x = \"a\"", "x string", ""},
		{"function of a variable", []string{"x := 1", "func f() int { return x }"}, "f()", "show.Show(f())", "x int", "x"},
		{"function of a variable made anew", []string{"x := 1\nfunc f() int { return x }"}, "y := f()\nx := 5", "y = f()\nx = 5", "x int; y int", "x"},
		{"function before its variable", nil, "func f() int { return x }\nx := 1\nf()", "x = 1\nshow.Show(f())", "x int", ""},
		{"a local of the name", []string{"x := 1"}, "func f(x int) int { return x }\nf(2)", "show.Show(f(2))", "", ""},
		{"a field of the name", []string{"X := 1"}, "type T struct{ X int }\nT{X: 3}.X", "show.Show(T{X: 3}.X)", "", ""},
		{"a key that is a variable", []string{"x := 1"}, "map[int]string{x: \"a\"}", "show.Show(map[int]string{x: \"a\"})", "x int", "x"},
		{"a package of the name", []string{"x := 1", "fuel := 3"}, "fuel + 1", "show.Show(fuel + 1)", "fuel int", "fuel"},
		{"a variable named as its package", nil, "fuel := fuel.Names()\nfuel[0]", "fuel = fuel.Names()\nshow.Show(fuel[0])", "fuel []string", ""},
		{"a time named time", []string{"time := time.Now()"}, "time.Year()", "show.Show(time.Year())", "time time.Time", "time"},
		{"places told to the compiler", nil, "//line a.go:5\nx := 1 /*line b:3*/", "x = 1", "x int", ""},
		{"a name of display", []string{"func Open(s string) string { return s }"}, "Open(\"x\")", "show.Show(Open(\"x\"))", "", ""},
		{"loops and branches", []string{"l := []int{1}"}, "for i, v := range l {\n\tif v := v + i; v > 1 {\n\t\tl = append(l, v)\n\t}\n}", "for i, v := range l {\nif v := v + i; v > 1 {\nl = append(l, v)\n}\n}", "l []int", "l"},
		{"closure", nil, "k := 2\nf := func(x int) int { return k * x }\nf(1)", "k = 2\nf = func(x int) int { return k * x }\nshow.Show(f(1))", "f func(x int) int; k int", ""},
		{"type of a package without a name", nil, "h := sha256.New()", "h = sha256.New()", "h hash.Hash", ""},
		{"type that has no name", nil, "c, n := hidden()\nfunc hidden() (struct{ a int }, int) { return struct{ a int }{1}, 2 }\nn", "c, n = hidden()\nshow.Show(n)", "c struct{a int}; n int", ""},
		{"generic", nil, "type Pair[A, B any] struct {\n\tL A\n\tR B\n}\nfunc Make[A, B any](a A, b B) Pair[A, B] { return Pair[A, B]{a, b} }\np := Make(1, time.Second)", "p = Make(1, time.Second)", "p Pair[int, time.Duration]", ""},
		{"old style", []string{"x := 1"}, "%%\ny := x\nfmt.Println(y)", "main()", "x int", "x"},
		{"own main", nil, "func main() {\n\tprintln(1)\n}", "main()", "", ""},
		{"called", []string{"func f() {}"}, "%exec f", "f()", "", ""},
		{"flags", nil, "n := flag.Int(\"n\", 1, \"\")", "flag.Parse()\nn = flag.Int(\"n\", 1, \"\")", "n *int", ""},
		{"init", nil, "func init() { println(1) }", "init1()", "", ""},
		{"early return", []string{"x := 1"}, "if x > 0 {\n\treturn\n}", "if x > 0 {\nreturn\n}", "x int", "x"},
		{"label", nil, "n := 0\nL:\n\tfor {\n\t\tn++\n\t\tbreak L\n\t}", "n = 0\nL:\nfor {\nn++\nbreak L\n}", "n int", ""},
		{"semicolons", nil, "a := 1; b := 2; a + b", "a = 1\nb = 2\nshow.Show(a + b)", "a int; b int", ""},
		{"defer", nil, "defer println(1)\nprintln(2)", "defer println(1)\nprintln(2)", "", ""},
		{"receive", nil, "c := make(chan int, 1)\nc <- 1\nv, ok := <-c\n<-c", "c = make(chan int, 1)\nc <- 1\nv, ok = <-c\nshow.Show(<-c)", "c chan int; ok bool; v int", ""},
		{"comments", nil, "// One.\nx := 1 // two\n/* three */ x", "x = 1\nshow.Show(x)", "x int", ""},
		{"windows lines", nil, "x := 1\r\nx\r\n", "x = 1\nshow.Show(x)", "x int", ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := newPlayer(t)
			for _, code := range tt.before {
				p.run(code)
			}
			pr, err := p.rewrite(tt.cell)
			if err != nil {
				t.Fatal(err)
			}
			if got := p.body(); got != tt.body {
				t.Errorf("it does\n%s\nwant\n%s", got, tt.body)
			}
			if got := p.declared(); got != tt.declared {
				t.Errorf("it declares %s, want %s", got, tt.declared)
			}
			if got := p.loaded(); got != tt.loaded {
				t.Errorf("it loads %s, want %s", got, tt.loaded)
			}
			if !strings.HasSuffix(pr.Code, "func main() { railbook_run() }") {
				t.Errorf("the kernel gets %q", pr.Code)
			}
			p.commit(pr)
		})
	}
}

func TestImportsAreFound(t *testing.T) {
	for _, tt := range []struct{ name, before, cell, want string }{
		{"none", "", "x := 1", `railbook_keep "example.com/railbook/kernel/cell/keep"`},
		{"standard", "", "println(strings.ToUpper(\"a\"))", `strings "strings"`},
		{"project first", "", "println(fuel.Names())\nprintln(quantity.PSI)", "railbook_keep \"example.com/railbook/kernel/cell/keep\"\nfuel \"example.com/railbook/sizing/fuel\"\nquantity \"example.com/railbook/sizing/quantity\""},
		{"pinned module", "", "println(stat.Mean(nil, nil))", `stat "gonum.org/v1/gonum/stat"`},
		{"several of a name", "", "println(rand.IntN(3))", `rand "math/rand/v2"`},
		{"told by what is selected", "", "println(rand.Intn(3))", `rand "math/rand"`},
		{"asked for", "import \"crypto/rand\"", "println(rand.Text())", `rand "crypto/rand"`},
		{"under another name", "import s \"strings\"", "println(s.ToUpper(\"a\"))", `s "strings"`},
		{"not used", "import \"strings\"", "println(1)", ""},
		{"for its effect", "import _ \"image/png\"", "println(1)", `_ "image/png"`},
		{"with a dot", "import . \"strings\"", "println(ToUpper(\"a\"))", `railbook_strings "strings"`},
		{"name of a function", "func strings() int { return 1 }", "println(strings())", ""},
		{"two ways to the kernel", "", "Show(1)\n2", "railbook_keep \"example.com/railbook/kernel/cell/keep\"\nrailbook_show \"example.com/railbook/kernel/cell/show\"\nrailbook_display \"example.com/railbook/kernel/display\"\n_ \"example.com/railbook/kernel/cell/show/shared\""},
		{"two of one name", "import \"crypto/rand\"\nfunc key() string { return rand.Text() }", "import \"math/rand\"\nprintln(key(), rand.Intn(3))", "rand \"crypto/rand\"\nrailbook_rand \"math/rand\""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := newPlayer(t)
			if tt.before != "" {
				p.run(tt.before)
			}
			p.run(tt.cell)
			if got := p.imports(); got != tt.want {
				t.Errorf("got\n%s\nwant\n%s", got, tt.want)
			}
		})
	}
}

// Only what a cell leads to is in its program, and has to be right.
func TestWhatIsNotUsedIsLeftOut(t *testing.T) {
	p := newPlayer(t)
	p.run("x := 1\ny := 2\nfunc usesX() int { return x }\nfunc usesY() int { return y }\ntype T struct{ a int }\nfunc (t T) M() int { return t.a + usesY() }\nconst c = 3")
	p.run("usesX()")
	for _, name := range []string{"usesY", "type T", "const c", "M()"} {
		if strings.Contains(p.program, name) {
			t.Errorf("the program has %s in it", name)
		}
	}
	p.run("T{}")
	if got := p.loaded(); !strings.Contains(p.program, "M()") || got != "y" {
		t.Errorf("the methods of a type belong to it; it loads %s", got)
	}
	p.run("x := \"now a text\"") // usesX does not fit any more
	p.run("usesY()")
	_, err := p.s.Rewrite("usesX()")
	e, ok := err.(*Error)
	if !ok || e.At.Cell != 1 || e.At.Line != 3 || !strings.Contains(e.Value, "x is of type string, but int is wanted") {
		t.Errorf("got %v", err)
	}
}

func TestVariablesThatAreNotCarried(t *testing.T) {
	p := newPlayer(t)
	p.lost["f"] = "a function"
	p.run("k := 2\nn, f := 1, func() int { return k }")
	p.run("f()")
	if got, want := p.body(), "_, f = 1, func() int { return k }\nshow.Show(f())"; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if got := p.loaded(); got != "k" {
		t.Errorf("it loads %s, want k", got)
	}
	p.lost["a"], p.lost["b"] = "a channel", "a channel"
	p.run("a := make(chan int, n)\nb := a")
	pr := p.run("len(b)")
	if got, want := p.body(), "a = make(chan int, n)\nb = a\nshow.Show(len(b))"; got != want || len(pr.say) > 0 {
		t.Errorf("got\n%s\n%q\nwant\n%s", got, pr.say, want)
	}
	p.run("b <- 1")
	if pr := p.run("len(b)"); len(pr.say) != 1 || pr.say[0] != "b is made anew by cell 3, line 2, as it holds a channel; what has been changed since is lost" {
		t.Errorf("it says %q", pr.say)
	}
	if pr := p.run("len(b)"); len(pr.say) != 0 {
		t.Errorf("it says again %q", pr.say)
	}
}

func TestVariablesComeWithWhatTheyNeed(t *testing.T) {
	p := newPlayer(t)
	p.vars["p"] = []string{"x"}
	p.types["v"] = []string{"«time».Duration", "T", "*«errors».errorString"}
	p.run("type T struct{}\nx := 1\np := &x\nvar v any")
	p.run("p")
	if got := p.loaded(); got != "p x" {
		t.Errorf("it loads %s, want p and x", got)
	}
	p.run("v")
	for _, want := range []string{"Types: []any{(*T)(nil), (*time.Duration)(nil)}", `Samples: []any{errors.New("")}`, "type T struct{}"} {
		if !strings.Contains(p.program, want) {
			t.Errorf("the program lacks %s:\n%s", want, p.program)
		}
	}
}

func TestTypesDeclaredAnew(t *testing.T) {
	p := newPlayer(t)
	p.run("const n = 2\ntype A [n]int\ntype B struct{ a []A }\nvar a A\nvar b map[string]*B\nc := 1")
	if pr := p.run("type A [n]int // as it was\nconst n = 2\na"); len(pr.say) > 0 || p.loaded() != "a" {
		t.Errorf("nothing has changed, but it says %q and loads %s", pr.say, p.loaded())
	}
	pr := p.run("const n = 3\nvar a A\n_ = a")
	want := []string{
		"a is gone: it was of a type A that this cell declares anew",
		"b is gone: it was of a type A that this cell declares anew",
	}
	if fmt.Sprint(pr.say) != fmt.Sprint(want) && len(pr.say) != 2 {
		t.Errorf("it says %q, want %q", pr.say, want)
	}
	if _, err := p.s.Rewrite("b"); err == nil {
		t.Error("b is still there")
	}
	p.run("c")
	_, err := p.s.Rewrite("type B int\nb")
	if e, ok := err.(*Error); !ok || !strings.HasPrefix(e.Value, "b is not defined") {
		t.Errorf("got %v", err)
	}
	p.run("var b B")
	_, err = p.s.Rewrite("type B int\nb")
	if e, ok := err.(*Error); !ok || e.Value != "b is gone, as it was of a type B that this cell declares anew; make it again" {
		t.Errorf("got %v", err)
	}
}

func TestConstantsDeclaredAnew(t *testing.T) {
	p := newPlayer(t)
	p.run("const (\n\ta = iota\n\tb\n\tc\n)")
	p.run("b := \"text\"")
	p.run("c")
	if want := "const (\n\ta = iota\n\t_\n\tc\n)"; !strings.Contains(p.program, want) {
		t.Errorf("got\n%s\nwant it to have\n%s", p.program, want)
	}
}

// A failed cell leaves everything as it was, and so does one that is only asked
// for a value.
func TestNothingIsCommitted(t *testing.T) {
	p := newPlayer(t)
	p.run("x := 1")
	for _, code := range []string{"x := \"a\"\ny := 2\nfunc f() {}", "type T int\nvar z T"} {
		pr, err := p.rewrite(code)
		if err != nil {
			t.Fatal(err)
		}
		pr.Commit(false, 2)
	}
	pr, err := p.s.Evaluate("x + 1")
	if err != nil {
		t.Fatal(err)
	}
	pr.Commit(true, 3)
	if len(p.s.vars) != 1 || len(p.s.units) != 0 || p.s.vars["x"].typ != "int" {
		t.Errorf("the session has %v, %v", p.s.vars, p.s.units)
	}
	if _, err := p.s.Evaluate("x := 1"); err == nil {
		t.Error("a statement is taken for an expression")
	}
}

// Values in interfaces of types that only some place of a program knows.
func TestTypesInInterfaces(t *testing.T) {
	p := newPlayer(t)
	p.types["a"], p.types["b"], p.types["c"] = []string{"*T"}, []string{"[]hidden"}, []string{"struct { X int }", "map[string]*«time».Time"}
	p.run("type T int\nvar a, b, c any")
	if v := p.s.vars["b"]; v.file != "" || v.lost != "a value of a type hidden, which is declared within a function, in an interface" {
		t.Errorf("b: %+v", v)
	}
	if p.s.vars["a"].lost+p.s.vars["c"].lost != "" {
		t.Errorf("a and c: %+v, %+v", p.s.vars["a"], p.s.vars["c"])
	}
	if pr := p.run("type T string"); len(pr.say) != 1 || p.s.vars["a"] != nil || p.s.vars["c"] == nil {
		t.Errorf("T is another type, but it says %q", pr.say)
	}
}

// A cell that only declares something needs no program.
func TestDeclarationsAlone(t *testing.T) {
	p := newPlayer(t)
	p.run("x := 1\nch := 2")
	for code, want := range map[string]string{
		"func f() int { return x }":                    "",
		"import \"fmt\"\ntype T int\nconst c = 1":      "",
		"!ls\nfunc (t T) M() {}":                       "!ls",
		"func init() { x = 2 }":                        "func main() { railbook_run() }",
		"func g() {}\n;":                               "",
		"type U int\nvar u U":                          "func main() { railbook_run() }",
		"// Nothing but a comment.":                    "",
		"%%\n":                                         "%args ",
		"func h() int {\n\tx++\n\treturn x\n}\n// end": "",
	} {
		if code == "!ls\nfunc (t T) M() {}" {
			p.run("type T int")
		}
		pr, err := p.s.Rewrite(code)
		if err != nil {
			t.Fatal(err)
		}
		if pr.Code != want {
			t.Errorf("%q: the kernel gets %q, want %q", code, pr.Code, want)
		}
		p.commit(pr)
	}
	p.run("f() + h()")
	if p.s.vars["x"] == nil || p.loaded() != "x" {
		t.Errorf("it loads %s", p.loaded())
	}
	if pr := p.run("type U string"); len(pr.say) != 1 || pr.Code == "" {
		t.Errorf("u is gone, but it says %q", pr.say)
	}
}

func TestNamesThatBecomeSomethingElse(t *testing.T) {
	p := newPlayer(t)
	p.run("type T int\nvar v T\nw := 1")
	if pr := p.run("T := 3\nT"); len(pr.say) != 1 || p.s.vars["v"] != nil || p.s.vars["w"] == nil {
		t.Errorf("T is no type any more, but it says %q", pr.say)
	}
	p.run("type U int\nvar u U")
	p.run("%rm U")
	if p.s.vars["u"] != nil {
		t.Error("u is of a type that is gone")
	}
	p.run("func w() int { return 1 }\nw()")
	p.run("w := 2\nw")
	if p.s.units["w"] != nil || p.s.vars["w"] == nil {
		t.Error("w is still a function")
	}
	p.lost["ch"] = "a channel"
	p.run("ch := make(chan int)\nfunc use() int { return len(ch) }\nuse()")
	p.run("ch := make(chan int)\nuse()")
	if got, want := p.body(), "ch = make(chan int)\nshow.Show(use())"; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestReservedNames(t *testing.T) {
	p := newPlayer(t)
	for _, code := range []string{"railbook_x := 1", "func railbook_run() {}", "const a, railbook_b = 1, 2"} {
		_, err := p.s.Rewrite(code)
		if e, ok := err.(*Error); !ok || e.Value != "names that begin with railbook_ are the notebook's own; choose another" {
			t.Errorf("%s: got %v", code, err)
		}
	}
}
