package front

import (
	"flag"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"example.com/railbook/kernel/whatif"
	"example.com/railbook/sizing"
)

var update = flag.Bool("update", false, "rewrite the golden files")

func describe(t testing.TB, change func(*sizing.Build)) whatif.Description {
	t.Helper()
	b, err := sizing.Open("../../../testdata/sheets/driven.toml")
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(&b)
	}
	p, err := whatif.New(b)
	if err != nil {
		t.Fatal(err)
	}
	return p.Describe()
}

func fragment(t testing.TB, d whatif.Description, c Cell) string {
	t.Helper()
	text, err := Fragment(d, c)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// TestFragment holds what a cell shows, without the style and the scripts, against a golden
// file.
func TestFragment(t *testing.T) {
	got := fragment(t, describe(t, nil), Cell{ID: "panel-1", Target: "railbook-1"})
	got = strings.NewReplacer(style, "(panel.css)\n", drawScript, "(draw.js)\n", panelScript, "(panel.js)\n", commScript, "(comm.js)\n").Replace(got)
	got = regexp.MustCompile(`"description":\{.*\}\};`).ReplaceAllString(got, `"description":(description)};`)
	const path = "testdata/fragment.golden.html"
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v; run with -update to make it", err)
	}
	if got != string(want) {
		t.Errorf("differs; run with -update and look at the change:\n%s", got)
	}
}

const hostile = `</script></style></div><img src=x onerror="document.title='run'"><!--<script>'"\u2028&lt;`

// TestHostileText wants a fragment to be made of the same elements, whatever is in the
// names of a sheet.
func TestHostileText(t *testing.T) {
	elements := func(text string) string {
		root, err := html.Parse(strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		var list []string
		for n := range root.Descendants() {
			if n.Type == html.ElementNode {
				list = append(list, n.Data)
			}
		}
		return strings.Join(list, " ")
	}
	tame := fragment(t, describe(t, nil), Cell{ID: "a", Target: "b"})
	wild := fragment(t, describe(t, func(b *sizing.Build) {
		b.Job.Name, b.Job.Customer, b.Injectors.Part, b.Pumps[0].Part, b.FeedLine.Part = hostile, hostile, hostile, hostile, hostile
	}), Cell{ID: `a"><b>`, Target: hostile})
	if got, want := elements(wild), elements(tame); got != want {
		t.Errorf("elements\n%s\nwant\n%s", got, want)
	}
}

// TestScriptsStayInside wants no JavaScript of ours to end the element that it stands in,
// and nothing to load anything.
func TestScriptsStayInside(t *testing.T) {
	for name, text := range map[string]string{"draw.js": drawScript, "panel.js": panelScript, "comm.js": commScript, "panel.css": style} {
		lower := strings.ToLower(text)
		for _, bad := range []string{"</script", "<!--", "</style", "innerhtml", "eval(", "new function", "http:", "https:", "url(http", "@import", "@font-face", "fetch(", "xmlhttprequest", "import("} {
			if name == "draw.js" && strings.HasPrefix(bad, "http:") {
				lower = strings.ReplaceAll(lower, "http://www.w3.org/", "") // names of namespaces
			}
			if strings.Contains(lower, bad) {
				t.Errorf("%s contains %q", name, bad)
			}
		}
	}
}

// TestStyleStaysInside wants every rule of the style sheet to begin with a class of the
// panel, so that a notebook keeps its looks.
func TestStyleStaysInside(t *testing.T) {
	plain := regexp.MustCompile(`(?s)/\*.*?\*/`).ReplaceAllString(style, "")
	n := 0
	for _, m := range regexp.MustCompile(`(?m)^\s*([^{}@\n][^{}]*?)\s*\{`).FindAllStringSubmatch(plain, -1) {
		n++
		for selector := range strings.SplitSeq(regexp.MustCompile(`\([^()]*\)`).ReplaceAllString(m[1], ""), ",") {
			if s := strings.TrimSpace(selector); !strings.HasPrefix(s, ".rbw") && !strings.HasPrefix(s, "[data-answer=no] ") {
				t.Errorf("rule for %q", s)
			}
		}
	}
	if n < 50 {
		t.Errorf("%d rules", n)
	}
}

// luminance is the relative luminance of a colour as WCAG 2.x defines it for sRGB
// (secondary source: pages on colour contrast that quote the definition).
func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	hex = strings.TrimPrefix(hex, "#")
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	v, err := strconv.ParseUint(hex, 16, 24)
	if err != nil {
		t.Fatal(err)
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

// TestContrast wants of every text colour the 4.5 that WCAG 2.x asks of normal text (level
// AA) on every ground, and of scales the 3 it asks of what is drawn, in light, in dark and
// on paper.
func TestContrast(t *testing.T) {
	blocks := regexp.MustCompile(`(?s)\.rbw \{(.*?)\}`).FindAllStringSubmatch(style, -1)
	schemes := 0
	for _, b := range blocks {
		colours := map[string]float64{}
		for _, m := range regexp.MustCompile(`--(\w+): (#\w+);`).FindAllStringSubmatch(b[1], -1) {
			colours[m[1]] = luminance(t, m[2])
		}
		if len(colours) == 0 {
			continue
		}
		schemes++
		for _, ground := range []string{"paper", "panel", "notice", "fault"} {
			for text, least := range map[string]float64{"ink": 4.5, "quiet": 4.5, "accent": 4.5, "carries": 4.5, "thin": 4.5, "short": 4.5, "scale": 3} {
				if text == "scale" && ground != "paper" && ground != "panel" {
					continue
				}
				a, b := colours[ground], colours[text]
				if got := (max(a, b) + 0.05) / (min(a, b) + 0.05); got < least {
					t.Errorf("scheme %d: %s on %s has a contrast of %.2f, want %v", schemes, text, ground, got, least)
				}
			}
		}
	}
	if schemes != 3 {
		t.Errorf("%d sets of colours, want light, dark and paper", schemes)
	}
}
