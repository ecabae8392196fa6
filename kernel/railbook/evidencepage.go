package main

import (
	"context"

	"example.com/railbook/kernel/display/markup"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing/evidence"
)

// chartPage makes the page of --chart: what the logs say, its tables, and consumption and
// rail pressure over speed.
func (j *evidenceJob) chartPage(ctx context.Context) ([]byte, error) {
	a, sys := j.assessment, j.assessment.Build.Job.Units
	l := &leaf{}
	l.html(markup.Verdict(j.advice.Text))
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
		if err := l.picture(picture{Figure: f}); err != nil {
			return nil, err
		}
	}
	for _, log := range j.read {
		l.html(markup.Note(log.Name + ": " + log.Rail.Text))
	}
	l.tables(evidence.PullTable(sys, j.read...), evidence.ConsumptionTable(sys, j.read...), evidence.AsideTable(j.read...))
	return l.render(ctx, "Evidence: "+a.Build.Job.Name, j.progress)
}
