package main

import (
	"bytes"
	"context"
	"strings"

	"example.com/railbook/kernel/display/markup"
	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/page"
	"example.com/railbook/kernel/scripts"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/evidence"
)

// chartPage makes the page of --chart: what the logs say, its tables, and consumption and
// rail pressure over speed.
func (j *evidenceJob) chartPage(ctx context.Context) ([]byte, error) {
	a, sys := j.assessment, j.assessment.Build.Job.Units
	cell := &nbformat.Cell{Type: nbformat.Code}
	nb := &nbformat.Notebook{Cells: []*nbformat.Cell{cell}}
	add := func(b nbformat.MimeBundle) {
		cell.Outputs = append(cell.Outputs, &nbformat.Output{Type: nbformat.DisplayData, Data: b})
	}
	html := func(text string) {
		b := nbformat.MimeBundle{}
		b.SetText("text/html", text)
		add(b)
	}
	html(markup.Verdict(j.advice.Text))
	consumption, err := figure.OfConsumption("consumption", a, j.read...)
	if err != nil {
		return nil, err
	}
	figures := []figure.Figure{consumption}
	// Logs without rail pressure have no figure of it, which the text says.
	if rail, err := figure.OfRail("rail-error", a, j.read...); err == nil {
		figures = append(figures, rail)
	}
	for _, f := range figures {
		b, err := picture{Figure: f}.bundle()
		if err != nil {
			return nil, err
		}
		add(b)
	}
	for _, log := range j.read {
		html(markup.Note(log.Name + ": " + log.Rail.Text))
	}
	for _, t := range []sizing.Table{evidence.PullTable(sys, j.read...), evidence.ConsumptionTable(sys, j.read...), evidence.AsideTable(j.read...)} {
		html(markup.Table(t))
	}
	html(markup.Caution(strings.ReplaceAll(caution, "\n", " ")))

	bundle, err := scripts.Load(ctx, func(text string) { j.progress.line("%s", text) })
	if err != nil {
		if ctx.Err() != nil {
			return nil, err
		}
		j.progress.line("the page has still pictures instead of live charts: %v", err)
	}
	var out bytes.Buffer
	err = page.Render(&out, nb, page.Options{Title: "Evidence: " + a.Build.Job.Name, Scripts: bundle})
	return out.Bytes(), err
}
