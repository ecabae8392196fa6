package keep

import (
	"errors"

	"reflect"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// carry saves a value in one cell and returns what the next cell loads.
func carry[T any](t *testing.T, v T, types ...any) (got *T, b *book) {
	t.Helper()
	b = newBook(t)
	b.cell(map[string]any{"v": &v}, func() {}, types...)
	if why := b.lost["v"]; why != "" {
		t.Fatalf("%T is lost: it holds %s", v, why)
	}
	got = new(T)
	b.cell(map[string]any{"v": got}, func() {}, types...)
	return got, b
}

type Pair struct {
	a, b *Pair
	name string
}

type Mixed struct {
	flag  bool
	small int8
	big   uint64
	f     float32
	c     complex128
	text  string
	array [3]string
	list  []string
	bytes []byte
	table map[string][]int
	inner struct {
		p *int
		_ [2]byte
	}
	any  any
	err  error
	when time.Time
	done atomic.Bool
	lock sync.Mutex
	once sync.Once
	ptr  atomic.Pointer[Pair]
	none struct{}
}

func TestCarries(t *testing.T) {
	n := 7
	m := Mixed{
		flag: true, small: -3, big: 1 << 60, f: 0.1, c: 2i, text: "λ ≥ 0.82", array: [3]string{"a", "", "c"},
		list: []string{"x", "y"}, bytes: []byte("bytes"), table: map[string][]int{"a": {1, 2}, "b": nil, "": {}},
		any: map[string]any{"k": []any{1, 2.5, "z", nil}}, err: errors.New("no fuel"),
	}
	m.inner.p = &n
	m.when = time.Unix(7, 0).UTC()
	if m.lock.TryLock() {
		m.lock.Unlock()
	}
	m.none = struct{}{}
	m.done.Store(true)
	m.once.Do(func() {})
	m.ptr.Store(&Pair{name: "p"})
	b := newBook(t)
	b.cell(map[string]any{"m": &m}, func() {})
	if b.lost["m"] != "" {
		t.Fatalf("lost: %s", b.lost["m"])
	}
	if want := []string{"*«errors».errorString"}; !reflect.DeepEqual(b.needs["m"].Types, want) {
		t.Errorf("needs types %q, want %q", b.needs["m"].Types, want)
	}
	var got Mixed
	c := Cell{Folder: b.dir, Mark: "x", Samples: []any{errors.New("")}, Vars: []Var{{Name: "m", At: &got, File: b.file["m"]}}}
	c.Live = map[string][]string{b.file["m"]: {"m"}}
	if err := newSession(c).load(); err != nil {
		t.Fatal(err)
	}
	if got.err.Error() != "no fuel" || got.ptr.Load().name != "p" || !got.done.Load() || *got.inner.p != 7 {
		t.Errorf("got %+v", &got)
	}
	got.once.Do(func() { t.Error("the Once is done and did it again") })
	got.err, m.err = nil, nil
	got.ptr.Store(nil)
	m.ptr.Store(nil)
	if !reflect.DeepEqual(&got, &m) {
		t.Errorf("got\n%+v\nwant\n%+v", &got, &m)
	}
}

func TestSmallAndOdd(t *testing.T) {
	check := func(name, diff string) {
		t.Helper()
		if diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
	one := func(name string, a, b any) { t.Helper(); check(name, alike(a, b)) }
	{
		v := struct{}{}
		got, _ := carry(t, v)
		one("nothing", &v, got)
	}
	{
		v := []struct{}{{}, {}}
		got, _ := carry(t, v)
		if len(*got) != 2 {
			t.Errorf("got %d things without size, want 2", len(*got))
		}
	}
	{
		v := &struct{}{}
		if got, _ := carry(t, v); *got == nil {
			t.Error("a pointer to nothing has become nil")
		}
	}
	{
		v := [0]string{}
		got, _ := carry(t, v)
		one("empty array", &v, got)
	}
	{
		v := []int(nil)
		got, _ := carry(t, v)
		one("nil slice", &v, got)
	}
	{
		v := []int{}
		got, _ := carry(t, v)
		one("empty slice", &v, got)
	}
	{
		v := make([]int, 2, 10)
		v[:5][4] = 9 // hidden beyond its length
		got, _ := carry(t, v)
		one("slice with room", &v, got)
		if (*got)[:5][4] != 9 {
			t.Error("what lies beyond the length is lost")
		}
	}
	{
		v := map[[2]string]struct{ x *int }{{"a", "b"}: {}}
		got, _ := carry(t, v)
		one("map of structs", &v, got)
	}
	{
		v := map[any]int{1: 1, "1": 2, 1.0: 3, [1]bool{true}: 4}
		got, _ := carry(t, v, (*[1]bool)(nil))
		one("map of any", &v, got)
	}
	{
		v := [][]string{{"a"}, nil, {}}
		got, _ := carry(t, v)
		one("lists", &v, got)
	}
	{
		v := [2][2]*Pair{{{name: "x"}, nil}, {}}
		got, _ := carry(t, v)
		one("array of arrays", &v, got)
	}
	{
		v := strings.Builder{}
		v.WriteString("built")
		got, _ := carry(t, &v)
		(*got).WriteString(" on") // it panics if it lies at another place than it thinks
		if (*got).String() != "built on" {
			t.Errorf("builder: got %q", (*got).String())
		}
	}
	{
		v := []any{int8(1), uint16(2), 'x', float32(1.5), 2 + 1i, true, "s", []any{nil}, map[string]any{}}
		got, _ := carry(t, v)
		one("basic types", &v, got)
	}
}

func TestTimes(t *testing.T) {
	vienna, err := time.LoadLocation("Europe/Vienna")
	if err != nil {
		t.Skip(err)
	}
	for _, v := range []time.Time{
		{}, time.Unix(0, 1), time.Now().UTC(), time.Now(), time.Date(2026, 7, 1, 12, 0, 0, 5, vienna),
		time.Date(1600, 1, 1, 0, 0, 0, 0, time.FixedZone("odd", 12345)),
	} {
		got, _ := carry(t, v)
		if !got.Equal(v) || got.String() != v.Round(0).String() || got.IsZero() != v.IsZero() {
			t.Errorf("got %v, want %v", got, v)
		}
	}
	v := time.Time{}
	if got, _ := carry(t, v); *got != v {
		t.Error("the zero time is not the zero time")
	}
	got, _ := carry(t, []*time.Location{vienna, time.UTC, time.Local, nil})
	for i, want := range []string{"Europe/Vienna", "UTC", "Local"} {
		if (*got)[i].String() != want {
			t.Errorf("zone %d: got %v, want %s", i, (*got)[i], want)
		}
	}
	if (*got)[1] != time.UTC || (*got)[3] != nil {
		t.Error("UTC or no zone has become another")
	}
	// Summer time is that of the place, not of the moment.
	summer, _ := carry(t, time.Date(2026, 7, 1, 12, 0, 0, 0, vienna))
	if _, offset := summer.AddDate(0, 6, 0).Zone(); offset != 3600 {
		t.Errorf("half a year later the offset is %d, want 3600", offset)
	}
}
