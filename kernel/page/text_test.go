package page

import (
	"testing"
	"unicode"
)

func TestPlain(t *testing.T) {
	for name, tc := range map[string]struct{ in, want string }{
		"untouched":        {"λ ≥ 0.82\n\tok", "λ ≥ 0.82\n\tok"},
		"colour":           {"\x1b[1;31mred\x1b[0m \x1b[38;2;1;2;3mx\x1b[m", "red x"},
		"cursor":           {"a\x1b[2K\x1b[1Gb", "ab"},
		"link":             {"\x1b]8;;https://example.com\x1b\\text\x1b]8;;\x07", "text"},
		"two characters":   {"a\x1bMb\x1b(Bc", "abc"},
		"progress":         {"10 %\r50 %\r100 %\nnext", "100 %\nnext"},
		"progress, open":   {"10 %\r50 %\r", "50 %"},
		"windows lines":    {"a\r\nb\r\n", "a\nb\n"},
		"control":          {"a\x00b\x07c\x7fd\u0085e", "abcde"},
		"escape cut short": {"a\x1b", "a"},
	} {
		t.Run(name, func(t *testing.T) {
			if got := plain(tc.in); got != tc.want {
				t.Errorf("plain(%q) = %q, want %q", tc.in, got, tc.want)
			}
		})
	}
}

func FuzzPlain(f *testing.F) {
	f.Add("\x1b[1;31mred\x1b[0m\rover\x1b]0;title\x07")
	f.Fuzz(func(t *testing.T, text string) {
		for _, r := range plain(text) {
			if unicode.IsControl(r) && r != '\n' && r != '\t' {
				t.Errorf("plain(%q) keeps %q", text, r)
			}
		}
	})
}
