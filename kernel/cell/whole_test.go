//go:build unix

package cell

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"example.com/railbook/kernel/cellio"
	"example.com/railbook/kernel/launch"
	"example.com/railbook/kernel/wire"
)

// notebook runs cells on the real cell kernel.
type notebook struct {
	t       *testing.T
	session *Session
	kernel  *launch.Kernel
	dir     string // where cells are at home
	count   int
}

// outcome is what became of a cell.
type outcome struct {
	stdout, stderr string
	shown          []map[string]string // displays by MIME type
	err            *Error
	remark         string
	took           time.Duration
}

func openNotebook(t *testing.T) *notebook { return openNotebookWith(t, launch.Options{}) }

func openNotebookWith(t *testing.T, o launch.Options) *notebook {
	t.Helper()
	if testing.Short() {
		t.Skip("it starts the cell kernel")
	}
	m, err := launch.FindModule(".")
	if err != nil {
		t.Fatal(err)
	}
	tools, err := m.Build(t.Context(), func(line string) { t.Log(line) })
	if err != nil {
		t.Fatal(err)
	}
	n := &notebook{t: t, dir: t.TempDir()}
	o.Dir = n.dir
	if n.kernel, err = launch.Start(t.Context(), m, tools, o); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := n.kernel.Close(); err != nil {
			t.Error(err)
		}
	})
	if n.session, err = New(Options{Folder: t.TempDir(), Root: m.Root}); err != nil {
		t.Fatal(err)
	}
	n.reset()
	return n
}

// reset begins anew with the kernel there is.
func (n *notebook) reset() {
	n.t.Helper()
	setup, err := n.session.Reset()
	if err != nil {
		n.t.Fatal(err)
	}
	if out := n.execute(setup); out.stderr != "" || out.err != nil {
		n.t.Fatalf("setup: %+v", out)
	}
}

var exitLine = regexp.MustCompile(`^(exit status \d+|signal: .+)\n$`)

// execute has the kernel run code; err holds its words for want of a session.
func (n *notebook) execute(code string) (out outcome) {
	out, failure := n.send(code)
	if failure != (Failure{}) {
		out.err = &Error{Value: failure.Words + failure.Status}
	}
	return out
}

func (n *notebook) send(code string) (out outcome, f Failure) {
	n.t.Helper()
	ctx, cancel := context.WithTimeout(n.t.Context(), 3*time.Minute)
	defer cancel()
	var id, last string
	start := time.Now()
	handle := func(m *wire.Message) {
		if m.Parent.ID != id {
			return
		}
		var c struct {
			Name, Text string
			Data       map[string]json.RawMessage
		}
		if m.Decode(&c) != nil {
			return
		}
		write := func(stream, text string) {
			if stream == "stdout" {
				out.stdout += text
			} else {
				out.stderr += text
			}
		}
		switch m.Header.Type {
		case "stream":
			last = c.Text
			write(c.Name, c.Text)
		case "display_data", "execute_result":
			e, ok, err := cellio.Decode(c.Data)
			if err != nil {
				n.t.Error(err)
			}
			if ok {
				if e.Exit == nil {
					write(e.Stream, e.Text)
				} else if !e.Exit.OK() {
					last = e.Exit.String() + "\n"
					out.stderr += last
				}
				return
			}
			shown := map[string]string{}
			for mime, raw := range c.Data {
				text := "…" // no text
				json.Unmarshal(raw, &text)
				shown[mime] = text
			}
			out.shown = append(out.shown, shown)
		}
	}
	reply, err := n.kernel.Client().Execute(ctx, wire.NewRequest(code, false), func(s string) { id = s }, handle)
	if err != nil {
		n.t.Fatal(err)
	}
	out.took = time.Since(start)
	n.kernel.Client().Linger(ctx, 100*time.Millisecond, handle)
	if reply.Status != "ok" {
		f.Words = reply.EValue
	}
	if exitLine.MatchString(last) {
		f.Status = strings.TrimSpace(last)
		out.stderr = strings.TrimSuffix(out.stderr, last)
		if i := strings.Index(out.stderr, "panic: "); i >= 0 && strings.Contains(out.stderr, "\ngoroutine ") {
			f.Trace, out.stderr = out.stderr[i:], out.stderr[:i]
		} else if i := strings.Index(out.stderr, "fatal error: "); i >= 0 && strings.Contains(out.stderr, "\ngoroutine ") {
			f.Trace, out.stderr = out.stderr[i:], out.stderr[:i]
		}
		f.Stderr = out.stderr
	}
	return out, f
}

