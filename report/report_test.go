package report_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"example.com/railbook/report"
	"example.com/railbook/report/figure"
	"example.com/railbook/report/figure/draw"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

func TestSameSheetSameBytes(t *testing.T) {
	for _, sheet := range []string{demoSheet, methanolSheet} {
		first := rendered(t, assess(t, sheet), report.Options{Version: "1"})
		for range 2 {
			if again := rendered(t, assess(t, sheet), report.Options{Version: "1"}); !bytes.Equal(first, again) {
				t.Fatalf("%s: the same sheet gave other bytes", sheet)
			}
		}
		if other := rendered(t, assess(t, sheet), report.Options{Version: "2"}); bytes.Equal(first, other) {
			t.Errorf("%s: another version gave the same bytes", sheet)
		}
	}
}

// Reports made at the same time keep their own dates.
func TestConcurrentReportsDoNotMix(t *testing.T) {
	a := assess(t, demoSheet)
	want := make([][]byte, 3)
	options := func(i int) report.Options {
		return report.Options{Date: time.Date(2020+i, 1, 2, 3, 4, 5, 6, time.UTC), Figures: []figure.Figure{}}
	}
	for i := range want {
		want[i] = rendered(t, a, options(i))
	}
	var wg sync.WaitGroup
	for k := range 12 {
		wg.Go(func() {
			var out bytes.Buffer
			if err := report.Render(&out, a, options(k%3)); err != nil || !bytes.Equal(out.Bytes(), want[k%3]) {
				t.Errorf("report %d came out otherwise (error %v)", k, err)
			}
		})
	}
	wg.Wait()
}

// childOutput names the file that a process started by the test below writes.
const childOutput = "RAILBOOK_REPORT_TEST_OUTPUT"

func TestSameBytesInAnotherProcess(t *testing.T) {
	if path := os.Getenv(childOutput); path != "" {
		if err := report.Write(path, assess(t, demoSheet), report.Options{Version: "1"}); err != nil {
			t.Fatal(err)
		}
		return
	}
	first := rendered(t, assess(t, demoSheet), report.Options{Version: "1"})
	for i, procs := range []string{"1", "2"} {
		path := fmt.Sprintf("%s/%d.pdf", t.TempDir(), i)
		cmd := exec.Command(os.Args[0], "-test.run=^TestSameBytesInAnotherProcess$")
		cmd.Env = append(os.Environ(), childOutput+"="+path, "GOMAXPROCS="+procs, "TZ=Pacific/Auckland")
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		again, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(first, again) {
			t.Errorf("a process with %s processors gave other bytes", procs)
		}
	}
}

func TestDate(t *testing.T) {
	noFigures := []figure.Figure{}
	for _, c := range []struct {
		name  string
		sheet string
		given time.Time
		want  string
	}{
		{"of the sheet", "2026-11-20", time.Time{}, "20 November 2026"},
		{"given, in its own zone", "2026-11-20", time.Date(2027, 3, 1, 23, 30, 0, 0, time.FixedZone("", -11*3600)), "1 March 2027"},
		{"today", "", time.Time{}, time.Now().Format("2 January 2006")},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := open(t, demoSheet)
			b.Job.Date = c.sheet
			text := read(t, rendered(t, assessed(t, b), report.Options{Date: c.given, Figures: noFigures}))
			// Midnight may have passed since the test began.
			late := time.Now().Format("2 January 2006")
			if !strings.Contains(text, "Date"+squeeze(c.want)) && !(c.name == "today" && strings.Contains(text, "Date"+squeeze(late))) {
				t.Errorf("the report does not bear the date %s", c.want)
			}
		})
	}
}

