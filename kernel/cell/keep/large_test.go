package keep

import (
	"strings"
	"testing"
)

// A large block has a file of its own, which stays while it is not changed.
func TestLarge(t *testing.T) {
	b := newBook(t)
	type data struct {
		numbers []float64
		text    string
		matrix  [][]float64
		n       int
	}
	const size = 1 << 20
	{
		v := data{numbers: make([]float64, size), text: strings.Repeat("fuel ", size)}
		v.numbers[5] = 2.5
		v.matrix = [][]float64{v.numbers[:size/2], v.numbers[size/2:]}
		b.cell(map[string]any{"v": &v}, func() {})
	}
	larges := func() string { return strings.Join(b.all.Files[0].Larges, " ") }
	first, heap := larges(), b.file["v"]
	if strings.Count(first, " ") != 1 {
		t.Fatalf("larges %q, want two", first)
	}
	{
		var v data
		b.cell(map[string]any{"v": &v}, func() {
			if v.numbers[5] != 2.5 || len(v.text) != 5*size || v.text[:5] != "fuel " {
				t.Errorf("got %v, %d", v.numbers[5], len(v.text))
			}
		})
	}
	if larges() != first || b.file["v"] != heap {
		t.Errorf("it was only read, but went from %s, %s to %s, %s", heap, first, b.file["v"], larges())
	}
	{
		var v data
		b.cell(map[string]any{"v": &v}, func() { v.n++ })
	}
	if larges() != first || b.file["v"] == heap {
		t.Errorf("its small part was changed: %s, %s to %s, %s", heap, first, b.file["v"], larges())
	}
	{
		var v data
		b.cell(map[string]any{"v": &v}, func() { v.matrix[1][0] = 7; v.numbers = append(v.numbers, 1) })
	}
	if larges() == first {
		t.Error("a number was changed, but the file stays")
	}
	var v data
	b.cell(map[string]any{"v": &v}, func() {
		if len(v.numbers) != size+1 || v.numbers[size] != 1 || v.matrix[1][0] != 7 || v.matrix[0][5] != 2.5 {
			t.Errorf("got %v, %v, %v", len(v.numbers), v.matrix[1][0], v.matrix[0][5])
		}
	})
}

func TestLargeVariable(t *testing.T) {
	v := [1 << 17]int32{3: 3}
	got, _ := carry(t, v)
	if *got != v {
		t.Error("it is not the same")
	}
}

// A list far longer than any stack of calls could follow.
func TestLongList(t *testing.T) {
	const n = 50_000
	var head *Pair
	for range n {
		head = &Pair{a: head}
	}
	got, _ := carry(t, head)
	count := 0
	for p := *got; p != nil; p = p.a {
		count++
	}
	if count != n {
		t.Errorf("%d links, want %d", count, n)
	}
}
