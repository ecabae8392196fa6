package cell

import (
	"fmt"
	"go/parser"
	"slices"
	"strings"

	"example.com/railbook/kernel/cell/keep"
)

// Prepared is a cell that is ready to be run by the cell kernel.
type Prepared struct {
	// Code is for the cell kernel; it is blank if there is nothing to run.
	Code string

	s    *Session
	plan *plan    // nil where the session has no part in it
	b    *builder // of the program
	fail *Error   // the cell is run for its special lines only, and then fails
	say  []string // by the program, before it begins
	test bool     // of the expression alone: nothing is to change
}

// Rewrite prepares a cell. It changes nothing that later cells see: that is for
// [Prepared.Commit]. The next cell may be prepared once this one is done with.
//
// Where the cell is no Go program the error is an [*Error]. A cell that has
// special lines beside is run for their sake all the same, and fails then.
func (s *Session) Rewrite(code string) (*Prepared, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	sp := readSpecial(code)
	if sp.whole {
		return &Prepared{Code: code, s: s}, nil
	}
	pr := &Prepared{s: s}
	s.cells++
	src := &source{id: s.cells, code: code, text: sp.text}
	if strings.TrimSpace(sp.text) == "" && (sp.mode == bareMode || sp.mode == mainMode) {
		pr.plan = &plan{Session: s, src: src, sp: sp, p: &parsed{}}
		pr.Code = strings.Join(s.specials(sp), "\n")
		return pr, nil
	}
	if sp.reset { // the kernel forgets before it runs the cell
		forgotten := *s.kept()
		s.forget()
		defer s.restore(&forgotten)
	}
	err := s.prepare(pr, src, sp)
	if err == nil {
		return pr, nil
	}
	failed, ok := err.(*Error)
	if !ok || len(sp.lines) == 0 {
		return nil, err
	}
	pr.fail, pr.plan = failed, nil
	program := fmt.Sprintf("package main\n\nimport \"os\"\n\nfunc %s() { os.Exit(1) }\n", entry)
	if err := s.write(ProgramFile, program); err != nil {
		return nil, err
	}
	pr.Code = s.code(sp)
	return pr, nil
}

// kept is what cells have left, to be put back.
func (s *Session) kept() *Session {
	return &Session{
		units: s.units, methods: s.methods, inits: s.inits, tests: s.tests, vars: s.vars,
		imports: s.imports, effects: s.effects, dots: s.dots, larges: s.larges,
	}
}

func (s *Session) restore(k *Session) {
	s.units, s.methods, s.inits, s.tests, s.vars = k.units, k.methods, k.inits, k.tests, k.vars
	s.imports, s.effects, s.dots, s.larges = k.imports, k.effects, k.dots, k.larges
}

// Evaluate prepares a cell that shows the value of an expression and changes
// nothing.
func (s *Session) Evaluate(expression string) (*Prepared, error) {
	if _, err := parser.ParseExpr(expression); err != nil {
		return nil, &Error{Name: CompileError, Value: "it is no expression: " + err.Error()}
	}
	pr, err := s.Rewrite(expression)
	if err != nil {
		return nil, err
	}
	pr.test = true
	return pr, nil
}

// prepare makes the program of a cell.
func (s *Session) prepare(pr *Prepared, src *source, sp special) error {
	p, bad := parse(src, sp)
	if bad != nil {
		return s.complain(&complaint{src: src, problem: *bad, words: bad.message})
	}
	pl, bad := s.newPlan(src, sp, p)
	if bad != nil {
		return s.complain(&complaint{src: src, problem: *bad})
	}
	shown, wrong := pl.check()
	if len(wrong) > 0 && s.library.changed() {
		// The packages that cells use have been changed meanwhile.
		if pl, bad = s.newPlan(src, sp, p); bad != nil {
			return s.complain(&complaint{src: src, problem: *bad})
		}
		shown, wrong = pl.check()
	}
	if len(wrong) > 0 {
		return pl.complain(wrong...)
	}
	pr.plan = pl
	if !pl.runs() {
		pr.Code = strings.Join(s.specials(sp), "\n")
		return nil
	}
	pr.say = pl.remarks()
	known := pl.findKnown()
	g := newGenerator(pl, pl.runtimePackages(shown), append(known.paths(), pl.typePackages()...))
	g.knownList = known
	text := g.programText(pr, shown)
	pr.b = &g.b
	program, tests := text, emptyProgram
	if sp.mode == testMode {
		program, tests = emptyProgram, text
	}
	for name, text := range map[string]string{ProgramFile: program, TestFile: tests} {
		if err := s.write(name, text); err != nil {
			return err
		}
	}
	pr.Code = s.code(sp)
	if sp.mode == testMode {
		pr.Code = strings.Join(pl.benchmarks(s.specials(sp)), "\n")
	}
	return nil
}

// runs reports whether there is something to do: what a cell only declares has
// been checked, and needs no program.
func (pl *plan) runs() bool {
	return pl.sp.mode != bareMode || len(pl.p.statements) > 0 || pl.p.main != nil || len(pl.gone) > 0 || slices.ContainsFunc(pl.p.units, isInit)
}

// code returns what the cell kernel gets: the special lines, and a main that
// calls the program.
func (s *Session) code(sp special) string {
	return strings.Join(append(s.specials(sp), "func main() { "+entry+"() }"), "\n")
}

// benchmarks has a %test line without arguments run the benchmarks of the cell,
// which the kernel does not see.
func (pl *plan) benchmarks(lines []string) []string {
	if !slices.ContainsFunc(pl.p.units, func(u *unit) bool { return isTest(u) && strings.HasPrefix(u.names[0], "Benchmark") }) {
		return lines
	}
	for i, line := range lines {
		if strings.TrimSpace(line) == "%test" {
			lines[i] = "%test -test.v -test.bench=."
		}
	}
	return lines
}

// runtimePackages lists the packages of Railbook that the program uses by
// itself.
func (pl *plan) runtimePackages(s shown) []string {
	list := pl.displayPackages(s)
	if pl.stepping() || pl.sp.mode != wasmMode && (len(pl.kept()) > 0 || len(pl.older) > 0) {
		list = append(list, pl.path(keepPath))
	}
	return list
}

// typePackages lists the packages whose types interfaces among the values hold.
func (pl *plan) typePackages() []string {
	var list []string
	for _, u := range pl.usesInOrder() {
		for _, text := range u.types {
			if sample := keep.Samples[text]; sample != "" {
				text = sample
			}
			list = append(list, typePaths(text)...)
		}
	}
	return list
}
