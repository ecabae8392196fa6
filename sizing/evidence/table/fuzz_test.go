package table

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"reflect"
	"strings"
	"testing"
)

// FuzzReader never panics, keeps its promises on rows, and counts every line.
func FuzzReader(f *testing.F) {
	for _, s := range []string{
		"a,b\n1,2\n3,4\n",
		"# x\na;b\ns;kPa\n1,5;2\n3,5;4\n",
		"\xff\xfea\x00,\x00b\x00\n\x001\x00,\x002\x00\n\x00",
		"\"a\nb\",c\r\n1,\"2\"\r\n\"3\",4",
		"a\tb\t\r1\t2\t\r3\t4\t\r",
		"a,b\n1,2\n3\n4,5,6\n7,8",
		"\"",
		"a,b\n\"1,2\n3,4\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		r, err := NewReader(bytes.NewReader(text), Options{MostRagged: 1})
		if err != nil {
			return
		}
		rows, line := 0, 0
		for r.Next() {
			rows++
			if r.Line() <= line {
				t.Fatalf("line %d after line %d", r.Line(), line)
			}
			line = r.Line()
			for i := range r.Columns() {
				r.Number(i)
				r.Clock(i)
			}
		}
		if c := r.Counts(); c.Rows != rows {
			t.Fatalf("%d rows, counted %+v", rows, c)
		}
		for i, c := range r.Columns() {
			if at, err := r.Find(c.Head); err == nil && at != i || err != nil && !errors.Is(err, ErrColumn) {
				t.Fatalf("Find(%q) = %d, %v; want %d", c.Head, at, err, i)
			}
		}
	})
}

// FuzzScanner cuts text as encoding/csv does, where that can read it.
func FuzzScanner(f *testing.F) {
	for _, s := range []string{"a,b\n1,2\n", "\"a\"\"b\",c\n\"1\n2\",3\n", ",\n,,\n", "a\r\nb\r\n", "\"a\",\"\"\n", "x,\"y\r\nz\"\r\n"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if strings.ContainsRune(text, '\r') {
			// encoding/csv turns CRLF within quotes into LF; here it stays.
			text = strings.ReplaceAll(text, "\r", "")
		}
		c := csv.NewReader(strings.NewReader(text))
		c.FieldsPerRecord = -1
		want, err := c.ReadAll()
		if err != nil {
			return
		}
		sc := newScanner(strings.NewReader(text), 16)
		var got [][]string
		for sc.next() {
			var row []string
			for _, cell := range sc.cells {
				row = append(row, string(cell))
			}
			if len(row) > 1 || row[0] != "" || len(sc.cells) != 1 {
				got = append(got, row)
			}
		}
		if sc.err != nil {
			t.Fatal(sc.err)
		}
		// An empty cell in quotes alone on a line is a row there, an empty line here.
		var kept [][]string
		for _, row := range want {
			if len(row) > 1 || row[0] != "" {
				kept = append(kept, row)
			}
		}
		if !reflect.DeepEqual(got, kept) {
			t.Fatalf("%q: cells %q, encoding/csv has %q", text, got, kept)
		}
	})
}

const benchRow = "123.456,6512.3,12.345,352.1,245.6,70.2,0.812,512.4,38.5,13.62,98.7,3\n"

// BenchmarkReader reads a table of twelve columns: rows cut and nine numbers read.
func BenchmarkReader(b *testing.B) { bench(b, "t,n,pw,pr,pm,e,la,p,tf,u,tps,gear\n", benchRow) }

// BenchmarkReaderQuoted is the same with every cell in quotes, decimal commas.
func BenchmarkReaderQuoted(b *testing.B) {
	quoted := `"` + strings.NewReplacer(",", `";"`, ".", ",").Replace(strings.TrimSpace(benchRow)) + "\"\n"
	bench(b, "t;n;pw;pr;pm;e;la;p;tf;u;tps;gear\n", quoted)
}

func bench(b *testing.B, head, row string) {
	const rows = 200_000
	b.SetBytes(int64(len(row)) * rows)
	b.ReportAllocs()
	for range b.N {
		r, err := NewReader(io.MultiReader(strings.NewReader(head), &repeat{text: []byte(row), left: rows}), Options{})
		if err != nil {
			b.Fatal(err)
		}
		sum := 0.0
		for r.Next() {
			for i := range 9 {
				v, _ := r.Number(i)
				sum += v
			}
		}
		if r.Counts().Rows != rows || sum == 0 {
			b.Fatal(r.Counts(), r.Err())
		}
	}
}

// BenchmarkStandardCSV is what encoding/csv takes to cut the same rows, without reading
// a number.
func BenchmarkStandardCSV(b *testing.B) {
	const rows = 200_000
	b.SetBytes(int64(len(benchRow)) * rows)
	for range b.N {
		c := csv.NewReader(&repeat{text: []byte(benchRow), left: rows})
		c.ReuseRecord = true
		n := 0
		for {
			if _, err := c.Read(); err != nil {
				break
			}
			n++
		}
		if n != rows {
			b.Fatal(n)
		}
	}
}

// BenchmarkScanner cuts the rows alone.
func BenchmarkScanner(b *testing.B) {
	const rows = 200_000
	b.SetBytes(int64(len(benchRow)) * rows)
	for range b.N {
		sc := newScanner(&repeat{text: []byte(benchRow), left: rows}, bufferSize)
		n := 0
		for sc.next() {
			n++
		}
		if n != rows {
			b.Fatal(n)
		}
	}
}
