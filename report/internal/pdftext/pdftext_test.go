package pdftext

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"
)

// paged is ASCII as a page holds it.
func paged(s string) string {
	var b strings.Builder
	for i := range len(s) {
		b.WriteByte(0)
		b.WriteByte(s[i])
	}
	return b.String()
}

func TestPieces(t *testing.T) {
	for _, c := range []struct {
		name, content string
		want          []Piece
	}{
		{"nothing", "", nil},
		{"no text", "q 1 0 0 1 0 0 cm /I1 Do Q", nil},
		{"one", "BT /F1 9.00 Tf ET\nq 0.1 g BT 56.69 732.81 Td (" + paged("words") + ") Tj ET Q", []Piece{{"words", 56.69, 732.81, "F1", 9}}},
		{"two in one font", "BT /F1 9 Tf ET BT 1 2 Td (" + paged("a") + ") Tj ET BT 3 4 Td (" + paged("b") + ") Tj ET", []Piece{{"a", 1, 2, "F1", 9}, {"b", 3, 4, "F1", 9}}},
		{"two fonts", "BT /F1 9 Tf ET BT 1 2 Td (" + paged("a") + ") Tj ET BT /F2 8.5 Tf ET BT 3 4 Td (" + paged("b") + ") Tj ET", []Piece{{"a", 1, 2, "F1", 9}, {"b", 3, 4, "F2", 8.5}}},
		{"what is written otherwise", "(\x00\\)\x00\\\\\x00\\r\x03\xbb) Tj", []Piece{{Text: ")\\\rλ"}}},
		{"text that looks like more", "BT /F1 9 Tf ET BT 1 2 Td (" + paged("BT 7 8 Td /F9 1 Tf") + ") Tj", []Piece{{"BT 7 8 Td /F9 1 Tf", 1, 2, "F1", 9}}},
		{"not shown", "(abcd) Tx (ab", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Pieces([]byte(c.content))
			if err != nil || !reflect.DeepEqual(got, c.want) {
				t.Errorf("%+v, %v; want %+v", got, err, c.want)
			}
		})
	}
	if _, err := Pieces([]byte("(abc) Tj")); !errors.Is(err, ErrFormat) {
		t.Errorf("half a character: error %v", err)
	}
}

func TestJoin(t *testing.T) {
	if got := Join([][]string{{"a ", " b  c"}, {"", "d"}}); got != "a b c  d " {
		t.Errorf("%q", got)
	}
}

// FuzzPieces: no content breaks the reader, which takes a time in proportion to its size.
func FuzzPieces(f *testing.F) {
	f.Add([]byte("BT /F1 9 Tf ET BT 1 2 Td (\x00a) Tj ET"))
	f.Add(bytes.Repeat([]byte("() Tj"), 1000))
	f.Fuzz(func(t *testing.T, content []byte) {
		list, err := Pieces(content)
		if err == nil && len(list) > bytes.Count(content, []byte(" Tj")) {
			t.Errorf("%d pieces", len(list))
		}
	})
}

// Content of no text at all, as long as a page can be.
func BenchmarkPieces(b *testing.B) {
	for _, n := range []int{1000, 10_000} {
		content := bytes.Repeat([]byte("() Tj\n"), n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if _, err := Pieces(content); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
