package assist

import (
	"slices"
	"strings"
	"testing"
)

// TestPositions holds places in a text with letters of one to four bytes against counting
// by hand, and there and back.
func TestPositions(t *testing.T) {
	x := newText("ab\nµ√𝄞c\n\nend")
	for _, tt := range []struct {
		offset int
		want   position
	}{
		{0, position{0, 0}}, {2, position{0, 2}}, {3, position{1, 0}}, {5, position{1, 1}}, {8, position{1, 2}}, {12, position{1, 4}}, {13, position{1, 5}},
		{14, position{2, 0}}, {15, position{3, 0}}, {18, position{3, 3}},
	} {
		if got := x.position(tt.offset); got != tt.want {
			t.Errorf("offset %d is %v, want %v", tt.offset, got, tt.want)
		}
		if got := x.offset(tt.want); got != tt.offset {
			t.Errorf("%v is offset %d, want %d", tt.want, got, tt.offset)
		}
	}
	if got := x.offset(position{0, 99}); got != 2 {
		t.Errorf("beyond a line: %d", got)
	}
	if got := x.offset(position{99, 0}); got != len(x.source) {
		t.Errorf("beyond the text: %d", got)
	}
}

func FuzzPositions(f *testing.F) {
	f.Add("a\nb", 2)
	f.Fuzz(func(t *testing.T, source string, offset int) {
		source = strings.ToValidUTF8(source, "?")
		x := newText(source)
		if offset < 0 || offset > len(source) || offset < len(source) && source[offset]&0xC0 == 0x80 {
			return
		}
		if got := x.offset(x.position(offset)); got != offset {
			t.Errorf("%d of %q comes back as %d", offset, source, got)
		}
	})
}

func TestNames(t *testing.T) {
	for _, tt := range []struct {
		code string // with | at the cursor
		want []string
	}{
		{"fuel.Ble|nd", []string{"Blend"}},
		{"fuel.Blend|", []string{"Blend"}},
		{"fu|el.Blend", []string{"fuel"}},
		{"Sweep(build, |)", []string{"Sweep"}},
		{"Show(Map(grid|, x))", []string{"grid", "Map", "Show"}},
		{"f(a) + |", nil},
		{`f("unfinished |`, []string{"f"}},
		{"|", nil},
	} {
		cursor := strings.Index(tt.code, "|")
		code := strings.Replace(tt.code, "|", "", 1)
		var got []string
		for _, at := range names(code, cursor) {
			end := at
			for end < len(code) && (code[end] == '_' || code[end] >= 'A' && code[end] <= 'z') {
				end++
			}
			got = append(got, code[at:end])
		}
		if !slices.Equal(got, tt.want) {
			t.Errorf("%s: %v, want %v", tt.code, got, tt.want)
		}
	}
}

func TestPlain(t *testing.T) {
	got := Plain("```go\nfunc Blend() fuel.Blend\n```\n\n---\n\nBlend returns \\[x\\] in `kg/m³`.\n")
	if want := "func Blend() fuel.Blend\n\n\nBlend returns [x] in kg/m³."; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}
