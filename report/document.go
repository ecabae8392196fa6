package report

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"time"

	"example.com/railbook/report/attach"
	"example.com/railbook/report/results"
	"example.com/railbook/sizing"
)

// The names of what every report carries as attachments.
const (
	SheetName   = "build-sheet.toml"
	ResultsName = "results.json"
	SchemaName  = "results.schema.json"
)

// language is that of reports, for the file's properties.
const language = "en"

// Document is a report that has been made.
type Document struct {
	PDF     []byte          // the file, attachments and all
	Sheet   []byte          // the build sheet that it carries
	Results results.Results // that it carries
}

// PartsList is a list that parts were chosen from.
type PartsList struct {
	Name    string // such as "injectors.csv", without a folder
	Content io.Reader
}

// Make makes a report on a, in the unit system and on the paper of the sheet. The report
// carries the build sheet that it can be made again from, its results, and the parts lists
// and the logo of o as attachments.
//
// The error wraps ErrAssessment or ErrLogo, is one of package draw for a figure that
// cannot be drawn or of package attach for a list that cannot be attached, or one of the
// PDF's own.
func Make(a *sizing.Assessment, o Options) (*Document, error) {
	if err := usable(a); err != nil {
		return nil, err
	}
	sheet, a, err := sheetOf(a)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrAssessment, err)
	}
	w := &writer{a: a, sys: a.Build.Job.Units, date: date(a, o), version: cmp.Or(o.Version, Version)}
	list, shown := o.Figures, results.Own
	switch {
	case o.Figures == nil:
		if list, err = figures(context.Background(), a); err != nil {
			return nil, err
		}
		shown = results.Standard
	case len(o.Figures) == 0:
		shown = results.None
	}
	if w.study, err = study(a); err != nil {
		return nil, err
	}
	if w.pulls = o.Evidence; w.pulls != nil {
		if err := w.pulls.check(); err != nil {
			return nil, err
		}
	}
	if w.choice = o.Choice; w.choice != nil {
		if err := w.choice.check(); err != nil {
			return nil, err
		}
	}
	if err := w.setLogo(o.Logo); err != nil {
		return nil, err
	}
	if err := w.draw(list); err != nil {
		return nil, err
	}
	pdf, err := w.write()
	if err != nil {
		return nil, err
	}
	d := &Document{Sheet: sheet}
	if d.Results, err = w.results(shown); err != nil {
		return nil, err
	}
	files, err := d.attachments(o)
	if err != nil {
		return nil, err
	}
	if w.logo != nil {
		files = append(files, w.logoFile())
	}
	s := w.setup()
	d.PDF, err = attach.Add(pdf, attach.About{
		Title: s.Title, Author: s.Author, Subject: s.Subject, Creator: s.Creator, Language: language, Date: s.Date,
	}, files)
	if err != nil {
		return nil, err
	}
	return d, nil
}

// sheetOf writes the build sheet of an assessment, and returns the assessment as it comes
// from that sheet: doubts, and the assumptions that speak of them, are in its order, and
// without those about fields that have been changed since.
func sheetOf(a *sizing.Assessment) ([]byte, *sizing.Assessment, error) {
	var sheet bytes.Buffer
	if err := a.Given().WriteSheet(&sheet); err != nil {
		return nil, nil, err
	}
	if a.Build.Doubts.IsZero() {
		return sheet.Bytes(), a, nil
	}
	b, err := sizing.Read(SheetName, sheet.Bytes())
	if err != nil {
		return nil, nil, err
	}
	again, err := sizing.Assess(b)
	if err != nil {
		return nil, nil, err
	}
	same := *a
	same.Build.Doubts, same.Assumptions = again.Build.Doubts, again.Assumptions
	return sheet.Bytes(), &same, nil
}

// attachments are what the report carries.
func (d *Document) attachments(o Options) ([]attach.File, error) {
	encoded, err := d.Results.Encode()
	if err != nil {
		return nil, err
	}
	files := []attach.File{
		{Name: SheetName, Type: "application/toml", Description: "The build sheet that this report follows from", Relation: attach.Source, Data: d.Sheet},
		{Name: ResultsName, Type: "application/json", Description: "The results of this report, for programs", Relation: attach.Data, Data: encoded},
		{Name: SchemaName, Type: "application/schema+json", Description: "What the names in " + ResultsName + " mean", Relation: attach.Schema, Data: results.Schema},
	}
	for _, told := range []struct {
		name, description string
		what              any
		is                bool
	}{
		{EvidenceName, "What logged pulls say, as this report prints it", o.Evidence, o.Evidence != nil},
		{ChoiceName, "How the parts were chosen, as this report prints it", o.Choice, o.Choice != nil},
	} {
		if !told.is {
			continue
		}
		data, err := json.MarshalIndent(told.what, "", "  ")
		if err != nil {
			return nil, err
		}
		files = append(files, attach.File{Name: told.name, Type: "application/json", Description: told.description, Relation: attach.Supplement, Data: data})
	}
	for _, l := range o.Lists {
		data, err := io.ReadAll(io.LimitReader(l.Content, attach.MostBytes+1))
		if err != nil {
			return nil, fmt.Errorf("cannot read the parts list %s: %w", l.Name, err)
		}
		files = append(files, attach.File{Name: l.Name, Type: "text/csv", Description: "A parts list that parts were chosen from", Relation: attach.Supplement, Data: data})
	}
	return files, nil
}

// results puts together what the report found.
func (w *writer) results(shown results.Figures) (results.Results, error) {
	assessment, err := json.Marshal(w.a)
	if err != nil {
		return results.Results{}, fmt.Errorf("%w: %w", ErrAssessment, err)
	}
	job := w.a.Build.Job
	return results.Results{
		Schema:  results.SchemaID,
		Program: results.Program{Name: program, Version: w.version},
		Report: results.Report{
			Name: job.Name, Reference: job.Reference, Revision: job.Revision,
			Date: w.date.Format(time.DateOnly), Units: w.sys.String(), Figures: shown,
		},
		Status: w.a.Status().String(), Verdict: w.a.Verdict(w.sys),
		Tables: w.tables, Working: w.steps, Assessment: assessment,
	}, nil
}