// run runs a cell as a front end would.
func (n *notebook) run(code string) (out outcome) {
	n.t.Helper()
	n.count++
	p, err := n.session.Rewrite(code)
	if err != nil {
		e, ok := err.(*Error)
		if !ok {
			n.t.Fatal(err)
		}
		return outcome{err: e}
	}
	out, failure := n.send(p.Code)
	if failure != (Failure{}) {
		if out.err = p.Explain(failure); out.err == nil {
			out.err = &Error{Value: failure.Words + failure.Status}
		}
	}
	out.remark = p.Commit(failure == (Failure{}), n.count)
	return out
}

// value runs a cell that has to go well and returns the text of what it shows, or
// else what it prints.
func (n *notebook) value(code string) string {
	n.t.Helper()
	out := n.run(code)
	if out.err != nil {
		n.t.Fatalf("cell\n%s\nfailed:\n%s", code, strings.Join(out.err.Traceback(), "\n"))
	}
	if out.remark != "" {
		n.t.Fatalf("cell\n%s\nremark: %s", code, out.remark)
	}
	var text string
	for _, s := range out.shown {
		text += s["text/plain"] + "\n"
	}
	return strings.TrimSpace(out.stdout + text)
}

func (n *notebook) want(code, want string) {
	n.t.Helper()
	if got := n.value(code); got != want {
		n.t.Errorf("cell\n%s\ngave %q, want %q", code, got, want)
	}
}

