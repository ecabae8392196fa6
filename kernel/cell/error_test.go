package cell

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What is wrong is said in plain words, on the cell's own line, with a caret below
// the place.
func TestMistakes(t *testing.T) {
	const before = "x := 1\nbuild := sizing.Build{}\nvar gauge quantity.PressureDiff\nvar abs quantity.Pressure\nvar mass quantity.MassFlow\nvar f float64\n" +
		"func two() (int, error) { return 1, nil }\nfunc takes(p quantity.Pressure) {}\nfunc nothing() {}\ntype Shape interface{ Area() float64 }\ntype Square struct{ side float64 }\nfunc (s *Square) Area() float64 { return s.side * s.side }"
	for _, tt := range []struct {
		name, cell string
		line       int
		column     int
		words      string
	}{
		{"undefined", "y := fule.Blend(3)", 1, 6, "fule is not defined; perhaps fuel is meant"},
		{"in a package", "fuel.Prase(\"E70\")", 1, 6, "package fuel has no Prase; perhaps fuel.Parse is meant"},
		{"in the standard library", "fmt.Printn(1)", 1, 5, "package fmt has no Printn; perhaps fmt.Print or fmt.Printf or fmt.Println is meant"},
		{"not exported", "fmt.println(1)", 1, 5, "package fmt has no println; perhaps fmt.Println is meant"},
		{"bare name of another package", "b := Build{}", 1, 6, "Build is not defined; perhaps sizing.Build is meant"},
		{"name of display", "asess(build)", 1, 1, "asess is not defined; perhaps Assess is meant"},
		{"not made yet", "y := later + 1\nlater := 2", 1, 6, "later is not made before this line; it is further down in the cell"},
		{"field", "build.Engin", 1, 7, "a sizing.Build has neither a field nor a method Engin; perhaps Engine is meant"},
		{"field of a field", "build.Boost", 1, 7, "a sizing.Build has neither a field nor a method Boost; perhaps Induction.Boost is meant"},
		{"field of a literal", "sizing.Engine{Cylindres: 6}", 1, 15, "a sizing.Engine has no field Cylindres; perhaps Cylinders is meant"},
		{"gauge for absolute", "takes(gauge)", 1, 7, "gauge is a gauge pressure (a difference of pressures), but an absolute pressure is wanted; its method Above makes the one of the other"},
		{"absolute for gauge", "gauge = abs", 1, 9, "abs is an absolute pressure, but a gauge pressure (a difference of pressures) is wanted; its method Above makes the one of the other"},
		{"bare number for a quantity", "mass = f", 1, 8, "f is a float64 without a unit, but a mass flow is wanted; quantity.Of(f, …) gives it a unit"},
		{"quantity for a number", "f = mass", 1, 5, "mass is a mass flow, but a float64 is wanted; its method In gives the number in a unit"},
		{"quantities mixed", "mass + gauge", 1, 1, "mass + gauge: a mass flow and a gauge pressure (a difference of pressures) do not go together"},
		{"text for a number", "x = \"a\"", 1, 5, `"a" is a string, but an int is wanted`},
		{"numbers mixed", "f * x", 1, 1, "f * x: numbers of type float64 and int are not mixed; turn one into the other, as in int(…)"},
		{"number of another type", "f = x", 1, 5, "x is of type int, but float64 is wanted; write float64(x)"},
		{"one name for two values", "y := two()", 1, 6, "two gives 2 values, but 1 name takes them; if the second is an error, write as in x, err := two(…)"},
		{"no value", "y := nothing()", 1, 6, "nothing() gives no value that could be used"},
		{"too few arguments", "math.Pow(2)", 1, 11, "math.Pow is called with too few arguments: it is given (number) and wants (float64, float64)"},
		{"too many arguments", "math.Sqrt(2, 3)", 1, 14, "math.Sqrt is called with too many arguments: it is given (number, number) and wants (float64)"},
		{"return without value", "func g() int {\n\tif x > 1 {\n\t\treturn 1\n\t}\n}", 5, 1, "the function can come to its end without returning a value"},
		{"value not used", "x + 1\ny := 2", 1, 1, "the value of x + 1 is not used; only a cell's last expression is shown"},
		{"local not used", "for i := range 3 {\n\tn := i\n}", 2, 2, "n is made here and never used; use it or take it out"},
		{"not an interface", "var s Shape = Square{1}", 1, 15, "a Square is no Shape, but a pointer to it is; write &Square{…}"},
		{"lacks a method", "var s Shape = 3", 1, 15, "an int is no Shape: it lacks the method Area"},
		{"made twice", "a := 1\na := 2", 2, 1, "this cell has made all the names on the left before; set them with = instead of :="},
		{"var twice", "var a int\nvar a string", 2, 5, "a is made twice in this cell; set it with = the second time"},
		{"name of a function", "two := two()", 1, 8, "two is a function of cell 1; give the variable another name"},
		{"not a function", "x(1)", 1, 1, "x is no function, so it cannot be called"},
		{"condition", "if x {\n}", 1, 4, "the condition of this if is neither true nor false; compare it with something"},
		{"out of an array", "[2]int{}[5]", 1, 10, "there is no element 5: they count from 0, and there are 2"},
		{"division by zero", "x / 0", 1, 5, "this divides by zero"},
		{"package alone", "fuel", 1, 1, "fuel is a package; say what of it is meant, as in fuel.Name"},
		{"nil alone", "n := nil", 1, 6, "nil alone has no type; say what type is meant, as in var x *sizing.Assessment"},
		{"missing package", "import \"example.com/none\"", 1, 8, "package example.com/none cannot be used: no required module provides package example.com/none"},
		{"bracket", "fmt.Println(1", 1, 12, "this ( is never closed"},
		{"brace", "for {\n\tx++\n", 1, 5, "this { is never closed"},
		{"bracket too many", "x)", 1, 2, "unexpected ), as nothing is open that it could close"},
		{"other bracket", "f(a]", 1, 4, "unexpected ], as the ( of line 1 is still open"},
		{"two statements", "x = 1 y = 2", 1, 7, "y is unexpected here: the statement before it should have ended, or something is missing between them"},
		{"missing value", "x = ", 1, 4, "a value is missing before the end of the cell"},
		{"comma", "f := []int{\n\t1,\n\t2\n}", 3, 3, "the line needs a comma at its end, as the composite literal goes on"},
		{"text not closed", "s := \"abc", 1, 6, "the quotes of this text are never closed"},
		{"single quotes", "s := 'abc'", 1, 6, "single quotes are for one character; a text has double quotes"},
		{"words of another language", "let y = 2", 1, 5, "y is unexpected here: the statement before it should have ended, or something is missing between them"},
		{"else on its own line", "if x > 1 {\n}\nelse {\n}", 3, 1, "else has to stand on the line of the } before it"},
		{"wide characters and tabs", "\tif true {\n\t\tλ := \"ρ\" + missing\n\t}", 2, 16, "missing is not defined"},
		{"on a later line", "// Comment.\n\ny := 1\nz := missing", 4, 6, "missing is not defined"},
		{"in old style", "%%\ny := missing\nfmt.Println(y)", 2, 6, "missing is not defined"},
		{"of a special line", "%exec nobody", 1, 1, "%exec nobody: there is no function of that name"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := newPlayer(t)
			p.run(before)
			pr, err := p.s.Rewrite(tt.cell)
			if err == nil {
				if pr.fail == nil {
					t.Fatal("it is taken for right")
				}
				err = pr.fail
			}
			e, ok := err.(*Error)
			if !ok {
				t.Fatal(err)
			}
			if e.Value != tt.words {
				t.Errorf("got  %s\nwant %s", e.Value, tt.words)
			}
			if e.At.Line != tt.line || e.At.Column != tt.column || e.At.Cell != 0 {
				t.Errorf("at %d:%d, want %d:%d", e.At.Line, e.At.Column, tt.line, tt.column)
			}
			for _, line := range e.Traceback() {
				if strings.Contains(line, prefix) {
					t.Errorf("it shows the program's own names: %s", line)
				}
			}
		})
	}
}

