package report_test

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.com/railbook/report/internal/pdftest"
	"example.com/railbook/report/internal/pdftext"
	"example.com/railbook/sizing"
)

// TestReferences wants the works of the list to be numbered from one on, each cited
// somewhere before the list, and no number cited that is not in it.
func TestReferences(t *testing.T) {
	mark := regexp.MustCompile(`\[(\d+)\]`)
	for _, s := range shapes(t) {
		if !slices.Contains([]string{"first-build", "methanol", "aspirated", "driven", "speed", "staged and added, both systems"}, s.name) {
			continue
		}
		t.Run(s.name, func(t *testing.T) {
			pages, err := pdftext.Pages(rendered(t, assessed(t, s.build), bare))
			if err != nil {
				t.Fatal(err)
			}
			cited, listed := map[int]bool{}, 0
			inList := false
			for _, page := range pages {
				for _, piece := range page {
					switch {
					case strings.HasPrefix(piece, "Numbers in square brackets"):
						inList = true
					case piece == "Glossary":
						inList = false
					}
					for _, m := range mark.FindAllStringSubmatchIndex(piece, -1) {
						if m[0] > 0 && piece[m[0]-1] != ' ' && piece[m[0]-1] != '(' {
							continue // of a path, such as pumps[1]
						}
						n, _ := strconv.Atoi(piece[m[2]:m[3]])
						if inList && piece == fmt.Sprintf("[%d]", n) {
							if listed++; n != listed {
								t.Errorf("%q is listed as the %dth", piece, listed)
							}
							continue
						}
						cited[n] = true
					}
				}
			}
			for n := 1; n <= max(listed, len(cited)); n++ {
				if !cited[n] || n > listed {
					t.Errorf("[%d]: cited %v, listed %v", n, cited[n], n <= listed)
				}
			}
			if listed < 15 {
				t.Errorf("only %d works are listed", listed)
			}
		})
	}
}

// TestLinksLeadToWhatTheySay follows every link of a report.
func TestLinksLeadToWhatTheySay(t *testing.T) {
	b := open(t, "../testdata/sheets/surge.toml")
	staged(&b)
	a := assessed(t, b)
	steps := a.Working(b.Job.Units)
	links := pdftest.Links(t, rendered(t, a, bare))
	kinds := map[string]int{}
	for _, l := range links {
		kind, rest, _ := strings.Cut(l.Target, "-")
		kinds[kind]++
		there := strings.Join(strings.Fields(l.There), "")
		want := map[string]string{
			"A": "A" + rest, "ref": "[" + rest + "]", "table": "Table" + rest + ".",
			"section": rest, "appendix": rest,
		}[kind]
		if want != "" && !strings.HasPrefix(there, want) {
			t.Errorf("%q leads to %q, where %q stands", l.Words, l.Target, l.There)
		}
		if kind == "W" {
			// The title, whose type is the largest of the row, or its first line.
			n, _ := strconv.Atoi(rest)
			if title := squeeze(steps[n-1].Title); !strings.HasPrefix(squeeze(there), title[:min(18, len(title))]) {
				t.Errorf("%q leads to %q, where %q stands, not %q", l.Words, l.Target, l.There, title)
			}
		}
		if kind == "input" && !strings.Contains(there, strings.ReplaceAll(rest, " ", "")) {
			t.Errorf("%q leads to %q, where %q stands", l.Words, l.Target, l.There)
		}
	}
	for _, kind := range []string{"A", "W", "ref", "table", "section", "appendix", "input"} {
		if kinds[kind] < 5 {
			t.Errorf("only %d links to the kind %q", kinds[kind], kind)
		}
	}
}

// TestSourcesAreListed wants every source that the computation names to be a work of the
// list, unless it names none.
func TestSourcesAreListed(t *testing.T) {
	names := regexp.MustCompile(`\b(ISO|SAE|IEC|EN|ASTM|CFR|FR|API|OIML|MIL-HDBK|NFPA|NIST)[ -]?[A-Z]?\d|\b(18|19|20)\d\d\b|Heywood|Nahin|Moody`)
	cited := regexp.MustCompile(`\[\d+\]`)
	for _, s := range shapes(t) {
		if !slices.Contains([]string{"turbo", "natural", "surge", "speed", "long", "staged and added, both systems"}, s.name) {
			continue
		}
		a := assessed(t, s.build)
		text := read(t, rendered(t, a, bare))
		check := func(source string) {
			source = strings.TrimSpace(source)
			if !names.MatchString(source) {
				return
			}
			at := strings.Index(strings.ToLower(text), strings.ToLower(squeeze(source)))
			if at < 0 {
				t.Fatalf("%s: the source %q is not printed", s.name, source)
			}
			if end := text[at+len(squeeze(source)):]; !cited.MatchString(end[:min(8, len(end))]) {
				t.Errorf("%s: %q is printed without the number of a work: %.30s", s.name, source, end)
			}
		}
		for _, x := range a.Assumptions {
			check(x.Source)
		}
		for _, step := range a.Working(a.Build.Job.Units) {
			check(step.Source)
		}
		for _, x := range a.Warnings {
			if x.Concern == sizing.ContentVaries {
				check(x.Text)
			}
		}
	}
}
