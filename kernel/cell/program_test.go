package cell

import (
	"strings"
	"testing"
)

// The program for completion has the session's names in sight, and every byte of
// the cell in its place, finished or not.
func TestProgram(t *testing.T) {
	p := newPlayer(t)
	p.run("import str \"strings\"\ntype T struct{ A int }\nfunc (t T) M() string { return str.ToUpper(\"a\") }\nbuild := Open(\"x\")\nfunc f() T { return T{} }\nvar when time.Time")
	for _, tt := range []struct {
		name, code string
		want       []string
	}{
		{"statements", "x := build\nx.Eng", []string{"func main() {\nx := build\nx.Eng\n}", ". \"example.com/railbook/kernel/display\"", "var build sizing.Build", "var when time.Time", "type T struct{ A int }", "func (t T) M() string", "str \"strings\""}},
		{"package", "fuel.Bl", []string{"\"example.com/railbook/sizing/fuel\"", "func main() {\nfuel.Bl\n}"}},
		{"nothing after the dot", "fuel.", []string{"\"example.com/railbook/sizing/fuel\"", "fuel.\n}"}},
		{"open bracket", "f(build.", []string{"func main() {\nf(build.\n}"}},
		{"declarations", "import \"os\"\nfunc g() {\n\tos.\n}\ntype U T\nx := g", []string{"import \"os\"\n", "func g() {\n\tos.\n}", "type U T\n"}},
		{"unfinished function", "y := 1\nfunc g() {\n\tfuel.Bl", []string{"func g() {\n\tfuel.Bl"}},
		{"declared anew", "func f() int { return 1 }\ntype T int", []string{"func f() int { return 1 }", "type T int"}},
		{"name of display", "func Open() {}\nOpen()", []string{"import (\n\t"}},
		{"special lines", "!ls fuel.\n%args\nx := λ.y", []string{"x := λ.y"}},
		{"old style", "%%\nx := build.", []string{"x := build."}},
		{"own main", "func main() {\n\tbuild.\n}", []string{"func main() {\n\tbuild.\n}"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			program, offset := p.s.Program(tt.code)
			for _, want := range tt.want {
				if !strings.Contains(program, want) {
					t.Errorf("got\n%s\nwant it to have\n%s", program, want)
				}
			}
			for name, n := range map[string]int{"func f()": 1, "type T ": 1, "func main()": 1} {
				if strings.Count(program, name) > n {
					t.Errorf("%s is there twice:\n%s", name, program)
				}
			}
			special := readSpecial(tt.code)
			for at := range len(tt.code) + 1 {
				out := offset(at)
				switch {
				case at < len(tt.code) && special.text[at] != tt.code[at]:
					if out != -1 {
						t.Errorf("byte %d of a special line is at %d", at, out)
					}
				case out < 0:
					if at < len(tt.code) && tt.code[at] != '\n' {
						t.Errorf("byte %d has no place", at)
					}
				case at < len(tt.code) && out < len(program) && program[out] != tt.code[at] && program[out] != '\n':
					t.Errorf("byte %d, %q, is at %d, where %q stands", at, tt.code[at], out, program[out])
				}
			}
		})
	}
	if program, offset := p.s.Program("%%bash\nls"); program != emptyProgram || offset(3) != -1 {
		t.Errorf("of a cell that is no Go: %q", program)
	}
	if strings.Contains(mustProgram(p.s, "func Open() {}"), ". \"example.com") {
		t.Error("the dot import collides with the cell's own name")
	}
}

func mustProgram(s *Session, code string) string {
	program, _ := s.Program(code)
	return program
}

func TestCompleteness(t *testing.T) {
	for _, tt := range []struct {
		code   string
		status Status
		indent string
	}{
		{"", Complete, ""},
		{"x := 1", Complete, ""},
		{"for {", Incomplete, "\t"},
		{"for {\n\tif x {", Incomplete, "\t\t"},
		{"for {\n\tx++", Incomplete, "\t"},
		{"f(1,", Incomplete, ""},
		{"x :=", Incomplete, ""},
		{"x +", Incomplete, ""},
		{"s := `a", Incomplete, ""},
		{"x)", Invalid, ""},
		{"x = 1 y = 2", Invalid, ""},
		{"%%writefile x\nfor {", Complete, ""},
		{"!ls {", Complete, ""},
	} {
		if status, indent := Completeness(tt.code); status != tt.status || indent != tt.indent {
			t.Errorf("%q: got %s, %q, want %s, %q", tt.code, status, indent, tt.status, tt.indent)
		}
	}
}