func TestTraceback(t *testing.T) {
	p := newPlayer(t)
	_, err := p.s.Rewrite("a := 1\n\tb := missing + a // °λ\nc := absent")
	want := `compile error: missing is not defined
  line 2:
        b := missing + a // °λ
             ^
also: absent is not defined
  line 3:
    c := absent
         ^
  the compiler said:
    line 2: undefined: missing
    line 3: undefined: absent`
	e, ok := err.(*Error)
	if !ok {
		t.Fatal(err)
	}
	if got := strings.Join(e.Traceback(), "\n"); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// A cell with special lines is run for their sake, and fails with the mistake.
func TestMistakeBesideSpecialLines(t *testing.T) {
	p := newPlayer(t)
	pr, err := p.rewrite("!echo 1\nx := missing\n%args a")
	if err != nil {
		t.Fatal(err)
	}
	if want := "!echo 1\n%args a\nfunc main() { railbook_run() }"; pr.Code != want {
		t.Errorf("the kernel gets %q, want %q", pr.Code, want)
	}
	e := pr.Explain(Failure{Status: "exit status 1"})
	if e == nil || e.Value != "missing is not defined" || e.At.Line != 2 {
		t.Errorf("got %v", e)
	}
	pr.Commit(false, 1)
	if len(p.s.vars) > 0 {
		t.Error("it made a variable")
	}
}

func TestExplain(t *testing.T) {
	p := newPlayer(t)
	p.run("func at(l []int, i int) int {\n\treturn l[i]\n}")
	pr := p.run("// Look.\nl := []int{1}\nfmt.Println(l)\nat(l, 5)")
	line := func(part string) string {
		before, _, ok := strings.Cut(p.program, part)
		if !ok {
			t.Fatalf("%q is not in the program", part)
		}
		return strings.Repeat("x", 0) + itoa(1+strings.Count(before, "\n"))
	}
	file := "/tmp/a b/gonb_0a/" + ProgramFile + ":"
	trace := "panic: runtime error: index out of range [5] with length 1\n\ngoroutine 1 [running]:\n" +
		"main.at({0xc000012345?, 0x1?, 0x1?}, 0x5)\n\t" + file + line("return l[i]") + " +0x1d\n" +
		"main.railbook_cell()\n\t" + file + line("at(l, 5)") + " +0x2d\n" +
		"example.com/railbook/kernel/cell/keep.Run({0x1})\n\t/src/run.go:40 +0x3\n" +
		"main.railbook_run(...)\n\t" + file + "99\nmain.main()\n\t \x1b[7m[[ Cell [9] Line 1 ]]\x1b[0m /tmp/a b/gonb_0a/main.go:5 +0x1\n"
	want := `panic: there is no element 5: they count from 0, and there are 1 (index out of range [5] with length 1)
  cell 1, line 2:
        return l[i]
                ^
  the program said:
    panic: runtime error: index out of range [5] with length 1
    
    goroutine 1 [running]:
    main.at({0xc000012345?, 0x1?, 0x1?}, 0x5)
    	cell 1, line 2
    main.cell()
    	line 4`
	if e := pr.Explain(Failure{Trace: trace, Status: "exit status 2"}); e == nil || strings.Join(e.Traceback(), "\n") != want {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(e.Traceback(), "\n"), want)
	}

	words := "# gonb_0a\n./" + ProgramFile + ":" + line("l = []int{1}") + ":29: declared and not used: railbook_was_y\n\tmore words\nexit status 1"
	want = `compile error: y is made here and never used; use it or take it out
  line 2:
    l := []int{1}
    ^
  the compiler said:
    line 2: declared and not used: y
    	more words`
	words = strings.Replace(words, ":29:", ":"+itoa(1+strings.Index(lineWith(p.program, "l = []int{1}"), "l ="))+":", 1)
	if e := pr.Explain(Failure{Words: words}); e == nil || strings.Join(e.Traceback(), "\n") != want {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(e.Traceback(), "\n"), want)
	}

	// A program that just ends was at some statement.
	step := filepath.Join(p.s.o.Folder, "2-step")
	if err := os.WriteFile(step, []byte("1000001"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		f    Failure
		want string
	}{
		{Failure{Status: "exit status 3"}, "exit status 3: the program ended with exit status 3\n  line 3:"},
		{Failure{Status: "exit status 1", Stderr: "no sheet\n"}, "exit status 1: no sheet\n  line 3:"},
		{Failure{Status: "exit status 1", Stderr: "one\ntwo\n"}, "exit status 1: one\n  line 3:\n    fmt.Println(l)\n    ^\n  the program said:\n    two"},
		{Failure{Status: "signal: killed"}, "signal: killed: the program ended with signal: killed, perhaps for want of memory\n  line 3:"},
		{Failure{Interrupted: true}, "interrupted: the cell was interrupted\n  line 3:"},
		{Failure{Words: "go: cannot do it\nbecause"}, "compile error: go: cannot do it\n  the tools said:\n    because"},
	} {
		if e := pr.Explain(tt.f); e == nil || !strings.HasPrefix(strings.Join(e.Traceback(), "\n"), tt.want) {
			t.Errorf("%+v: got\n%v\nwant\n%s", tt.f, strings.Join(e.Traceback(), "\n"), tt.want)
		}
	}
	if e := pr.Explain(Failure{}); e != nil {
		t.Errorf("nothing is wrong, but got %v", e)
	}
}

func itoa(n int) string {
	if n < 10 {
		return string(rune('0' + n))
	}
	return itoa(n/10) + string(rune('0'+n%10))
}

func lineWith(text, part string) string {
	for line := range strings.Lines(text) {
		if strings.Contains(line, part) {
			return line
		}
	}
	return ""
}

func TestNearest(t *testing.T) {
	names := []string{"Assess", "Assessment", "Open", "Show", "sizing", "string", "fuel", "Fuel", "len"}
	for name, want := range map[string]string{
		"Asess": "Assess", "asess": "Assess", "Opne": "Open", "fule": "fuel", "show": "Show", "q": "", "strnig": "string", "unlike": "",
	} {
		if got := strings.Join(nearest(name, names), " "); got != want {
			t.Errorf("%s: got %q, want %q", name, got, want)
		}
	}
}
