package main

import (
	"context"
	"fmt"

	"example.com/railbook/kernel/display/markup"
	"example.com/railbook/report"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing/catalogue"
)

// chartPage makes the page of --chart: the sets that carry, what more money buys, and what
// the others fail at.
func (j *chooseJob) chartPage(ctx context.Context) ([]byte, error) {
	c, sys := j.choice, j.build.Job.Units
	trade, err := figure.OfTradeOff("trade-off", c)
	if err != nil {
		return nil, err
	}
	l := &leaf{}
	l.html(markup.Note(fmt.Sprintf("To choose from: %s. %s of %s sets carry.", offered(c.Lists), thousands(c.Carry), thousands(c.Sets))))
	l.tables(c.BestTable(sys))
	l.html(markup.Note("Ranked by " + c.Rule))
	if err := l.picture(picture{Figure: trade}); err != nil {
		return nil, err
	}
	l.tables(c.FrontTable(sys, mostFront))
	if len(c.Rejections) > 0 {
		l.tables(c.RejectionTable())
	}
	if len(c.Misses) > 0 {
		l.tables(c.MissTable())
	}
	return l.render(ctx, "Choice: "+j.build.Job.Name, j.progress)
}

// forReport is what a report says of the choice.
func (j *chooseJob) forReport(ctx context.Context) (*report.Choice, error) {
	if err := j.read(); err != nil {
		return nil, err
	}
	options, err := j.options()
	if err != nil {
		return nil, err
	}
	bar := newChooseBar(j.progress)
	options.Progress = bar.tell
	defer bar.clear()
	choice, err := catalogue.Choose(ctx, j.build, &j.lists, options)
	if err != nil {
		return nil, bar.stopped(ctx, err)
	}
	return report.OfChoice(choice, j.build.Job.Units), nil
}
