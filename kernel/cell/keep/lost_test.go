package keep

import (
	"errors"
	"fmt"

	"os"
	"reflect"
	"strings"
	"sync"
	"testing"
)

func TestNotCarried(t *testing.T) {
	locked := &sync.Mutex{}
	locked.Lock()
	type holder struct{ run func() }
	for want, v := range map[string]any{
		"a function":                          ptr(func() {}),
		"a function in a keep.holder":         ptr([]holder{{}, {func() {}}}),
		"a channel":                           ptr(map[string]chan int{"a": make(chan int)}),
		"a lock in use (sync.Mutex)":          ptr(locked),
		"an open file or connection":          ptr(os.Stdin),
		"a value of package reflect":          ptr(reflect.ValueOf(1)),
		"a *keep.hidden, whose type only its": ptr(any(&hidden{x: 1})),
	} {
		b := newBook(t)
		one := 1
		rv := reflect.ValueOf(v)
		b.cell(map[string]any{"v": v, "one": &one}, func() {})
		if !strings.Contains(b.lost["v"], want) {
			t.Errorf("%v: got %q, want %q", rv.Type(), b.lost["v"], want)
		}
		if b.file["v"] != "" || b.file["one"] == "" || b.lost["one"] != "" {
			t.Errorf("%v: files %v, lost %v", rv.Type(), b.file, b.lost)
		}
	}
	// None of them is in the way while it is nil or idle.
	v := struct {
		f    func()
		c    chan int
		m    sync.Mutex
		file *os.File
		v    reflect.Value
	}{}
	carry(t, &v)
}

type hidden struct{ x int }

func ptr[T any](v T) *T { return &v }

// Wrapped errors, of types that have no name outside.
func TestErrors(t *testing.T) {
	b := newBook(t)
	err := fmt.Errorf("reading: %w", errors.Join(errors.New("a"), errors.New("b")))
	b.cell(map[string]any{"err": &err}, func() {})
	if b.lost["err"] != "" {
		t.Fatal(b.lost["err"])
	}
	var got error
	c := Cell{Folder: b.dir, Mark: "x", Vars: []Var{{Name: "err", At: &got, File: b.file["err"]}}, Live: map[string][]string{b.file["err"]: {"err"}}}
	for _, text := range b.needs["err"].Types {
		switch text {
		case "*«errors».errorString":
			c.Samples = append(c.Samples, errors.New(""))
		case "*«errors».joinError":
			c.Samples = append(c.Samples, errors.Join(errors.New("")))
		case "*«fmt».wrapError":
			c.Samples = append(c.Samples, fmt.Errorf("%w", error(nil)))
		default:
			t.Errorf("needs %s", text)
		}
	}
	if err := newSession(c).load(); err != nil {
		t.Fatal(err)
	}
	if got.Error() != err.Error() {
		t.Errorf("got %v, want %v", got, err)
	}
}

// Exported variables of packages, whose contents are the same thing in every
// program.
var (
	shared      = &Pair{name: "shared", a: &Pair{name: "below"}}
	functions   = []struct{ f func() string }{{func() string { return "zero" }}, {func() string { return "one" }}}
	errSentinel = errors.New("sentinel")
	tables      = map[string]int{"one": 1}
)

func TestKnown(t *testing.T) {
	b := newBook(t)
	b.known = []Known{
		{"shared", func() any { return &shared }}, {"functions", func() any { return &functions }},
		{"sentinel", func() any { return &errSentinel }}, {"tables", func() any { return &tables }},
	}
	type user struct {
		p    *Pair
		name *string
		f    func() string
		err  error
		m    map[string]int
		all  **Pair
		own  *Pair
	}
	{
		v := user{shared, &shared.a.name, functions[1].f, errSentinel, tables, &shared, &Pair{a: shared}}
		b.cell(map[string]any{"v": &v}, func() {})
	}
	if b.lost["v"] != "" {
		t.Fatal(b.lost["v"])
	}
	var v user
	b.cell(map[string]any{"v": &v}, func() {
		if v.p != shared || v.name != &shared.a.name || v.f() != "one" || v.err != errSentinel || v.all != &shared || v.own.a != shared {
			t.Errorf("got %+v", v)
		}
		v.m["two"] = 2
	})
	if tables["two"] != 2 {
		t.Error("the map is another")
	}
	// Without them the function is one like any other.
	b.known = nil
	f := functions[0].f
	b.cell(map[string]any{"f": &f}, func() {})
	if b.lost["f"] != "a function" {
		t.Errorf("got %q", b.lost["f"])
	}
	if err := b.try(map[string]any{"v": &v}, func() {}); err == nil || !strings.Contains(err.Error(), "v cannot be brought back: what it shares with") && !strings.Contains(err.Error(), "not there any more") {
		t.Errorf("got %v", err)
	}
}

// A type that has been changed between two cells is refused.
func TestOtherType(t *testing.T) {
	b := newBook(t)
	type thing struct{ a, b int }
	v := &thing{1, 2}
	b.cell(map[string]any{"v": &v}, func() {})
	{
		type thing struct{ b, a int }
		v := &thing{b: 1, a: 2}
		err := b.try(map[string]any{"v": &v}, func() {})
		if want := "v cannot be brought back: this cell does not know its type keep.thing"; err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
	x := thing{1, 2}
	b.cell(map[string]any{"x": &x}, func() {})
	{
		type thing struct{ b, a int }
		x := thing{b: 1, a: 2}
		err := b.try(map[string]any{"x": &x}, func() {})
		if want := "x was made as a keep.thing of another form: run the cell that makes it once more"; err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}
