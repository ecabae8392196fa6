package report_test

import (
	"fmt"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"example.com/railbook/report"
	"example.com/railbook/report/internal/pdftest"
	"example.com/railbook/report/internal/pdftext"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
)

// shape is a build of a kind that the pages have to take.
type shape struct {
	name  string
	build sizing.Build
}

// shapes are builds of every kind: all sheets of the tests, one to twelve injectors,
// staged sets, long names and notes, both systems of units on both papers, everything
// optional and nothing of it.
func shapes(t testing.TB) []shape {
	t.Helper()
	more, err := filepath.Glob("../testdata/sheets/*.toml")
	if err != nil || len(more) == 0 {
		t.Fatal(err)
	}
	var list []shape
	for _, sheet := range append(more, sheets...) {
		list = append(list, shape{nameOf(sheet), open(t, sheet)})
	}
	with := func(name string, b sizing.Build, change func(*sizing.Build)) {
		change(&b)
		list = append(list, shape{name, b})
	}
	demo := open(t, demoSheet)
	for _, n := range []int{1, 2, 3, 5, 8, 10, 12} {
		with(fmt.Sprintf("%d injectors", n), demo, func(b *sizing.Build) {
			b.Engine.Cylinders = n
			b.Target.Power = quantity.CrankPower(float64(n)) * 100 * quantity.Horsepower
			b.Engine.Displacement = quantity.Volume(float64(n)) * 600 * quantity.CubicCentimetre
		})
	}
	with("staged", demo, staged)
	with("staged and added, both systems", demo, func(b *sizing.Build) {
		staged(b)
		b.Nitrous = sizing.Nitrous{Power: 100 * quantity.Horsepower, Fuel: demand.FromRail}
		b.WaterMethanol = sizing.WaterMethanol{Flow: 800 * quantity.CCPerMinute, Credit: sizing.Taken}
		b.Job.Units = quantity.USThenSI
	})
	for _, sys := range []quantity.System{quantity.SI, quantity.US, quantity.SIThenUS, quantity.USThenSI} {
		for _, paper := range []sizing.Paper{sizing.A4Paper, sizing.LetterPaper} {
			with(fmt.Sprintf("surge tank, %s, %s", sys, paper), open(t, "../testdata/sheets/surge.toml"), func(b *sizing.Build) {
				b.Job.Units, b.Job.Paper = sys, paper
			})
		}
	}
	long := strings.Repeat("a part with a name that goes on and on ", 8)
	with("long names in both systems", open(t, "../testdata/sheets/surge.toml"), func(b *sizing.Build) {
		staged(b)
		b.Job.Units = quantity.SIThenUS
		b.Job.Name, b.Job.Maker, b.Job.Customer, b.Job.Engineer, b.Job.Reference = long, long, long, long, strings.Repeat("reference", 30)
		b.Injectors.Part, b.Secondary.Part, b.Regulator.Part, b.FeedLine.Part = long, strings.Repeat("secondary", 40), long, long
		b.Pumps = append([]sizing.Pump(nil), b.Pumps...)
		for i := range b.Pumps {
			b.Pumps[i].Part = long
		}
		b.Suction = append([]sizing.Segment(nil), b.Suction...)
		for range 6 {
			b.Suction = append(b.Suction, sizing.Segment{Part: long, Filter: b.Suction[1].Filter})
		}
	})
	with("long notes", open(t, aspiratedSheet), func(b *sizing.Build) {
		b.Job.Notes = strings.Repeat("Everything about the car is to be written down here. ", 200)[:10_000]
	})
	with("many revisions", demo, func(b *sizing.Build) {
		for i := range 40 {
			b.Revisions = append(b.Revisions, sizing.Revision{Mark: fmt.Sprint(i), By: long, What: long})
		}
		b.Job.Revision = "39"
	})
	return list
}

// staged gives a build a second set of injectors.
func staged(b *sizing.Build) {
	rating, err := injector.ParseRating("900 cc/min at 3 bar on n-heptane")
	if err != nil {
		panic(err)
	}
	b.Secondary = &sizing.Secondary{Part: "Lindqvist L-0900", Flow: rating, Start: 0.5}
}

