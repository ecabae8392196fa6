package cell

import (
	"strings"
	"testing"
)

func TestReadSpecial(t *testing.T) {
	for _, tt := range []struct {
		name, code string
		lines      string // separated by |
		mode       mode
		text       string // what is Go, without blank lines
	}{
		{"none", "x := 1", "", bareMode, "x := 1"},
		{"shell", "!ls -l\nx := 1", "!ls -l", bareMode, "x := 1"},
		{"in the midst", "x := 1\n!ls\ny := 2", "!ls", bareMode, "x := 1\ny := 2"},
		{"continued", "!echo a \\\n  b\nx := 1", "!echo a    b", bareMode, "x := 1"},
		{"continued to the end", "!echo a \\", "!echo a \\", bareMode, ""},
		{"with the comment's prefix", "//gonb:%args -x\n//gonb:!echo a \\\n//gonb:b\nx := 1", "%args -x|!echo a  b", bareMode, "x := 1"},
		{"main", "x := 1\n%% --flag=1 a\ny := 2", "%args --flag=1 a", mainMode, "x := 1\ny := 2"},
		{"main in words", "%main\ny := 2", "%args ", mainMode, "y := 2"},
		{"call", "%exec f a b\nfunc f() {}", "%args a b", execMode, "func f() {}"},
		{"test", "%test -test.v\nfunc TestX(t *testing.T) {}", "%test -test.v", testMode, "func TestX(t *testing.T) {}"},
		{"wasm", "%wasm\nfunc main() {}", "%wasm", wasmMode, "func main() {}"},
		{"others", "%env A=b\n%cd x\n%goflags -race\n%autoget\n%capture f\n%unknown", "%env A=b|%cd x|%goflags -race|%autoget|%capture f|%unknown", bareMode, ""},
		{"what the kernel would stumble over", "%  \n! \n%\nx", "", bareMode, "%\nx"},
		{"spaces before the command", "%  args a", "%  args a", bareMode, ""},
		{"not at the beginning of the line", " !ls\n\t%args", "", bareMode, " !ls\n\t%args"},
		{"windows lines", "!ls\r\nx := 1\r\n", "!ls", bareMode, "x := 1\r"},
		{"whole cell", "%%writefile a.txt\nx := 1\n!ls", "%%writefile a.txt\nx := 1\n!ls", bareMode, ""},
		{"whole cell behind the prefix", "//gonb:%%bash\nls", "//gonb:%%bash\nls", bareMode, ""},
		{"magic in the midst", "x := 1\n%%bash\nls", "%%bash", bareMode, "x := 1\nls"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := readSpecial(tt.code)
			if got := strings.Join(s.lines, "|"); got != tt.lines || s.mode != tt.mode {
				t.Errorf("got lines %q, mode %d, want %q, %d", got, s.mode, tt.lines, tt.mode)
			}
			var lines []string
			for _, line := range strings.Split(s.text, "\n") {
				if strings.TrimSpace(line) != "" {
					lines = append(lines, strings.TrimRight(line, " "))
				}
			}
			if got := strings.Join(lines, "\n"); got != tt.text {
				t.Errorf("got text %q, want %q", got, tt.text)
			}
			if !s.whole && len(s.text) != len(tt.code) {
				t.Errorf("the text has %d bytes, want %d", len(s.text), len(tt.code))
			}
		})
	}
}

func TestDefinitionsAreListedAndRemoved(t *testing.T) {
	p := newPlayer(t)
	p.run("import \"fmt\"\nx := 1\nconst c = 2\ntype T struct{}\nfunc (T) M() {}\nfunc f() { fmt.Print(c) }\nvar when time.Time")
	pr := p.run("%ls")
	name, ok := strings.CutPrefix(pr.Code, "!cat '")
	if !ok {
		t.Fatalf("the kernel gets %q", pr.Code)
	}
	got := readFile(t, strings.TrimSuffix(name, "'"))
	want := "variables\n  when time.Time\n  x int\nfunctions\n  T.M\n  f\ntypes\n  T\nconstants\n  c\nimports\n  fmt \"fmt\"\n"
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	pr = p.run("%rm x T~M f it's")
	if want := "!printf '%s\\n' '. removed x'\n!printf '%s\\n' '. removed T~M'\n!printf '%s\\n' '. removed f'\n!printf '%s\\n' '. it'\\''s is not defined, so it is not removed'"; pr.Code != want {
		t.Errorf("got\n%s\nwant\n%s", pr.Code, want)
	}
	if p.s.vars["x"] != nil || p.s.units["f"] != nil || p.s.methods["T"]["M"] != nil || p.s.units["T"] == nil {
		t.Error("not the right ones are removed")
	}
	p.run("%reset")
	if pr = p.run("%list"); readFile(t, strings.TrimSuffix(strings.TrimPrefix(pr.Code, "!cat '"), "'")) != "nothing is defined\n" {
		t.Error("something is left")
	}
	if pr := p.run("%reset\ny := 1\ny"); pr.Code != "%reset\nfunc main() { railbook_run() }" || p.s.vars["y"] == nil {
		t.Errorf("reset with more: %q", pr.Code)
	}
	// As long as it is not committed, nothing is forgotten.
	if _, err := p.s.Rewrite("%reset\nz := 1"); err != nil || p.s.vars["y"] == nil {
		t.Errorf("forgotten too early, or %v", err)
	}
}

func TestTestsAndBenchmarks(t *testing.T) {
	p := newPlayer(t)
	p.run("x := 1\nfunc helper() int { return x }")
	pr := p.run("%test\nfunc TestA(t *testing.T) { helper() }")
	if pr.Code != "%test" || !strings.Contains(p.program, "func TestA") || !strings.Contains(p.program, "func init() {") || p.loaded() != "x" {
		t.Errorf("the kernel gets %q and the program is\n%s", pr.Code, p.program)
	}
	if readFile(t, p.s.o.Folder+"/"+ProgramFile) != emptyProgram {
		t.Error("the program beside the tests is not empty")
	}
	pr = p.run("%test\nfunc BenchmarkB(b *testing.B) {}")
	if pr.Code != "%test -test.v -test.bench=." || strings.Contains(p.program, "TestA") {
		t.Errorf("the kernel gets %q and the program is\n%s", pr.Code, p.program)
	}
	p.run("%test")
	if !strings.Contains(p.program, "TestA") || !strings.Contains(p.program, "BenchmarkB") {
		t.Errorf("without tests of its own it has\n%s", p.program)
	}
	p.run("helper()")
	if strings.Contains(p.program, "testing") {
		t.Error("tests are in a program")
	}
}

func TestWasm(t *testing.T) {
	p := newPlayer(t)
	p.run("x := 40\nf := func() int { return x }")
	p.run("%wasm\n%%\nprintln(f())")
	if p.loaded() != "" || strings.Contains(p.program, keepPath) {
		t.Errorf("in the browser nothing can be loaded:\n%s", p.program)
	}
}
