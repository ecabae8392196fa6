package keep

import (
	"reflect"
	"strings"
	"testing"
)

func TestSharing(t *testing.T) {
	ring := &Pair{name: "first"}
	ring.a = &Pair{name: "second", a: ring, b: ring}
	array := [4]int{1, 2, 3, 4}
	var v struct {
		ring    *Pair
		into    *string // into the midst of a block
		whole   *[4]int
		middle  []int
		element *int
		again   map[string]*Pair
		same    map[string]*Pair
		self    any
	}
	v.ring, v.into, v.whole, v.middle, v.element = ring, &ring.a.name, &array, array[1:3], &array[2]
	v.again = map[string]*Pair{"r": ring}
	v.same = v.again
	v.self = &v.element
	p, b := carry(t, &v, (***int)(nil))
	got := *p
	if d := alike(&v, got); d != "" {
		t.Error(d)
	}
	*got.into = "changed"
	got.middle[1] = 30
	got.same["new"] = nil
	if got.ring.a.name != "changed" || got.whole[2] != 30 || *got.element != 30 || len(got.again) != 2 {
		t.Error("what was shared is shared no more")
	}
	if len(b.file) != 1 {
		t.Errorf("in files %v, want one", b.file)
	}
}

// Slices of one array that nothing else refers to, each beyond the other.
func TestOverlappingSlices(t *testing.T) {
	array := []string{"a", "b", "c", "d", "e", "f"}
	v := [3][]string{array[3:5:5], array[0:2:2], array[1:4:4]}
	got, _ := carry(t, v)
	if d := alike(&v, got); d != "" {
		t.Error(d)
	}
	got[2][0], got[2][2] = "B", "D"
	if got[1][1] != "B" || got[0][0] != "D" {
		t.Errorf("got %q, want its parts shared", got)
	}
	rows := make([][]*int, 50) // each with capacity to the end
	flat := make([]*int, 50*50)
	for i := range rows {
		rows[i] = flat[i*50 : (i+1)*50]
	}
	again, _ := carry(t, rows)
	if d := alike(&rows, again); d != "" {
		t.Error(d)
	}
}

// Two variables, used by different cells, share a part.
func TestSharingBetweenVariables(t *testing.T) {
	b := newBook(t)
	{
		x := &Pair{name: "shared"}
		y := []*Pair{x, {name: "own"}}
		z := "apart"
		b.cell(map[string]any{"x": &x, "y": &y, "z": &z}, func() {})
	}
	if b.file["x"] != b.file["y"] || b.file["x"] == b.file["z"] {
		t.Errorf("files %v, want x and y in one and z in another", b.file)
	}
	{
		var x *Pair // the cell does not use y
		b.cell(map[string]any{"x": &x}, func() {
			x.name = "changed"
			x.a = &Pair{name: "added"}
		})
	}
	{
		var y []*Pair
		b.cell(map[string]any{"y": &y}, func() {
			if y[0].name != "changed" || y[0].a.name != "added" || y[1].name != "own" {
				t.Errorf("y[0] is %+v", y[0])
			}
			y[0] = y[1] // let go of it
		})
	}
	if b.file["x"] == b.file["y"] {
		t.Error("x and y share nothing any more but are in one file")
	}
	{
		var x *Pair
		b.cell(map[string]any{"x": &x}, func() {
			if x.name != "changed" || x.a.name != "added" {
				t.Errorf("x is %+v", x)
			}
		})
	}
	if n := len(b.files()); n != 3 {
		t.Errorf("%d files are left: %v, want 3", n, b.files())
	}
}

// What a cell changes and lets go of is still seen by who shares it.
func TestLettingGo(t *testing.T) {
	b := newBook(t)
	{
		x := &Pair{name: "x", a: &Pair{name: "shared"}}
		y := x.a
		b.cell(map[string]any{"x": &x, "y": &y}, func() {})
	}
	{
		var x *Pair
		b.cell(map[string]any{"x": &x}, func() {
			x.a.name = "changed"
			x.a = nil
		})
	}
	{
		var y *Pair
		b.cell(map[string]any{"y": &y}, func() {
			if y.name != "changed" {
				t.Errorf("y is %+v", y)
			}
		})
	}
}

