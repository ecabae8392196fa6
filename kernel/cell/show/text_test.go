package show

import (
	"errors"
	"strings"
	"testing"
	"time"
)

type celsius float64

func (c celsius) String() string { return "warm" }

type tree struct {
	Name string
	Kids []*tree
	Up   *tree
	note celsius
}

type stubborn struct{}

func (*stubborn) String() string { panic("no") }

func TestText(t *testing.T) {
	ring := &tree{Name: "r"}
	ring.Up = ring
	list := make([]int, 250)
	for _, tt := range []struct {
		name string
		v    any
		want string
	}{
		{"number", 2, "2"},
		{"float", 0.1, "0.1"},
		{"large float", 1e100, "1e+100"},
		{"complex", 1 + 2i, "(1+2i)"},
		{"truth", true, "true"},
		{"text", "λ ≥ 1", `"λ ≥ 1"`},
		{"text with quotes", `say "x"`, "`say \"x\"`"},
		{"lines", "a\nb\n", "a\nb\n"},
		{"nothing", nil, "nil"},
		{"nil pointer", (*tree)(nil), "nil"},
		{"nil error of a type", error((*strange)(nil)), "nil"},
		{"error", errors.New("no fuel"), "error: no fuel"},
		{"stringer", celsius(3), "warm"},
		{"stringer within", []celsius{1, 2}, "[]show.celsius{warm, warm}"},
		{"stringer that panics", &stubborn{}, "&show.stubborn{}"},
		{"duration", 1500 * time.Millisecond, "1.5s"},
		{"struct", tree{Name: "x"}, `show.tree{Name: "x"}`},
		{"empty struct", tree{}, `show.tree{}`},
		{"unexported field", tree{note: 3}, `show.tree{note: 3}`},
		{"pointers", []*tree{{Name: "x"}, nil}, `[]*show.tree{&show.tree{Name: "x"}, nil}`},
		{"ring", ring, `&show.tree{Name: "r", Up: &show.tree{…}}`},
		{"map", map[int]string{10: "b", 9: "a"}, `map[int]string{9: "a", 10: "b"}`},
		{"map of lists", map[string][]float64{"x": {1, 2.5}}, `map[string][]float64{"x": {1, 2.5}}`},
		{"any", []any{1, "a", nil, []int{1}}, `[]interface {}{1, "a", nil, []int{1}}`},
		{"bytes of text", []byte("ab\nc"), `[]uint8("ab\nc")`},
		{"bytes", []byte{0, 255}, `[]uint8{0x0, 0xff}`},
		{"function", strings.ToUpper, "func(string) string"},
		{"channel", make(chan int), "chan int"},
		{"nil map", map[string]int(nil), "nil"},
		{"array", [2][2]int{{1, 2}, {3, 4}}, "[2][2]int{{1, 2}, {3, 4}}"},
		{"matrix of long rows", [][]string{{strings.Repeat("x", 50)}, {strings.Repeat("y", 50)}},
			"[][]string{\n\t{\"" + strings.Repeat("x", 50) + "\"},\n\t{\"" + strings.Repeat("y", 50) + "\"},\n}"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := Text(tt.v); got != tt.want {
				t.Errorf("got\n%s\nwant\n%s", got, tt.want)
			}
		})
	}
	got := Text(list)
	if !strings.HasPrefix(got, "[]int{\n\t0, 0,") || !strings.Contains(got, "… 150 more") || strings.Count(got, "\n") > 8 {
		t.Errorf("a long list is\n%s", got)
	}
	deep := any(1)
	for range 50 {
		deep = []any{deep}
	}
	if got := Text(deep); len(got) > 400 {
		t.Errorf("a deep thing is\n%s", got)
	}
}

type strange struct{}

func (*strange) Error() string { return "strange" }

type page struct{ fail bool }

func (page) HTML() string { return "<b>page</b>" }
func (p page) Markdown() string {
	if p.fail {
		panic("no")
	}
	return "**page**"
}

func TestBundle(t *testing.T) {
	b := bundle(page{})
	if b[htmlMIME] != "<b>page</b>" || b[markdownMIME] != "**page**" || b[textMIME] != "show.page{}" {
		t.Errorf("got %v", b)
	}
	if b := bundle(page{fail: true}); len(b) != 1 || b[textMIME] != "show.page{fail: true}" {
		t.Errorf("a method that panics: got %v", b)
	}
	if b := bundle(errors.New("a < b")); b[textMIME] != "error: a < b" || !strings.Contains(b[htmlMIME].(string), "error: a &lt; b") {
		t.Errorf("an error: got %v", b)
	}
	type row struct {
		Part  string
		Count int
		Note  any
		note  int
	}
	b = bundle([]row{{"injector <x>", 6, nil, 0}, {"pump", 2, celsius(1), 0}})
	want := `<table><thead><tr><th>Part</th><th>Count</th><th>Note</th></tr></thead><tbody>` +
		`<tr><td>injector &lt;x&gt;</td><td style="text-align:right">6</td><td>nil</td></tr>` +
		`<tr><td>pump</td><td style="text-align:right">2</td><td>warm</td></tr></tbody></table>`
	if b[htmlMIME] != want {
		t.Errorf("a list of structs: got\n%s\nwant\n%s", b[htmlMIME], want)
	}
	for _, v := range []any{[]int{1}, []row{}, []time.Time{{}}, []struct{ a int }{{1}}, "text", nil} {
		if b := bundle(v); len(b) != 1 {
			t.Errorf("%T: got %v, want text only", v, b)
		}
	}
}
