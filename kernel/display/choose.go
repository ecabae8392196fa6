package display

import (
	"context"
	"fmt"
	"os"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/catalogue"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
)

// Choose finds the sets of parts that carry the build's target, among those of the
// parts lists in a folder and at the base pressures given, a list or a range, or else at
// the sheet's own:
//
//	choice := Choose(build, "parts", "43.5, 50, 58 psi")
//
// Package catalogue says what is looked at and how sets are ranked.
func Choose(b sizing.Build, folder string, pressures ...string) *catalogue.Choice {
	return cell.Must(choose(b, folder, pressures))
}

func choose(b sizing.Build, folder string, pressures []string) (*catalogue.Choice, error) {
	lists, options, err := partsOf(folder, pressures)
	if err != nil {
		return nil, err
	}
	return catalogue.Choose(context.Background(), b, lists, options)
}

// PlanParts compares buying parts once, for the build's target and for that after a change
// too, with buying them for today and again later. The change is written as for [With]
// and the rest as for [Choose].
func PlanParts(b sizing.Build, change, folder string, pressures ...string) sizing.Table {
	return cell.Must(planParts(b, change, folder, pressures))
}

func planParts(b sizing.Build, change, folder string, pressures []string) (sizing.Table, error) {
	later, err := with(b, change)
	if err != nil {
		return sizing.Table{}, err
	}
	lists, options, err := partsOf(folder, pressures)
	if err != nil {
		return sizing.Table{}, err
	}
	p, err := catalogue.MakePlan(context.Background(), b, later, lists, options)
	if err != nil {
		return sizing.Table{}, err
	}
	t := p.Table(b.Job.Units)
	t.Caption += ", later with " + inWords(change)
	if steps, ok := p.Steps(); ok {
		t.Caption += ": in two steps " + steps.Text(lists.Currency)
		if p.Once != nil {
			t.Caption += ", once " + p.Once.Cost.Text(lists.Currency)
		}
	}
	return t, nil
}

// partsOf reads the parts lists of a folder and the base pressures to look at.
func partsOf(folder string, pressures []string) (*catalogue.Lists, catalogue.Options, error) {
	var options catalogue.Options
	lists, err := catalogue.Read(os.DirFS(folder))
	if err != nil {
		return nil, options, fmt.Errorf("%s: %w", folder, err)
	}
	for _, text := range pressures {
		axis, err := sweep.ParseAxis("base pressure = " + text)
		if err != nil {
			return nil, options, err
		}
		_, _, of, err := quantity.Scale[quantity.PressureDiff](axis.Unit)
		if err != nil {
			return nil, options, err
		}
		for _, v := range axis.Values {
			options.Pressures = append(options.Pressures, of(v))
		}
	}
	return &lists, options, nil
}

// BestTable lists the best sets of a choice with what they cost and carry.
func BestTable(c *catalogue.Choice) sizing.Table { return c.BestTable(c.Build.Job.Units) }

// RejectionTable sums up why the other sets of a choice do not carry.
func RejectionTable(c *catalogue.Choice) sizing.Table { return c.RejectionTable() }

// MissTable lists the sets of a choice that nearly carry.
func MissTable(c *catalogue.Choice) sizing.Table { return c.MissTable() }

// TradeOff shows what more money buys: the sets that no other beats in cost, headroom and
// idle pulse at once, headroom over cost. The shape of a mark tells how far the pulse at
// idle lies above the least that meters.
func TradeOff(c *catalogue.Choice) figure.Figure { return cell.Must(figure.OfTradeOff("trade-off", c)) }