// A pointer to a variable is one to the variable of the next cell.
func TestPointerToVariable(t *testing.T) {
	b := newBook(t)
	{
		x := Mixed{text: "one"}
		p, q := &x, &x.text
		b.cell(map[string]any{"x": &x, "p": &p, "q": &q}, func() {})
	}
	if got := b.needs["p"].Vars; !reflect.DeepEqual(got, []string{"x"}) {
		t.Errorf("p needs %q, want x", got)
	}
	if got := b.needs["q"]; !reflect.DeepEqual(got.Vars, []string{"x"}) || len(got.Types) > 0 {
		t.Errorf("q needs %+v, want the variable x alone", got)
	}
	{
		var x Mixed
		var p *Mixed
		var q *string
		b.cell(map[string]any{"x": &x, "p": &p, "q": &q}, func() {
			if p != &x || q != &x.text || *q != "one" {
				t.Errorf("p %p and q %p, want %p and %p", p, q, &x, &x.text)
			}
			*q = "two"
		})
	}
	// x is made anew as something else: what p and q point to lives on.
	b.file["x"] = ""
	delete(b.file, "x")
	{
		var x int
		var q *string
		var p *Mixed
		b.cell(map[string]any{"x": &x, "q": &q, "p": &p}, func() {
			if *q != "two" || p.text != "two" {
				t.Errorf("q is %q, p %q", *q, p.text)
			}
			x = 5
			*q = "three"
			if p.text != "three" {
				t.Error("p and q are apart")
			}
		})
	}
}

// A pointer into a block of which only its type tells how large it is needs
// that type; where nobody else can name it, it is not carried.
func TestPointerIntoBlock(t *testing.T) {
	b := newBook(t)
	m := &Report{Files: []FileReport{{Name: "f"}}}
	p := &m.Files[0].Larges
	q := &Pair{name: "q"}
	r := &q.name
	b.cell(map[string]any{"p": &p, "r": &r, "m": &m, "q": &q}, func() {})
	if b.lost["p"] != "" || b.lost["r"] != "" {
		t.Fatalf("lost %v", b.lost)
	}
	b = newBook(t)
	b.cell(map[string]any{"p": &p, "r": &r}, func() {})
	// Here nothing points to the whole.
	if got := b.needs["p"]; len(got.Types) != 0 {
		t.Errorf("p needs %q, want nothing", got.Types)
	}
	type inner struct{ i *int }
	type outer struct {
		inner
		more int
	}
	o := &outer{}
	o.i = &o.more // into the midst of what it is itself in
	v := &o.inner.i
	b.cell(map[string]any{"o": &o, "v": &v}, func() {})
	if b.lost["v"] == "" || !strings.Contains(b.lost["v"], "a pointer into a keep.outer, whose type only its package can name") {
		t.Errorf("v: %q", b.lost["v"])
	}
	if b.lost["o"] != "" {
		t.Errorf("o: %q", b.lost["o"])
	}
}

// A cell makes a variable anew, of another type, and uses what it was.
func TestWas(t *testing.T) {
	b := newBook(t)
	{
		x := Pair{name: "old"}
		p := &x
		b.cell(map[string]any{"x": &x, "p": &p}, func() {})
	}
	file := b.file["x"]
	var was Pair
	var x int
	var p *Pair
	c := Cell{Folder: b.dir, Mark: "x", Live: map[string][]string{file: {"x", "p"}}, Vars: []Var{
		{Name: "x", At: &x}, {Name: "p", At: &p, File: file}, {Name: "x", At: &was, File: file, Was: true},
	}}
	s := newSession(c)
	if err := s.load(); err != nil {
		t.Fatal(err)
	}
	if was.name != "old" || p != &was {
		t.Errorf("it was %+v, and p points to %p, not %p", was, p, &was)
	}
	x = len(was.name)
	p.name = "changed"
	if err := s.save(); err != nil {
		t.Fatal(err)
	}
	report, err := ReadReport(b.dir, "x")
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range report.Vars {
		b.file[v.Name], b.needs[v.Name] = v.File, v
	}
	if len(b.needs["p"].Vars) > 0 || b.file["p"] == b.file["x"] {
		t.Errorf("p still belongs to x: %+v", report)
	}
	var got int
	var q *Pair
	b.cell(map[string]any{"x": &got, "p": &q}, func() {
		if got != 3 || q.name != "changed" {
			t.Errorf("x is %d, p %+v", got, q)
		}
	})
}

func TestConvertedMap(t *testing.T) {
	type named map[string]int
	m := map[string]int{"a": 1}
	v := struct {
		a map[string]int
		b named
	}{m, named(m)}
	got, _ := carry(t, v)
	got.b["b"] = 2
	if got.a["b"] != 2 {
		t.Error("one map has become two")
	}
}
