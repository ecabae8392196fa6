package check

import (
	"bytes"
	"cmp"
	"errors"
	"path"
	"strings"
	"time"

	"example.com/railbook/report"
	"example.com/railbook/report/attach"
	"example.com/railbook/report/figure"
	"example.com/railbook/report/internal/pdffile"
	"example.com/railbook/report/results"
	"example.com/railbook/report/sign"
	"example.com/railbook/sizing"
)

// Run checks a report. What keeps it from being checked at all is a finding too.
func Run(pdf []byte, o Options) Checked {
	var c Checked
	o.Version = cmp.Or(o.Version, report.Version)
	r := &run{Checked: &c, o: o, pdf: pdf}
	r.file()
	return c
}

// run is the check of one report.
type run struct {
	*Checked
	o     Options
	pdf   []byte
	read  *pdffile.File
	files map[string]attach.File
	found results.Results // as attached
	made  *report.Document
}

// file reads the file and goes on with what is in it.
func (r *run) file() {
	var err error
	if r.read, err = pdffile.Open(r.pdf); err != nil {
		r.add("file", Fails, "%v", err)
		return
	}
	pages, err := r.read.Pages()
	switch n := r.read.Tail(); {
	case err != nil:
		r.add("file", Fails, "%v", err)
	case n > 0:
		r.add("file", Fails, "%d bytes stand behind its end", n)
	default:
		r.add("file", Holds, "%d bytes, %d pages", len(r.pdf), len(pages))
	}
	if r.attachments() {
		r.again()
	}
	signatures, err := sign.Verify(r.pdf)
	if err != nil {
		r.add("signature", Fails, "%v", err)
		return
	}
	r.additions(signatures)
	r.signatures(signatures)
}

// attachments takes out what the report carries, and reports whether that is enough to
// make it again.
func (r *run) attachments() bool {
	list, err := attach.Files(r.pdf)
	if err != nil {
		r.add("attachments", Fails, "%v", err)
		return false
	}
	r.files = map[string]attach.File{}
	var names []string
	for _, f := range list {
		r.files[f.Name] = f
		names = append(names, f.Name)
	}
	for _, needed := range []string{report.SheetName, report.ResultsName} {
		if _, ok := r.files[needed]; !ok {
			r.add("attachments", Fails, "%s is missing: it was taken out, or this is no report of this program", needed)
			return false
		}
	}
	r.add("attachments", Holds, "%s", strings.Join(names, ", "))

	r.found, err = results.Decode(r.files[report.ResultsName].Data)
	if err != nil {
		why := ""
		if errors.Is(err, results.ErrSchema) {
			why = ": another version of the program made the report"
		}
		r.add("results", Fails, "%s: %v%s", report.ResultsName, oneLine(err.Error()), why)
		return false
	}
	if r.sameVersion() {
		r.add("version", Holds, "made and checked by version %.60q", r.o.Version)
	} else {
		r.add("version", Noted, "made by version %.60q, checked by %.60q: what differs below may differ for that reason alone", r.found.Program.Version, r.o.Version)
	}
	return true
}

// mostSheet is the size of the largest sheet that is read.
const mostSheet = 1 << 20

// again makes the report again from its sheet and compares.
func (r *run) again() {
	sheet := r.files[report.SheetName].Data
	if len(sheet) > mostSheet {
		r.add("sheet", Fails, "%s is larger than %d bytes", report.SheetName, mostSheet)
		return
	}
	b, err := sizing.Read(report.SheetName, sheet)
	if err != nil {
		r.add("sheet", Fails, "%s", oneLine(err.Error()))
		return
	}
	a, err := sizing.Assess(b)
	if err != nil {
		r.add("sheet", Fails, "%s", oneLine(err.Error()))
		return
	}
	date, err := time.Parse(time.DateOnly, r.found.Report.Date)
	if err != nil {
		r.add("results", Fails, "%s has no date of the report", report.ResultsName)
		return
	}
	o := report.Options{Date: date, Version: r.found.Program.Version, Figures: []figure.Figure{}}
	if r.found.Report.Figures == results.Standard {
		o.Figures = nil
	}
	if f, ok := r.files[report.EvidenceName]; ok {
		if o.Evidence, err = report.DecodeEvidence(f.Data); err != nil {
			r.add("evidence", Fails, "%s", oneLine(err.Error()))
			return
		}
		r.add("evidence", Noted, "%s is taken as it stands: the logs are not in the report", report.EvidenceName)
	}
	if f, ok := r.files[report.ChoiceName]; ok {
		if o.Choice, err = report.DecodeChoice(f.Data); err != nil {
			r.add("choice", Fails, "%s", oneLine(err.Error()))
			return
		}
		r.add("choice", Noted, "%s is taken as it stands: the parts are not chosen again", report.ChoiceName)
	}
	logo := ""
	if b.Job.Logo != "" {
		logo = path.Base(b.Job.Logo)
		o.Logo = r.files[logo].Data
	}
	for _, name := range sortedNames(r.files) {
		switch name {
		case report.SheetName, report.ResultsName, report.SchemaName, report.EvidenceName, report.ChoiceName, logo:
		default:
			o.Lists = append(o.Lists, report.PartsList{Name: name, Content: bytes.NewReader(r.files[name].Data)})
		}
	}
	if r.made, err = report.Make(a, o); err != nil {
		r.add("sheet", Fails, "no report can be made of it: %s", oneLine(err.Error()))
		return
	}
	r.add("sheet", Holds, "%s reads and can be assessed", report.SheetName)
	r.compare()
	r.pages()
}

// sameVersion reports whether what made the report is what checks it.
func (r *run) sameVersion() bool { return r.found.Program.Version == r.o.Version }
