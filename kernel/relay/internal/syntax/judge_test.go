package syntax

import (
	"strings"
	"testing"
)

func TestJudge(t *testing.T) {
	for _, tt := range []struct {
		name, cell string
		want       Status
		indent     string
	}{
		{"nothing", "", Complete, ""},
		{"blank", " \n\n", Complete, ""},
		{"expression", "fuel.E85", Complete, ""},
		{"call", "fmt.Println(1)", Complete, ""},
		{"assignment", "x := 1", Complete, ""},
		{"two statements", "x := 1\nx++", Complete, ""},
		{"comment", "// nothing but this", Complete, ""},
		{"declarations", "type T struct{ A int }\n\nconst c = 1\nvar v T", Complete, ""},
		{"function", "func f(x int) int {\n\treturn x\n}", Complete, ""},
		{"method", "func (t T) f() {\n}\n", Complete, ""},
		{"imports", "import \"fmt\"\nimport (\n\t\"math\"\n)", Complete, ""},
		{"all mixed", "import \"fmt\"\nx := 1\nfunc f() int {\n\treturn 1\n}\nfor range x {\n\tfmt.Println(f())\n}\nx", Complete, ""},
		{"function value called", "func() {\n\tx := 1\n\t_ = x\n}()", Complete, ""},
		{"function value kept", "f := func(x int) int {\n\treturn x\n}", Complete, ""},
		{"generic function", "func f[T any](x T) T { return x }\nf(1)", Complete, ""},
		{"one line", "func f() {}; f()", Complete, ""},
		{"raw string", "x := `a\n{b`", Complete, ""},
		{"string with a bracket", `x := "("`, Complete, ""},
		{"return", "return", Complete, ""},
		{"variadic", "f(x...)", Complete, ""},
		{"select", "select {}", Complete, ""},

		{"open function", "func f() {", Incomplete, "\t"},
		{"open function, a line later", "func f() {\n\tx := 1", Incomplete, "\t"},
		{"two deep", "for {\n\tif x {", Incomplete, "\t\t"},
		{"open call", "fmt.Println(1,", Incomplete, "\t"},
		{"open literal", "x := []int{1, 2,\n3,", Incomplete, "\t"},
		{"open index", "x[", Incomplete, "\t"},
		{"closed and open", "func f() {\n}\nfunc g() {", Incomplete, "\t"},
		{"else", "if x {\n} else {", Incomplete, "\t"},
		{"open raw string", "x := `a\nb", Incomplete, ""},
		{"open comment", "/* a\nb", Incomplete, ""},
		{"open string", `fmt.Println("a`, Incomplete, ""},
		{"operator", "x := 1 +", Incomplete, "\t"},
		{"operator, then a line", "x := 1 +\n", Incomplete, "\t"},
		{"dot", "fuel.", Incomplete, "\t"},
		{"comma", "x, y :=\n", Incomplete, "\t"},
		{"keyword", "var", Incomplete, "\t"},
		{"func", "func", Incomplete, "\t"},

		{"closing bracket too many", "x)", Invalid, ""},
		{"brackets crossed", "f(x]", Invalid, ""},
		{"string that ends with its line", "x := \"a\ny := 2", Invalid, ""},
		{"no such character", "x := 'ab'", Invalid, ""},
		{"two names", "x y", Invalid, ""},
		{"statement in a declaration", "func f() { x y }", Invalid, ""},
		{"prose", "what is the flow of a pump?", Invalid, ""},

		{"command", "%env A=1", Complete, ""},
		{"command with a bracket", "%args (", Complete, ""},
		{"shell", "!ls -l (", Complete, ""},
		{"in the temporary folder", "!*go mod tidy", Complete, ""},
		{"as a comment", "//gonb:%args (", Complete, ""},
		{"over two lines", "!ls \\\n  -l (", Complete, ""},
		{"open over two lines", "!ls \\", Incomplete, ""},
		{"main", "%%", Complete, ""},
		{"main with statements", "%%\nx := 1\nfmt.Println(x)", Complete, ""},
		{"main with an open loop", "%%\nfor {", Incomplete, "\t"},
		{"main with arguments", "%main -v {\nx := 1", Complete, ""},
		{"commands and Go", "%noautoget\nfunc f() {\n}\n!ls (\n", Complete, ""},
		{"another language", "%%bash\nfor i in 1 2; do (", Complete, ""},
		{"a file", "%%writefile x.txt\n{ \"", Complete, ""},
		{"command of a longer name", "%%bashful\nfor {", Incomplete, "\t"},
		{"remainder in a raw string", "x := `\n% {`", Complete, ""},
		{"percent in a raw string, open", "x := `\n% {", Incomplete, ""},
		{"apostrophe in a command", "!echo it's\nx := `\n%`", Complete, ""},
		{"negation is no shell", "x := true &&\n  !y", Complete, ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			status, indent := Judge(tt.cell)
			if status != tt.want || indent != tt.indent {
				t.Errorf("%q: got %s with %q, want %s with %q", tt.cell, status, indent, tt.want, tt.indent)
			}
		})
	}
}

// TestBeginnings checks that no beginning of a good cell, line by line, counts
// as invalid: a console would run it.
func TestBeginnings(t *testing.T) {
	const cell = `%noautoget
import "fmt"

type T struct {
	A int // {
}

func (t T) f(
	x int,
) (int, error) {
	switch x {
	case 1:
		return t.A +
			1, nil
	}
	s := ` + "`raw (\n%`" + `
	/* a comment (
	over lines */
	return len(s), fmt.Errorf("no %q", []int{
		1,
	})
}

v, err := T{}.f(1)
if err != nil {
	fmt.Println(err)
} else {
	fmt.Println(v)
}`
	lines := strings.SplitAfter(cell, "\n")
	for i := range lines {
		head := strings.Join(lines[:i+1], "")
		if status, _ := Judge(head); status == Invalid {
			t.Errorf("after line %d, %q: %s", i+1, lines[i], status)
		}
	}
	if status, _ := Judge(cell); status != Complete {
		t.Errorf("the whole is %s", status)
	}
}

func FuzzJudge(f *testing.F) {
	for _, cell := range []string{"", "%%\nx", "func f(", "`", "!a\\", "//gonb:%", "func (", "/*", "\"\\", "import \"", "func;func"} {
		f.Add(cell)
	}
	f.Fuzz(func(t *testing.T, cell string) {
		status, indent := Judge(cell)
		if status != Complete && status != Incomplete && status != Invalid {
			t.Errorf("%q is %q", cell, status)
		}
		if status != Incomplete && indent != "" {
			t.Errorf("%q is %s, but wants an indent", cell, status)
		}
	})
}
