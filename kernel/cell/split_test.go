package cell

import (
	"os"
	"strings"
	"testing"
)

func readFile(t testing.TB, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestSplit(t *testing.T) {
	kinds := map[itemKind]string{
		statementItem: "stmt", importItem: "import", funcItem: "func", typeItem: "type", constItem: "const", varItem: "var",
		packageItem: "package", emptyItem: "empty",
	}
	for _, tt := range []struct{ name, text, want string }{
		{"nothing", "", ""},
		{"comment", "// x\n/* y */", ""},
		{"statement", "x := 1", "stmt(x := 1)"},
		{"two on a line", "x := 1; y", "stmt(x := 1) stmt(y)"},
		{"every kind", "package p\nimport \"fmt\"\ntype T int\nconst c = 1\nvar v int\nfunc f() {}\nf()",
			`package(package p) import(import "fmt") type(type T int) const(const c = 1) var(var v int) func(func f() {}) stmt(f())`},
		{"groups", "import (\n\"a\"\n)\nvar (\na = 1\n)", "import(import (\n\"a\"\n)) var(var (\na = 1\n))"},
		{"method", "func (t *T[A]) M(a int) {}", "func(func (t *T[A]) M(a int) {})"},
		{"method without a name", "func (T) M() {}", "func(func (T) M() {})"},
		{"generic function", "func f[T any](t T) {}", "func(func f[T any](t T) {})"},
		{"function literal", "func() {}()", "stmt(func() {}())"},
		{"function literal with a result", "func(a int) int { return a }(1)", "stmt(func(a int) int { return a }(1))"},
		{"function literal with results", "func(a int) (int, error) { return a, nil }(1)", "stmt(func(a int) (int, error) { return a, nil }(1))"},
		{"function literal of a package's type", "func() p.T { return p.T{} }()", "stmt(func() p.T { return p.T{} }())"},
		{"if and else", "if a {\n} else if b {\n} else {\n}\nc", "stmt(if a {\n} else if b {\n} else {\n}) stmt(c)"},
		{"chain over lines", "a.\n\tb().\n\tc()", "stmt(a.\n\tb().\n\tc())"},
		{"operators over lines", "a +\n\tb", "stmt(a +\n\tb)"},
		{"label", "L:\nfor {\n}", "stmt(L:\nfor {\n})"},
		{"raw string", "x := `a\n}\n`\ny", "stmt(x := `a\n}\n`) stmt(y)"},
		{"comment behind", "x // }\ny /* { */", "stmt(x // }) stmt(y /* { */)"},
		{"semicolons alone", ";;x;", "empty(;) empty(;) stmt(x)"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			items, bad := split(tt.text)
			if bad != nil {
				t.Fatal(bad.message)
			}
			var list []string
			for _, it := range items {
				list = append(list, kinds[it.kind]+"("+tt.text[it.from:it.to]+")")
			}
			if got := strings.Join(list, " "); got != tt.want {
				t.Errorf("got\n%s\nwant\n%s", got, tt.want)
			}
		})
	}
}

func TestFreeNames(t *testing.T) {
	for _, tt := range []struct{ name, code, want, moves string }{
		{"plain", "f(a, b.c, d[e])", "f a b.c d e", ""},
		{"local", "if a := b; a > c {\n\tvar d = a\n\t_ = d\n}", "b c", ""},
		{"own right side", "for x := x; x > 0; x-- {\n}", "x", ""},
		{"range", "for i, v := range list {\n\tuse(i, v)\n}", "list use", ""},
		{"range into variables", "for i, v = range list {\n}", "list i v", "i v"},
		{"literal", "func(a int) (b T) { return a + b + c }(d)", "int T c d", ""},
		{"parameters in a type", "var f func(a A) (b B)\nf(a)", "A B f a", ""},
		{"composite", "_ = T{f: a, \"k\": b}\n_ = U{{c}}", "T f? a b U c", ""},
		{"struct type", "var s struct {\n\ta A\n\tB\n\tc.D\n}\ns.a = e", "A B c.D s.a e", "s"},
		{"interface type", "var i interface {\n\tM(a A) B\n\tC\n}\n_ = i", "A B C i", ""},
		{"switch", "switch x := a.(type) {\ncase T:\n\tuse(x)\n}", "a T use", ""},
		{"select", "select {\ncase v, ok := <-c:\n\tuse(v, ok)\ncase d <- e:\n}", "c use d e", "d"},
		{"labels", "L:\n\tfor {\n\t\tbreak L\n\t}", "", ""},
		{"generic call", "f[T, U](a)", "f T U a", ""},
		{"local type", "{\n\ttype T struct{ a *T }\n\tvar t T\n\tuse(t)\n}", "use", ""},
		{"changes", "a = 1\nb.c[0]++\n*d = 2\n(e) += 1\nuse(&f)\nh <- 1\nclear(i)\ndelete(j, 1)\nk = append(l, 1)",
			"a b.c d e use f h clear i delete j k append l", "a b d e f h i j k l"},
		{"change of a local", "{\n\ta := 1\n\ta++\n}", "", ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			src := &source{code: tt.code, text: tt.code}
			p, bad := parse(src, special{text: tt.code})
			if bad != nil {
				t.Fatal(bad.message)
			}
			var names, moves []string
			for _, st := range p.statements {
				for _, r := range st.refs {
					name := r.name
					if r.sel != "" {
						name += "." + r.sel
					}
					if r.key {
						name += "?"
					}
					if tt.code[r.at:r.at+len(r.name)] != r.name {
						t.Errorf("%s is not at %d", r.name, r.at)
					}
					names = append(names, name)
				}
				moves = append(moves, st.moves...)
			}
			if got := strings.Join(names, " "); got != tt.want {
				t.Errorf("got names %s, want %s", got, tt.want)
			}
			if got := strings.Join(moves, " "); got != tt.moves {
				t.Errorf("got changes of %s, want %s", got, tt.moves)
			}
		})
	}
}