func TestNotebookOfThirtyCells(t *testing.T) {
	n := openNotebook(t)
	if err := os.WriteFile(filepath.Join(n.dir, "count.txt"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	n.want("x := 1", "")
	n.want("x++", "")
	n.want("x", "2")
	// A slow or random initialiser runs once.
	n.want("slow := func() int {\n\tf, _ := os.OpenFile(\"count.txt\", os.O_APPEND|os.O_WRONLY, 0)\n\tf.WriteString(\"!\")\n\treturn rand.IntN(1_000_000_000)\n}()", "")
	first := n.value("slow")
	n.want("slow", first)
	n.want("y := slow + x\ny - slow", "2")
	if data, _ := os.ReadFile(filepath.Join(n.dir, "count.txt")); string(data) != "!" {
		t.Errorf("the initialiser ran %d times", len(data))
	}
	// Functions, types with methods, and constants live on.
	n.want("type Engine struct {\n\tName string\n\tBoost float64\n}\n\nfunc (e *Engine) Turn(up float64) { e.Boost += up }\n\nconst bar = 14.504", "")
	n.want("e := &Engine{Name: \"six\"}\nf := e", "")
	n.want("e.Turn(2 * bar)", "")
	n.want("f.Boost", "29.008")
	n.want("e", `&Engine{Name: "six", Boost: 29.008}`)
	// Maps, slices and what they share.
	n.want("list := []int{1, 2, 3}\nhead := list[:2]\nm := map[string][]int{\"all\": list}", "")
	n.want("head[0] = 10\nhead = append(head, 30)\nm[\"more\"] = head", "")
	n.want("fmt.Println(list, m)", "[10 2 30] map[all:[10 2 30] more:[10 2 30]]")
	// Variables, functions that use them, and closures.
	n.want("var total float64\nfunc add(v float64) { total += v }\nfor i := range 4 {\n\tadd(float64(i))\n}\ntotal", "6")
	n.want("add(4)\ntotal", "10")
	n.want("k := 3\ntimes := func(v int) int { return k * v }", "")
	n.want("times(5)", "15")
	n.want("k = 4\ntimes(5)", "20")
	// Redefinition, of the value and of the type.
	n.want("x := 10\nx", "10")
	n.want("x := fmt.Sprint(x + 1)\nx", `"11"`)
	n.want("var x []string\nlen(x)", "0")
	n.want("func add(v float64) { total -= v }\nadd(1)\ntotal", "9")
	// Errors are values.
	n.want("_, err := strconv.Atoi(\"seven\")\nerr", `error: strconv.Atoi: parsing "seven": invalid syntax`)
	n.want("errors.Is(err, strconv.ErrSyntax)", "true")
	// A cell without a value shows nothing.
	n.want("fmt.Print(\"printed\")", "printed")
	n.want("t0 := time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)\nt0.AddDate(0, 0, 6)", "2026-12-01 00:00:00 +0000 UTC")
	n.want("t0.Year()", "2026")
	n.want("a, b := b2()\nfunc b2() (int, string) { return 1, \"two\" }\n_, _ = a, b\nb2()", "1\n\"two\"")
	n.want("_ = a\nstruct{ A int }{a}", "struct { A int }{A: 1}")
	if n.count < 30 {
		t.Errorf("only %d cells", n.count)
	}
}

// fails runs a cell that has to fail and returns the traceback.
func (n *notebook) fails(code string) string {
	n.t.Helper()
	out := n.run(code)
	if out.err == nil {
		n.t.Fatalf("cell\n%s\nwent well: %+v", code, out)
	}
	return strings.Join(out.err.Traceback(), "\n")
}

func (n *notebook) wantFailure(code, want string) {
	n.t.Helper()
	if got := n.fails(code); !strings.HasPrefix(got, want) {
		n.t.Errorf("cell\n%s\nfails with\n%s\nwant\n%s", code, got, want)
	}
}

func TestNotebookFailures(t *testing.T) {
	n := openNotebook(t)
	n.want("x := 1\nlist := []int{1, 2}\nfunc at(l []int, i int) int {\n\treturn l[i]\n}", "")
	n.wantFailure("x = 2\ny := 5\npanic(\"no fuel\")",
		"panic: no fuel\n  line 3:\n    panic(\"no fuel\")\n    ^\n  the program said:\n    panic: no fuel\n    \n    goroutine 1")
	n.want("x", "1") // the state before the cell stays
	n.wantFailure("y", "compile error: y is not defined\n  line 1:\n    y\n    ^\n")
	n.wantFailure("at(list, 5)",
		"panic: there is no element 5: they count from 0, and there are 2 (index out of range [5] with length 2)\n"+
			"  cell 1, line 4:\n        return l[i]\n                ^\n")
	n.wantFailure("fmt.Println(1)\nvar m map[string]int\nm[\"a\"] = 1", "panic: this map was never made; make it first, as in m := map[string]int{} (assignment to entry in nil map)\n  line 3:\n")
	n.wantFailure("fmt.Println(\"so far\")\nos.Exit(3)", "exit status 3: the program ended with exit status 3\n  line 2:\n    os.Exit(3)\n    ^")
	n.wantFailure("b := Open(\"none.toml\")", "exit status 1: cannot open the build sheet: open none.toml: no such file or directory\n  line 1:\n    b := Open(\"none.toml\")\n    ^")
	n.wantFailure("%%\nfmt.Println(1)\nlog.Fatal(\"no sheet\")", "exit status 1: ")
	n.wantFailure("<-make(chan int)", "fatal error: the program waits for something that will never come (deadlock)")
	n.wantFailure("x := \"a\"\nz := x + 1", "compile error: ")
	// What precedes on special lines is done all the same.
	out := n.run("!echo done\nz := undefined")
	if out.stdout != "done\n" || out.err == nil || out.err.Value != "undefined is not defined" {
		t.Errorf("special line and mistake: %+v", out)
	}
	if n.want("x", "1"); n.session.vars["z"] != nil || n.session.vars["y"] != nil {
		t.Error("variables of failed cells are there")
	}
	// A program that ends early by itself keeps nothing.
	if out := n.run("x = 7\nos.Exit(0)"); out.err != nil || out.remark != "the cell ended early, so that nothing of it is kept" {
		t.Errorf("early end: %+v", out)
	}
	n.want("x", "1")
}

func TestNotebookSpecialLines(t *testing.T) {
	n := openNotebook(t)
	n.want("!echo hello", "hello")
	n.want("!echo one\nx := 2\n!echo \\\n  two\nx", "one\ntwo\n2")
	n.want("%%writefile note.txt\nx := not Go", "")
	if data, err := os.ReadFile(filepath.Join(n.dir, "note.txt")); err != nil || string(data) != "x := not Go\n" {
		t.Errorf("the file holds %q, %v", data, err)
	}
	n.want("%%bash\ncat note.txt", "x := not Go")
	n.want("import \"flag\"\nvar n = flag.Int(\"n\", 1, \"a number\")", "")
	n.want("%args -n=5\n*n", "5")
	n.want("*n", "1")
	n.want("// Old style.\nvar base = 10\nfunc twice(v int) int { return 2 * v }\n%% -n=7\nv := twice(base)\nx = v\nfmt.Println(v, *n)", "20 7")
	n.want("x", "20")
	n.want("import \"fmt\"\n\nfunc main() {\n\tlocal := 3\n\tfmt.Println(local)\n}", "3")
	n.want("func hello() { fmt.Println(\"hello from exec\") }\n%exec hello", "hello from exec")
	n.want("%main\nfmt.Println(os.Args[1:])", "[]")
	if got := n.value("%ls"); !strings.Contains(got, "x int") || !strings.Contains(got, "twice") || !strings.Contains(got, "fmt \"fmt\"") {
		t.Errorf("the list is %q", got)
	}
	n.want("%rm twice nothing", ". removed twice\n. nothing is not defined, so it is not removed")
	n.wantFailure("twice(2)", "compile error: twice is not defined")
	if got := n.value("func TestSum(t *testing.T) {\n\tif base+1 != 11 {\n\t\tt.Error(\"no\")\n\t}\n}\n%test"); !strings.Contains(got, "--- PASS: TestSum") {
		t.Errorf("the test said %q", got)
	}
	n.want("base", "10")
	if out := n.run("%reset"); out.err != nil {
		t.Errorf("reset: %+v", out)
	}
	n.wantFailure("x", "compile error: x is not defined")
	n.want("build := sizing.Build{}\nbuild.Job.Name = \"after a reset\"\nbuild.Job.Name", "\"after a reset\"")
}

// What the project's own types hold survives, or is made anew by its line.
func TestNotebookOfAProject(t *testing.T) {
	n := openNotebook(t)
	for _, name := range []string{"first-build.toml", "logs", "parts"} {
		if err := os.Symlink(filepath.Join(n.session.o.Root, "notebooks", name), filepath.Join(n.dir, name)); err != nil {
			t.Fatal(err)
		}
	}
	n.want("build := Open(\"first-build.toml\")", "")
	n.want("build.Induction.Boost = 26 * quantity.PSI", "")
	n.want("build.Induction.Boost", "179.3 kPa = 26 psi")
	n.want("build.Fuel.Blend", "E70")
	n.want("same, err := fuel.Parse(\"E70\")\nsame == build.Fuel.Blend", "true")
	n.want("assessment := Assess(build)", "")
	out := n.run("assessment")
	if len(out.shown) != 1 || !strings.Contains(out.shown[0]["text/html"], "<table") || !strings.Contains(out.shown[0]["text/plain"], "Margin") {
		t.Errorf("the assessment is shown as %+v, %v", out.shown, out.err)
	}
	out = n.run("build")
	if len(out.shown) != 1 || !strings.Contains(out.shown[0]["text/html"], "<table") {
		t.Errorf("the build is shown as %+v", out.shown)
	}
	n.want("grid := Sweep(build, \"boost = 14..30 psi by 4\", \"ethanol = 0..85 % by 17\")", "")
	for range 2 { // once computed it cannot be carried
		out = n.run("Surface(grid, sweep.Duty)")
		if len(out.shown) != 1 || out.err != nil || out.shown[0]["application/vnd.railbook.figure+json"] == "" && len(out.shown[0]) < 2 {
			t.Errorf("the surface is shown as %+v, %v", out.shown, out.err)
		}
	}
	n.want("duty := sweep.Duty\nduty.Name", "\"injector duty\"")
	n.want("duty.Of(assessment) == sweep.Duty.Of(assessment)", "true")
	n.want("choice := Choose(build, \"parts\", \"43.5, 50 psi\")\nn := len(choice.Best)", "")
	n.want("len(choice.Best) == n && n > 0", "true")
	n.want("pulls := Evidence(build, \"logs/dyno.toml\", \"logs/*.csv\")\nadvice := pulls.Advice()", "")
	n.want("pulls.Advice().Text == advice.Text", "true")
	n.want("doubts := Doubt(InDoubt(build, \"fuel.blend = E60..E78\"))\nstudy := doubts.Study()", "")
	n.want("doubts.Study().Words()[0] == study.Words()[0]", "true")
	n.want("figure := Headroom(assessment)\nfigure.ID", "\"headroom\"")
}

func TestNotebookThatCannotCarry(t *testing.T) {
	n := openNotebook(t)
	n.want("ch := make(chan int, 3)", "")
	n.want("len(ch)", "0")
	out := n.run("ch <- 1\nlen(ch)")
	if out.stderr != "" || len(out.shown) != 1 || out.shown[0]["text/plain"] != "1" {
		t.Errorf("got %+v", out)
	}
	out = n.run("len(ch)")
	want := "ch is made anew by cell 1, line 1, as it holds a channel; what has been changed since is lost\n"
	if out.stderr != want || out.shown[0]["text/plain"] != "0" {
		t.Errorf("got %+v, want %q", out, want)
	}
	if out = n.run("len(ch)"); out.stderr != "" {
		t.Errorf("said again: %q", out.stderr)
	}
	n.want("// A function of one's own.\nscale := 2.0\nf := func(v float64) float64 { return scale * v }\ng := f", "")
	n.want("scale = 3\ng(1)", "3")
	n.want("f = math.Sqrt\nf(16)", "4")
	n.want("var fib func(int) int\nfib = func(n int) int {\n\tif n < 2 {\n\t\treturn n\n\t}\n\treturn fib(n-1) + fib(n-2)\n}", "")
	n.want("fib(10)", "55")
	out = n.run("g(1)")
	if want := "g is made anew by cell 6, line 4, as it holds a function, out of f as it is now\n"; out.stderr != want || out.shown[0]["text/plain"] != "1" {
		t.Errorf("got %+v, want %q", out, want)
	}
	n.want("func more(f func(float64) float64) func(float64) float64 { return func(v float64) float64 { return f(v) + 1 } }\nf = more(f)\nf(16)", "5")
	out = n.run("_ = f")
	if !strings.HasPrefix(out.stderr, "f has no value here: it held a function") {
		t.Errorf("got %+v", out)
	}
	n.want("h := sha256.New()\nio.WriteString(h, \"fuel\")\nhex.EncodeToString(h.Sum(nil))[:8]", `"acbe4bfc"`)
	n.want("hex.EncodeToString(h.Sum(nil))[:8]", `"e3b0c442"`)
	n.want("type T struct{ A int }\nv := T{1}\nw := 2", "")
	n.want("type T struct{ A int } // no change\nv.A", "1")
	out = n.run("type T struct{ A, B int }\nT{1, 2}")
	if want := "v is gone: it was of a type T that this cell declares anew\n"; out.stderr != want || out.err != nil {
		t.Errorf("got %+v, want %q", out, want)
	}
	n.wantFailure("v.A + w", "compile error: v is not defined")
	n.want("w", "2")
	n.want("big := make([]float64, 12_500_000)\nbig[7] = 1\nlen(big)", "12500000")
	n.want("big[7]++\nbig[7]", "2")
	n.want("big[7]", "2")
}

// With the programs of cells reported by events, which keep the order of what
// they print and show, all is the same.
func TestNotebookWithEvents(t *testing.T) {
	n := openNotebookWith(t, launch.Options{Direct: true, Events: true})
	n.want("x := 1\nfmt.Println(\"printed\")", "printed")
	n.want("fmt.Println(\"first\")\nx + 1", "first\n2")
	n.want("Show(3 * quantity.BarDiff)\nx", "300 kPa = 43.51 psi\n1")
	n.wantFailure("x = 2\nos.Exit(4)", "exit status 4: the program ended with exit status 4\n  line 2:\n    os.Exit(4)\n    ^")
	n.wantFailure("x = 3\nvar p *int\n*p = 1", "panic: a pointer here is nil: nothing has been put into it")
	n.want("x", "1")
}

// A kernel that is started anew finds a session that begins anew.
func TestNotebookRestart(t *testing.T) {
	n := openNotebook(t)
	n.want("x := 1", "")
	n.reset()
	n.wantFailure("x", "compile error: x is not defined")
	n.want("x := \"new\"\nx", `"new"`)
	if left := n.session.files(); len(left) != 1 {
		t.Errorf("files of values: %v, want one", left)
	}
}

// files lists the files of values and reports.
func (s *Session) files() []string {
	entries, _ := os.ReadDir(s.o.Folder)
	var list []string
	for _, e := range entries {
		if valueFile(e.Name()) {
			list = append(list, e.Name())
		}
	}
	return list
}
