package page

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// luminance is the relative luminance of a colour "#rrggbb" or "#rgb" as
// defined by WCAG 2.x for sRGB (secondary source: the definition as quoted by
// pages on colour contrast, not the recommendation itself).
func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	hex = strings.TrimPrefix(hex, "#")
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	v, err := strconv.ParseUint(hex, 16, 24)
	if err != nil || len(hex) != 6 {
		t.Fatalf("colour %q: %v", hex, err)
	}
	linear := func(c uint64) float64 {
		s := float64(c) / 255
		if s <= 0.03928 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(v>>16) + 0.7152*linear(v>>8&255) + 0.0722*linear(v&255)
}

func contrast(t *testing.T, a, b string) float64 {
	t.Helper()
	la, lb := luminance(t, a), luminance(t, b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

func TestContrastOfKnownPairs(t *testing.T) {
	// The definition's ends: 21 for black on white, 1 for equal colours.
	if got := contrast(t, "#000000", "#fff"); math.Abs(got-21) > 1e-9 {
		t.Errorf("black on white = %v, want 21", got)
	}
	if got := contrast(t, "#0a5768", "#0a5768"); got != 1 {
		t.Errorf("a colour on itself = %v, want 1", got)
	}
}

// Every text colour reaches the 4.5 that WCAG 2.x asks of normal text (level
// AA), on every ground it stands on, in light, dark and print.
func TestContrast(t *testing.T) {
	css := asset("page.css")
	blocks := regexp.MustCompile(`(?s):root[^ {]* \{(.*?)\}`).FindAllStringSubmatch(css, -1)
	if len(blocks) != 4 {
		t.Fatalf("%d sets of colours in page.css, want light, dark, chosen dark and print", len(blocks))
	}
	if squeeze(blocks[1][1]) != squeeze(blocks[2][1]) {
		t.Error("the dark colours for who prefers them and for who has chosen them differ")
	}
	for i, scheme := range []string{"light", "dark", "chosen dark", "print"} {
		colours := make(map[string]string)
		for _, m := range regexp.MustCompile(`--(\w+): (#\w+);`).FindAllStringSubmatch(blocks[i][1], -1) {
			colours[m[1]] = m[2]
		}
		for _, ground := range []string{"paper", "panel", "notice", "fault"} {
			for _, text := range []string{"ink", "quiet", "accent", "carries", "thin", "short"} {
				if colours[ground] == "" || colours[text] == "" {
					t.Fatalf("%s: no colour for %s or %s", scheme, ground, text)
				}
				if got := contrast(t, colours[text], colours[ground]); got < 4.5 {
					t.Errorf("%s: %s on %s has a contrast of %.2f, want 4.5 or more", scheme, text, ground, got)
				}
			}
		}
	}
}

// squeeze leaves out what indents lines.
func squeeze(s string) string { return strings.Join(strings.Fields(s), " ") }

// The style sheet knows the classes that the display helpers write.
func TestStyleKnowsTheClasses(t *testing.T) {
	css := asset("page.css")
	for _, class := range []string{"rb-table", "rb-num", "rb-status", "rb-carries", "rb-thin", "rb-short", "rb-note", "rb-caution", "rb-verdict",
		"rb-k", "rb-s", "rb-n", "rb-c", "rb-m"} {
		if !regexp.MustCompile(`\.` + class + `\b`).MatchString(css) {
			t.Errorf("page.css has no rule for .%s", class)
		}
	}
}

// Nothing in the page's own files loads anything.
func TestAssetsMakeNoRequest(t *testing.T) {
	for _, name := range []string{"page.html.tmpl", "page.css", "page.js", "charts.js", "events.js"} {
		for _, bad := range []string{"http:", "https:", "url(", "@import", "@font-face", "fetch(", "XMLHttpRequest", "import("} {
			if strings.Contains(asset(name), bad) {
				t.Errorf("%s contains %q", name, bad)
			}
		}
	}
}
