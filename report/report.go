package report

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"time"

	"example.com/railbook/report/figure"
	"example.com/railbook/report/internal/layout"
	"example.com/railbook/report/results"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/uncertainty"
)

// Options say how a report is made. The zero value is good.
type Options struct {
	Date    time.Time       // on the report; zero: that of the sheet, or else today
	Figures []figure.Figure // to be shown; nil: what [Figures] gives, empty: none
	Version string          // of the program, for the record; empty: the constant Version
	Lists   []PartsList     // that parts were chosen from, to be attached
	// Evidence is what logged pulls of this engine say; nil for none.
	Evidence *Evidence
}

// ErrAssessment marks an assessment that no report can be made of.
var ErrAssessment = errors.New("no report can be made of this assessment")

// Render writes a report on a to w as a PDF; see [Make]. Nothing is written where an
// error is returned before the whole report is made.
func Render(w io.Writer, a *sizing.Assessment, o Options) error {
	d, err := Make(a, o)
	if err != nil {
		return err
	}
	_, err = w.Write(d.PDF)
	return err
}

// usable refuses what [sizing.Assess] cannot have made, so that no report shows
// zeros for results.
func usable(a *sizing.Assessment) error {
	switch {
	case a == nil:
		return fmt.Errorf("%w: there is none", ErrAssessment)
	case a.Power <= 0, a.Demand.Total <= 0, len(a.Parts) == 0:
		return fmt.Errorf("%w: it holds no results; want one made by sizing.Assess", ErrAssessment)
	}
	if err := a.Build.Validate(); err != nil {
		return fmt.Errorf("%w: %w", ErrAssessment, err)
	}
	if p := a.Build.Policy; p.InjectorMargin == nil || p.PumpMargin == nil || p.LineMargin == nil {
		return fmt.Errorf("%w: its policy lacks a margin; want one made by sizing.Assess", ErrAssessment)
	}
	return nil
}

// date returns the date that the report bears.
func date(a *sizing.Assessment, o Options) time.Time {
	d := o.Date
	if d.IsZero() {
		var err error
		if d, err = time.Parse(time.DateOnly, a.Build.Job.Date); err != nil {
			d = time.Now()
		}
	}
	return time.Date(d.Year(), d.Month(), d.Day(), 0, 0, 0, 0, time.UTC)
}

// writer writes one report.
type writer struct {
	a       *sizing.Assessment
	sys     quantity.System
	date    time.Time
	version string
	doc     *layout.Doc
	plates  plates
	study   *uncertainty.Study // nil where nothing is in doubt
	pulls   *Evidence          // nil where there is none
	number  map[string]int     // of sections, by title
	title   string             // of the section being written
	tables  []results.Table
	steps   []results.Step
	err     error // the first that met it
}

// The titles of the sections, in order.
const (
	partsTitle         = "Parts and margins"
	warningsTitle      = "Warnings"
	inputsTitle        = "The combination"
	fuelTitle          = "The fuel"
	assumptionsTitle   = "Assumptions"
	demandTitle        = "Fuel demand"
	deliveryTitle      = "Injection and delivery"
	workingTitle       = "The working"
	mapsTitle          = "Around this build"
	doubtsTitle        = "What is not known exactly"
	evidenceTitle      = "Evidence from logs"
	commissioningTitle = "Commissioning"
	safetyTitle        = "Safety"
	limitsTitle        = "Limits of this report"
	signTitle          = "Sign-off"
)

func (w *writer) write() ([]byte, error) {
	type section struct {
		title string
		write func()
	}
	sections := []section{
		{partsTitle, w.parts},
		{warningsTitle, w.warnings},
		{inputsTitle, w.inputs},
		{fuelTitle, w.fuel},
		{assumptionsTitle, w.assumptions},
		{demandTitle, w.demand},
		{deliveryTitle, w.delivery},
		{workingTitle, w.working},
		{mapsTitle, w.maps},
		{commissioningTitle, w.commissioning},
		{safetyTitle, w.safety},
		{limitsTitle, w.limits},
		{signTitle, w.sign},
	}
	if w.pulls != nil {
		sections = slices.Insert(sections, 9, section{evidenceTitle, w.evidence})
	}
	if w.study != nil {
		sections = slices.Insert(sections, 9, section{doubtsTitle, w.doubts})
	}
	if len(w.plates.rest) == 0 {
		sections = slices.Delete(sections, 8, 9)
	}
	w.number = map[string]int{}
	titles := make([]string, len(sections))
	for i, s := range sections {
		titles[i] = s.title
		w.number[s.title] = i + 1
	}
	w.doc = layout.New(w.setup())
	w.cover(titles)
	w.doc.NewPage()
	for _, s := range sections {
		w.title = s.title
		w.doc.Section(s.title)
		s.write()
	}
	if w.err != nil {
		return nil, w.err
	}
	return w.doc.PDF()
}

func (w *writer) setup() layout.Setup {
	job := w.a.Build.Job
	author := job.Maker
	if job.Engineer != "" {
		author = join(", ", job.Engineer, job.Maker)
	}
	s := layout.Setup{
		Paper: layout.A4, Date: w.date,
		Title: "Fuel system build report: " + job.Name, Author: author,
		Subject: w.summary(), Creator: w.program(),
		Foot: join("  ·  ", job.Reference, "Revision "+job.Revision, job.Name),
	}
	if w.sys == quantity.US {
		s.Paper = layout.Letter
	}
	return s
}

// program is the name of what makes reports.
const program = "Railbook"

// program names what made the report.
func (w *writer) program() string { return join(" ", program, w.version) }

// section refers to a section by its number: "section 3".
func (w *writer) section(title string) string { return fmt.Sprintf("section %d", w.number[title]) }