func TestBadInput(t *testing.T) {
	good := assess(t, demoSheet)
	changed := func(change func(*sizing.Assessment)) *sizing.Assessment {
		a := *good
		change(&a)
		return &a
	}
	for _, c := range []struct {
		name string
		a    *sizing.Assessment
		o    report.Options
		kind error
		says string
	}{
		{"no assessment", nil, report.Options{}, report.ErrAssessment, "there is none"},
		{"an empty assessment", &sizing.Assessment{}, report.Options{}, report.ErrAssessment, "no results"},
		{"no parts", changed(func(a *sizing.Assessment) { a.Parts = nil }), report.Options{}, report.ErrAssessment, "no results"},
		{"a build that is not valid", changed(func(a *sizing.Assessment) { a.Build.Engine.Cylinders = 0 }), report.Options{}, report.ErrAssessment, "engine.cylinders"},
		{"a build whose defaults are not filled in", changed(func(a *sizing.Assessment) { a.Build.Policy.PumpMargin = nil }), report.Options{}, report.ErrAssessment, "margin"},
		{"a figure of nothing", good, report.Options{Figures: []figure.Figure{{ID: "nothing"}}}, draw.ErrFigure, "nothing"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out bytes.Buffer
			err := report.Render(&out, c.a, c.o)
			if !errors.Is(err, c.kind) || !strings.Contains(err.Error(), c.says) {
				t.Errorf("error %v, want %v saying %q", err, c.kind, c.says)
			}
			if out.Len() > 0 {
				t.Errorf("%d bytes were written", out.Len())
			}
		})
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

func TestWriterErrorComesBack(t *testing.T) {
	err := report.Render(fullDisk{}, assess(t, demoSheet), report.Options{Figures: []figure.Figure{}})
	if !errors.Is(err, io.ErrShortWrite) {
		t.Errorf("error %v, want the writer's", err)
	}
}

// Figures of the caller's are shown as they are, numbered in the order in which
// they stand.
func TestFiguresOfOnesOwn(t *testing.T) {
	a := assess(t, demoSheet)
	list, err := report.Figures(context.Background(), a.Build)
	if err != nil {
		t.Fatal(err)
	}
	own := []figure.Figure{list[2], list[3], list[0]}
	own[0].Title = "A map of one’s own"
	text := read(t, rendered(t, a, report.Options{Figures: own}))
	for _, s := range []string{"Figure1.Poweratwhich", "Figure2.Amapofone'sown", "Figures2to3show", "Figure3."} {
		if !strings.Contains(text, s) {
			t.Errorf("%q is not in the report", s)
		}
	}
	text = read(t, rendered(t, a, report.Options{Figures: []figure.Figure{}}))
	if strings.Contains(text, "Figure") || strings.Contains(text, "Aroundthisbuild") {
		t.Error("a report without figures speaks of them")
	}
}

// Whatever a sheet says in words, the report comes out, and what can be printed
// of it is in it.
func FuzzWords(f *testing.F) {
	for _, s := range []string{
		"", "plain", "\xff\xfe", "a\nb\r\n\tc\x00\x07", "漢字", "עברית", "\u202eabc", strings.Repeat("w", 3000), strings.Repeat("word ", 2000),
		"e\u0301\u0301\u0301", "(a) \\b\\ [c]", "●◐○", "{current} of {total}", "640 hp", "-5", "𝐀𝐁",
	} {
		f.Add(s)
	}
	a := assess(f, demoSheet)
	f.Fuzz(func(t *testing.T, s string) {
		a := *a
		a.Build.Job = sizing.Job{Name: s, Reference: s, Date: s, Revision: s, Maker: s, Engineer: s, Customer: s, Notes: s, Units: quantity.SI}
		a.Build.Injectors.Part, a.Build.Regulator.Part, a.Build.FeedLine.Part = s, s, s
		a.Build.Job.Date = "" // Render asks for a valid build
		a.Parts = append([]sizing.Part(nil), a.Parts...)
		for i := range a.Parts {
			a.Parts[i].Name = s
		}
		a.Warnings = []sizing.Warning{{Concern: sizing.Concern(s), Grave: true, Text: s}}
		text := read(t, rendered(t, &a, report.Options{Figures: []figure.Figure{}, Version: s}))
		// What is longer than a line of a narrow cell may be broken anywhere, and is
		// then not found in one piece.
		if want := squeeze(s); len(want) < 20 && !strings.Contains(text, want) {
			t.Errorf("%q is not in the report", want)
		}
	})
}
