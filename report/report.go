package report

import (
	"errors"
	"fmt"
	"io"
	"time"

	"example.com/railbook/report/figure"
	"example.com/railbook/report/internal/layout"
	"example.com/railbook/report/internal/logo"
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
	// Choice is how the parts were chosen; nil for a report that does not tell.
	Choice *Choice
	// Logo is the picture that job.logo of the sheet names, as [LogoOf] reads it; nil
	// for a sheet without.
	Logo []byte
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

// writer puts the content of a report on the pages of a document.
type writer struct {
	a       *sizing.Assessment
	sys     quantity.System
	date    time.Time
	version string
	doc     *layout.Doc
	plates  plates
	study   *uncertainty.Study // nil where nothing is in doubt
	pulls   *Evidence          // nil where there is none
	choice  *Choice            // nil where there is none
	logo    *logo.Logo         // nil where there is none
	moved   []effect           // what becomes of the results where an assumption is wrong, in the order of the assumptions
	assumed map[string]int     // numbers of the assumptions, from 1, by the fields they stand in for
	inputs  inputs             // the full inputs, and where each is to be found
	label   map[string]string  // of sections and appendices, by title
	title   string             // of the one being written
	cited   []reference        // in the order of their numbers
	tables  []results.Table
	steps   []results.Step
	err     error // the first that met it
}

// The titles of the sections, in order.
const (
	summaryTitle       = "Summary"
	warningsTitle      = "Warnings"
	combinationTitle   = "The combination"
	assumptionsTitle   = "Assumptions"
	fuelTitle          = "Fuel and blend"
	demandTitle        = "Fuel demand"
	injectorsTitle     = "Injectors"
	pumpsTitle         = "Pumps and wiring"
	plumbingTitle      = "Plumbing"
	regulatorTitle     = "Regulator and rail pressure"
	marginsTitle       = "Margins"
	mapsTitle          = "Around this build"
	choiceTitle        = "Choice of parts"
	evidenceTitle      = "Evidence from logs"
	uncertaintyTitle   = "Uncertainty"
	commissioningTitle = "Commissioning"
	safetyTitle        = "Safety"
	limitsTitle        = "Limits of this report"
	signTitle          = "Sign-off"

	inputsTitle     = "Full inputs"
	workingTitle    = "Full working"
	referencesTitle = "References"
	glossaryTitle   = "Glossary"
	unitsTitle      = "Units"
)

// part is a section or an appendix.
type part struct {
	title    string
	write    func()
	leaveOut bool
}

func (w *writer) sections() (sections, appendices []part) {
	return given(
			part{summaryTitle, w.summary, false},
			part{warningsTitle, w.warnings, false},
			part{combinationTitle, w.combination, false},
			part{assumptionsTitle, w.assumptions, false},
			part{fuelTitle, w.fuel, false},
			part{demandTitle, w.demand, false},
			part{injectorsTitle, w.injectors, false},
			part{pumpsTitle, w.pumps, false},
			part{plumbingTitle, w.plumbing, false},
			part{regulatorTitle, w.regulator, false},
			part{marginsTitle, w.margins, false},
			part{mapsTitle, w.maps, len(w.plates.rest) == 0},
			part{choiceTitle, w.chosen, w.choice == nil},
			part{evidenceTitle, w.evidence, w.pulls == nil},
			part{uncertaintyTitle, w.uncertainty, false},
			part{commissioningTitle, w.commissioning, false},
			part{safetyTitle, w.safety, false},
			part{limitsTitle, w.limits, false},
			part{signTitle, w.sign, false},
		), given(
			part{inputsTitle, w.fullInputs, false},
			part{workingTitle, w.working, false},
			part{referencesTitle, w.references, false},
			part{glossaryTitle, w.glossary, false},
			part{unitsTitle, w.units, false},
		)
}

// given leaves out what is not to be written.
func given(list ...part) []part {
	var kept []part
	for _, p := range list {
		if !p.leaveOut {
			kept = append(kept, p)
		}
	}
	return kept
}

func (w *writer) write() ([]byte, error) {
	sections, appendices := w.sections()
	w.label = map[string]string{}
	var titles, appended []string
	for i, s := range sections {
		titles = append(titles, s.title)
		w.label[s.title] = fmt.Sprint(i + 1)
	}
	for i, s := range appendices {
		appended = append(appended, s.title)
		w.label[s.title] = string(rune('A' + i))
	}
	w.inputs = inputsOf(w.a, w.sys)
	w.assumed = map[string]int{}
	for i, x := range w.a.Assumptions {
		for _, path := range paths(x) {
			w.assumed[path] = i + 1
		}
	}
	w.moved = w.effects()
	w.doc = layout.New(w.setup())
	w.title = "Title page"
	w.cover(titles, appended)
	w.doc.NewPage()
	for i, s := range sections {
		w.title = s.title
		w.doc.Section(s.title)
		s.write()
		if i == 0 {
			w.doc.NewPage() // the summary has a page of its own
		}
	}
	for _, s := range appendices {
		w.title = s.title
		w.doc.Appendix(s.title)
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
		Subject: w.subject(), Creator: w.program(),
		Foot: join("  ·  ", job.Reference, "Revision "+job.Revision, job.Name),
	}
	if job.Paper.OfUnits(w.sys) == sizing.LetterPaper {
		s.Paper = layout.Letter
	}
	return s
}

// program is the name of what makes reports.
const program = "Railbook"

// program names what made the report.
func (w *writer) program() string { return join(" ", program, w.version) }