// TestShapes renders each shape, with a choice of parts and evidence, and wants room for
// everything printed, the summary on one page of its own, no heading at the foot of a page,
// no page too many, and every table and figure numbered in order and named in the text.
func TestShapes(t *testing.T) {
	o := report.Options{
		Evidence: &report.Evidence{Words: []string{"It held."}, Tables: []sizing.Table{sampleTable("Pulls"), sampleTable("Samples"), sampleTable("Doubts")}},
		Choice:   &report.Choice{Words: []string{"The first is the cheapest."}, Tables: []sizing.Table{sampleTable("Best"), sampleTable("Rejected")}},
	}
	for _, s := range shapes(t) {
		t.Run(s.name, func(t *testing.T) {
			t.Parallel()
			pdf := rendered(t, assessed(t, s.build), o)
			pdftest.Fits(t, pdf)
			pages, err := pdftext.Placed(pdf)
			if err != nil {
				t.Fatal(err)
			}
			summaryHasAPage(t, pages)
			noHeadingAtTheFoot(t, pages)
			allIsReferredTo(t, pages)
			if n := len(pages); n < 15 || n > 40 {
				t.Errorf("%d pages, want 15 to 40", n)
			}
		})
	}
}

// headingSize is the least size of type that headings are set in, in points.
const headingSize = 10

// summaryHasAPage wants the summary to begin a page and the next section the page behind
// it.
func summaryHasAPage(t *testing.T, pages [][]pdftext.Piece) {
	t.Helper()
	begins := func(title string) int {
		for n, p := range pages {
			for _, piece := range p {
				if piece.Size > headingSize && piece.Text == title {
					return n + 1
				}
			}
		}
		t.Fatalf("no section %q", title)
		return 0
	}
	if first, next := begins("Summary"), begins("Warnings"); next != first+1 || pages[first-1][1].Text != "Summary" {
		t.Errorf("the summary begins on page %d and the next section on page %d", first, next)
	}
}

// noHeadingAtTheFoot wants more than a line below every heading on its page.
func noHeadingAtTheFoot(t *testing.T, pages [][]pdftext.Piece) {
	t.Helper()
	for n, page := range pages {
		body := page[:len(page)-2] // less the foot
		for _, h := range body {
			if h.Size < headingSize || n == 0 {
				continue
			}
			below := 0
			for _, p := range body {
				if p.Y < h.Y-1 && p.Size < headingSize {
					below++
				}
			}
			if below < 2 {
				t.Errorf("page %d: %q stands at its foot", n+1, h.Text)
			}
		}
	}
}

// caption is how tables and figures are captioned.
var caption = regexp.MustCompile(`^(Table|Figure) (\d+)\. `)

// allIsReferredTo wants the numbers of tables and figures to run from one on, and each to
// be named in the text.
func allIsReferredTo(t *testing.T, pages [][]pdftext.Piece) {
	t.Helper()
	captions := map[string]int{}
	var text strings.Builder
	for _, page := range pages {
		for _, piece := range page[:len(page)-2] {
			if m := caption.FindStringSubmatch(piece.Text); m != nil {
				captions[m[1]]++
				if want := fmt.Sprint(captions[m[1]]); m[2] != want {
					t.Errorf("%q, want number %s", piece.Text, want)
				}
				continue
			}
			text.WriteString(piece.Text + " ")
		}
	}
	words := strings.Join(strings.Fields(text.String()), " ")
	for kind, n := range captions {
		named := namedNumbers(words, kind)
		for i := 1; i <= n; i++ {
			if !named[i] {
				t.Errorf("%s %d is not referred to", kind, i)
			}
		}
	}
	if captions["Table"] < 20 || captions["Figure"] < 4 {
		t.Errorf("%v captions", captions)
	}
}

func sampleTable(caption string) sizing.Table {
	return sizing.Table{Caption: caption, Columns: []sizing.Column{{Name: "What"}, {Name: "How much", Numeric: true}}, Rows: [][]string{{"first", "1"}, {"second", "2"}}}
}

// namedNumbers are the numbers that a text gives to a kind: "table 3", "Figures 3 to 6",
// "tables from table 8 to table 10".
func namedNumbers(text, kind string) map[int]bool {
	named := map[int]bool{}
	lower := strings.ToLower(kind)
	number := `(?:` + kind + `|` + lower + `)s? (\d+)`
	var n, m int
	for _, found := range regexp.MustCompile(number).FindAllStringSubmatch(text, -1) {
		fmt.Sscan(found[1], &n)
		named[n] = true
	}
	for _, found := range regexp.MustCompile(number+` to (?:`+lower+` )?(\d+)`).FindAllStringSubmatch(text, -1) {
		fmt.Sscan(found[1], &n)
		fmt.Sscan(found[2], &m)
		for ; n <= m; n++ {
			named[n] = true
		}
	}
	return named
}
