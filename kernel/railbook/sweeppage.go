package main

import (
	"context"
	"fmt"
	"strings"

	"example.com/railbook/kernel/display"
	"example.com/railbook/kernel/display/live"
	"example.com/railbook/kernel/display/markup"
	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/page/chart"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
)

// chartPage makes the page of --chart: what was swept, a chart for each result, and what
// is missing in them.
func (j *sweepJob) chartPage(ctx context.Context, g *sweep.Grid) ([]byte, error) {
	list, without, err := pictures(ctx, g)
	if err != nil {
		return nil, err
	}
	if len(list) == 0 {
		_, reason := g.Gaps()
		return nil, fmt.Errorf("--chart: no point of the sweep has an answer: %s", reason)
	}
	l := &leaf{}
	l.tables(axesTable(g))
	for _, p := range list {
		if err := l.picture(p); err != nil {
			return nil, fmt.Errorf("--chart: %w", err)
		}
	}
	if text := missing(g, without); text != "" {
		l.html(markup.Note(text))
	}
	return l.render(ctx, "Sweep: "+g.Build.Job.Name, j.progress)
}

// bundle is a picture as an output of a cell: live, still, and in words.
func (p picture) bundle() (nbformat.MimeBundle, error) {
	var spec chart.Spec
	var err error
	if p.stack != nil {
		spec, err = p.stack.Spec()
	} else {
		spec, err = live.Spec(p.Figure)
	}
	if err != nil {
		return nil, err
	}
	b := nbformat.MimeBundle{}
	b.SetText("text/plain", spec.Title+"\n"+spec.Alt)
	if err := b.SetJSON(chart.MIME, spec); err != nil {
		return nil, err
	}
	if err := b.SetJSON(display.FigureMIME, p.Figure); err != nil {
		return nil, err
	}
	return b, addStill(b)
}

// axesTable says what was swept.
func axesTable(g *sweep.Grid) sizing.Table {
	t := sizing.Table{
		Caption: "Sweep of " + thousands(g.Len()) + " points",
		Columns: []sizing.Column{{Name: "Varied"}, {Name: "From", Numeric: true}, {Name: "To", Numeric: true}, {Name: "Values", Numeric: true}},
	}
	for _, a := range g.Axes {
		t.Rows = append(t.Rows, []string{
			capital(a.Title()), quantity.Digits(a.Values[0], 4), quantity.Digits(a.Values[len(a.Values)-1], 4), thousands(len(a.Values)),
		})
	}
	return t
}

// missing says what the charts do not show.
func missing(g *sweep.Grid, without []string) string {
	var list []string
	if n, reason := g.Gaps(); n > 0 {
		list = append(list, fmt.Sprintf("%s of %s points have no answer and are left out. The first: %s.",
			thousands(n), thousands(g.Len()), strings.TrimSuffix(reason, ".")))
	}
	if len(without) > 0 {
		list = append(list, "No chart, because there is no value anywhere: "+strings.Join(without, ", ")+".")
	}
	return strings.Join(list, "\n\n")
}
