package main

import (
	"cmp"
	"fmt"
	"strings"

	"example.com/railbook/sizing/catalogue"
	"example.com/railbook/sizing/quantity"
)

// mostFront is how many sets of the trade-off the terminal shows.
const mostFront = 8

// print prints the choice for a person, in the sheet's units.
func (j *chooseJob) print() error {
	c, sys := j.choice, j.build.Job.Units
	out := &printer{w: j.stdout}
	var at []string
	for _, p := range c.Pressures {
		at = append(at, quantity.Format(p, sys))
	}
	out.print("%s\n", cmp.Or(j.build.Job.Name, "Untitled build"))
	if j.why == "" {
		out.print("To choose from: %s, at %s.\n", offered(c.Lists), strings.Join(at, ", "))
	} else {
		out.print("Sets with %s, at %s: %s of %s carry.\n", j.why, strings.Join(at, ", "), thousands(c.Carry), thousands(c.Sets))
	}
	if j.countedText != "" {
		out.print("%s\n", folded(j.countedText, 90))
	}
	if c.Carry == 0 {
		out.print("\nNo set carries the target with the margins asked for.\n")
	} else {
		out.print("\n%s\nRanked by %s\n", c.BestTable(sys).Text(), c.Rule)
		for i := range c.Best {
			if s := &c.Best[i]; len(s.AlsoAt) > 0 && i == j.set-1 {
				out.print("The parts of set %d also carry at %s.\n", i+1, pressures(s.AlsoAt, sys))
			}
		}
	}
	if j.why == "" && len(c.Front) > 1 {
		out.print("\n%s", c.FrontTable(sys, mostFront).Text())
	}
	if len(c.Rejections) > 0 {
		out.print("\n%s", c.RejectionTable().Text())
	}
	if len(c.Misses) > 0 {
		out.print("\n%s", c.MissTable().Text())
	}
	j.printPlan(out)
	if j.why == "" {
		j.printChosen(out)
	}
	for _, path := range []string{j.csv, j.chart} {
		if path != "" {
			out.print("\nWritten: %s\n", path)
		}
	}
	out.print("\n%s\n", caution)
	return out.err
}

func pressures(list []quantity.PressureDiff, sys quantity.System) string {
	texts := make([]string, len(list))
	for i, p := range list {
		texts[i] = quantity.Format(p, sys)
	}
	return strings.Join(texts, ", ")
}

// printChosen prints what there is to buy, what has to be said about it, and the lines
// for the sheet.
func (j *chooseJob) printChosen(out *printer) {
	s, err := j.chosen()
	if err != nil {
		return
	}
	sys, c := j.build.Job.Units, j.choice
	out.print("\nSet %d: %s\n", j.set, s.Assessment.Verdict(sys))
	for _, w := range s.Assessment.Warnings {
		if w.Grave {
			out.print("CAUTION: %s\n", w.Text)
		}
	}
	out.print("To buy: %s.\n", bill(s.Bill, s.Cost, c.Lists.Currency))
	if j.write != "" {
		out.print("\nWritten: %s, the sheet with these parts.\n", j.write)
		if j.anew {
			out.print("Its comments are gone: the old one could not be changed line by line.\n")
		}
		return
	}
	out.print("\nFor the sheet, in place of the lines that it has (or --write NEW.toml):\n\n%s", c.Lists.SheetLines(j.build, s.Candidate))
}

// bill prints the lines of a bill and what they come to.
func bill(lines []catalogue.Line, cost catalogue.Cost, currency string) string {
	var list []string
	for _, l := range lines {
		list = append(list, l.Text())
	}
	if list == nil {
		return "nothing"
	}
	return strings.Join(list, "; ") + "; together " + cost.Text(currency)
}

// printPlan prints what it costs to plan for a later target.
func (j *chooseJob) printPlan(out *printer) {
	p := j.plan
	if p == nil {
		return
	}
	currency := p.Lists.Currency
	out.print("\nToday as in the sheet, later with %s\n", j.later)
	if t := p.Table(j.build.Job.Units); len(t.Rows) > 0 {
		out.print("%s", t.Text())
	}
	for _, none := range []struct {
		is   bool
		text string
	}{
		{p.TodayCarry == 0, "No set carries today's target."},
		{p.LaterCarry == 0, "No set carries the later target."},
		{p.Once == nil && p.TodayCarry > 0 && p.LaterCarry > 0, "No set carries both: what carries one target fails at the other."},
	} {
		if none.is {
			out.print("%s\n", none.text)
		}
	}
	total, ok := p.Steps()
	if !ok {
		return
	}
	out.print("For later there is to buy on top: %s.\n%s\n", bill(p.Again.Bill, p.Again.Cost, currency), stays(p.Kept))
	out.print("Both steps together: %s. ", total.Text(currency))
	if p.Once == nil {
		out.print("\n")
		return
	}
	once := p.Once.Cost
	difference := func(a, b catalogue.Cost) string { return catalogue.Cost{Sum: a.Sum - b.Sum}.Text(currency) }
	switch {
	case total.Unpriced+once.Unpriced > 0:
		out.print("Prices are missing, so that this cannot be compared with buying once.\n")
	case total.Sum > once.Sum && once.Sum > p.Today.Cost.Sum:
		out.print("Buying once saves %s and costs %s more today.\n", difference(total, once), difference(once, p.Today.Cost))
	case total.Sum > once.Sum:
		out.print("Buying once saves %s.\n", difference(total, once))
	case total.Sum == once.Sum:
		out.print("Buying once costs the same.\n")
	default:
		out.print("Buying once costs %s more.\n", difference(once, total))
	}
}

// stays says which parts stay.
func stays(kept []catalogue.Line) string {
	var list []string
	for _, l := range kept {
		name := l.Part
		if l.Kind == "injectors" || l.Kind == "pumps" {
			name = fmt.Sprintf("%d × %s", int(l.Quantity), l.Part)
		}
		list = append(list, name)
	}
	if list == nil {
		return "Nothing bought for today stays."
	}
	return "What stays: " + strings.Join(list, ", ") + "."
}
