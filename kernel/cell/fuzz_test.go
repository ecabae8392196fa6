package cell

import (
	"errors"
	"go/parser"
	"go/token"
	"strings"
	"testing"
)

// cellsToStartFrom are cells of every kind, right and wrong.
var cellsToStartFrom = []string{
	"", "x := 1", "x := x", "a, b := 1, \"x\"\na", "var x, y = 1, 2", "var (\n\ta int\n\tb = a\n)", "x = 1\nx := \"a\"\nx",
	"func f() int { return x }\nf()", "type T struct{ a int }\nT{a: 1}", "const (\n\ta = iota\n\tb\n)\nb", "import \"fmt\"\nfmt.Println(1)",
	"%%\nx := 1\nfmt.Println(x)", "func main() {\n\tprintln(1)\n}", "!ls\nx := 1", "%exec f\nfunc f() {}", "%test\nfunc TestA(t *testing.T) {}",
	"if x := 1; x > 0 {\n\tprintln(x)\n} else {\n}", "L:\nfor {\n\tbreak L\n}", "switch v := any(1).(type) {\ncase int:\n\t_ = v\n}",
	"m := map[string]int{\"a\": 1}\nm[\"a\"]++", "c := make(chan int, 1)\nc <- 1\n<-c", "x;", ";;", "{", "}", ")", "f(", "`", "\"", "'", "/*", "//", "\x00", "é := 1\né",
	"func (t T) M() {}\ntype T int", "func f[T any](t T) T { return t }\nf(1)", "go func() {}()\ndefer println()", "_ = 1", "_, x := 1, 2",
	"x, _ := 1, 2\nx, y := 3, 4\ny", "return", "goto L\nL:", "fuel.Names()", "Show(1)", "Open", "quantity.PSI", "var _ = 1", "package main\nx := 1",
	"//line a.go:5\nx := 1\ny", "/*line a.go:5:3*/ x := y", "x := 1 // c\n// d", "x\n++", "f := func() { x = 2 }\nf()", "struct{ a int }{1}", "interface{}(nil)",
	"[]int{1,\n2,\n}", "a.b.c", "1 +\n2", "func() {}()", "func init() {}\nfunc init_b() {}", "type A = int\nvar a A", "%rm x\n%ls", "%reset\nx := 1",
	"x := 1\r\ny := 2\r\n", "var x struct{ X int }\nx.X", "map[string]int{x: 1}", "T{x: 1}", "x := func() (int, error) { return 1, nil }\nx()", "railbook_cell := 1",
	"var f = flag.Int(\"a\", 1, \"\")\n*f", "h := sha256.New()", "for i := range 3 {\n\tdefer println(i)\n}", "x.(int)", "<-time.After(0)", "nil", "len(x)", "print",
}

// Rewriting never panics. What comes out is a Go program, and what is Go in a
// function goes through the parser.
func FuzzRewrite(f *testing.F) {
	for _, code := range cellsToStartFrom {
		f.Add(code, "x")
		f.Add("x := 1\ntype T struct{ x int }", code)
	}
	p := newPlayer(f)
	f.Fuzz(func(t *testing.T, first, second string) {
		if len(first)+len(second) > 2000 {
			t.Skip("too long")
		}
		p := &player{t: t, s: p.s, lost: map[string]string{}}
		if _, err := p.s.Reset(); err != nil {
			t.Fatal(err)
		}
		for _, code := range []string{first, second} {
			p.s.Program(code)
			Completeness(code)
			pr, err := p.rewrite(code)
			if err != nil {
				e := (*Error)(nil)
				if !errors.As(err, &e) {
					t.Fatalf("cell %q: %v", code, err)
				}
				e.Traceback()
				if isGo(code) && e.Value != "" && len(e.Words) > 0 && strings.HasPrefix(e.Words[0], "line ") && strings.Contains(e.Words[0], ": expected ") {
					t.Errorf("cell %q is Go, but: %v", code, strings.Join(e.Traceback(), "\n"))
				}
				continue
			}
			pr.Explain(Failure{Trace: "panic: x\n\ngoroutine 1 [running]:\nmain.f()\n\t/x/" + ProgramFile + ":12 +0x1\n"})
			pr.Explain(Failure{Words: "./" + ProgramFile + ":9:3: undefined: y\n"})
			pr.Explain(Failure{Status: "exit status 1"})
			p.commit(pr)
		}
	})
}

// isGo reports whether a text without special lines is the body of a function.
func isGo(code string) bool {
	sp := readSpecial(code)
	if sp.whole || len(sp.lines) > 0 || sp.text != code {
		return false
	}
	_, err := parser.ParseFile(token.NewFileSet(), "", "package p\nfunc _() {\n"+code+"\n}", 0)
	return err == nil
}

// BenchmarkRewrite measures the preparation of a cell in a session of some size.
func BenchmarkRewrite(b *testing.B) {
	p := newPlayer(b)
	for i := range 30 {
		name := string(rune('a'+i%26)) + strings.Repeat("x", i/26+1)
		p.run(name + " := " + itoa(i) + "\nfunc f" + name + "(v int) int {\n\tfor i := range v {\n\t\t" + name + " += i\n\t}\n\treturn " + name + "\n}")
	}
	p.run("build := Open(\"x\")\nassessment := Assess(build)")
	for name, code := range map[string]string{
		"plain":   "ax + bx",
		"project": "build.Engine.Cylinders = 6\nShow(Headroom(assessment))\nassessment",
		"mistake": "y := fax(build)",
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := p.s.Rewrite(code); err != nil && name != "mistake" {
					b.Fatal(err)
				}
			}
		})
	}
}
