package predict

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// level is the share of the belief within the intervals that are printed.
const level = 0.90

// Table shows what to expect with no pull, and with the pulls.
func (p *Prediction) Table(sys quantity.System) sizing.Table {
	c := p.Combination
	t := sizing.Table{
		Caption: "BSFC to expect: " + c.Induction.String() + ", " + c.Blend.String() + ", " +
			quantity.Format(c.Boost, sys) + " of boost, " + strconv.Itoa(c.Valves) + " valves per cylinder",
		Columns: []sizing.Column{{Name: ""}, {Name: "5 %", Numeric: true}, {Name: "Median", Numeric: true}, {Name: "90 %", Numeric: true}, {Name: "95 %", Numeric: true}, {Name: "SD", Numeric: true}},
	}
	add := func(name string, d Distribution) {
		row := []string{name}
		for _, q := range []float64{0.05, 0.5, 0.9, 0.95} {
			row = append(row, quantity.Format(d.Quantile(q), sys))
		}
		t.Rows = append(t.Rows, append(row, d.SD().Percent(1)))
	}
	add("The band alone", p.Before)
	if len(p.Pulls) > 0 {
		add("With "+p.count(), p.After)
	}
	return t
}

// count says how many pulls of how many engines there are.
func (p *Prediction) count() string {
	return plural(len(p.Pulls), "pull") + " of " + plural(len(p.Engines), "engine")
}

func plural(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + one + "s"
}

// SourceTable shows what the prediction rests on: each engine and the band with its weight.
func (p *Prediction) SourceTable() sizing.Table {
	t := sizing.Table{
		Caption: "What the prediction rests on",
		Columns: []sizing.Column{{Name: "Engine"}, {Name: "Pulls", Numeric: true}, {Name: "Above its band's middle", Numeric: true}, {Name: "Weight", Numeric: true}},
	}
	for _, e := range p.Engines {
		t.Rows = append(t.Rows, []string{e.Engine, strconv.Itoa(e.Pulls), signed(e.Off), quantity.Ratio(e.Weight).Percent(0)})
	}
	t.Rows = append(t.Rows, []string{"(the band of common practice)", "", signed(0), quantity.Ratio(p.BandWeight).Percent(0)})
	return t
}

// EffectTable shows what the pulls tell of each feature.
func (p *Prediction) EffectTable(sys quantity.System) sizing.Table {
	t := sizing.Table{
		Caption: "What the pulls tell: change of consumption, 5 to 95 %",
		Columns: []sizing.Column{{Name: "Of"}, {Name: "Before", Numeric: true}, {Name: "Now", Numeric: true}, {Name: "Chance that it rises", Numeric: true}, {Name: "Learnt", Numeric: true}},
	}
	for _, e := range p.Effects {
		name, steps := e.words(p.Combination, sys)
		t.Rows = append(t.Rows, []string{
			name, interval(e.Before, steps), interval(e.After, steps),
			chance(e.After.Rises()), quantity.Ratio(e.Learnt).Percent(0),
		})
	}
	return t
}

// words names the effect with its step, and returns the step in the feature's unit.
func (e Effect) words(c Combination, sys quantity.System) (string, float64) {
	switch e.Feature {
	case Level:
		return "such combinations, to the band's middle", 1
	case Induction:
		return e.Kind.String() + " instead of " + c.Induction.String(), 1
	case Ethanol:
		return "ethanol, all of the energy against none", 1
	case Boost:
		step := boostStep(sys)
		return "boost, per " + quantity.Format(step, sys), step.In(quantity.BarDiff)
	}
	return "valves, per one more in a cylinder", 1
}

// boostStep is the step of boost that changes are printed for.
func boostStep(sys quantity.System) quantity.PressureDiff {
	if sys.First() == quantity.US {
		return 10 * quantity.PSI
	}
	return 100 * quantity.KilopascalDiff
}

func interval(c Change, steps float64) string {
	low, high := c.Interval(level, steps)
	return signed(low) + " to " + signed(high)
}

// chance prints a probability, and never a certainty.
func chance(p float64) string {
	switch {
	case p > 0.99:
		return "over 99 %"
	case p < 0.01:
		return "under 1 %"
	}
	return quantity.Ratio(p).Percent(0)
}

// signed prints a change with its sign.
func signed(r quantity.Ratio) string {
	v := math.Round(1000*float64(r)) / 10
	if v == 0 {
		return "0.0 %"
	}
	return fmt.Sprintf("%+.1f %%", v)
}

// BoostAnswer answers whether consumption rises with boost: by an interval and a chance.
func (p *Prediction) BoostAnswer(sys quantity.System) string {
	e := p.Effect(Boost)
	step := boostStep(sys)
	low, high := e.After.Interval(level, step.In(quantity.BarDiff))
	var b strings.Builder
	fmt.Fprintf(&b, "Does consumption rise with boost? By %s to %s per %s (5 to 95 %%), and with a chance of %s it rises at all.",
		signed(low), signed(high), quantity.Format(step, sys), chance(e.After.Rises()))
	at := func(bar float64) string {
		return quantity.Format(p.Combination.Boost+quantity.Of(bar, quantity.BarDiff), sys)
	}
	switch {
	case len(p.Pulls) == 0:
		b.WriteString(" No pull tells; that is the prior.")
	case at(e.Seen.Low) == at(e.Seen.High):
		fmt.Fprintf(&b, " All pulls were made at %s of boost; they tell nothing of it.", at(e.Seen.Low))
	default:
		fmt.Fprintf(&b, " The pulls were made at %s to %s of boost.", at(e.Seen.Low), at(e.Seen.High))
	}
	return b.String()
}

// Remarks says what else has to be known of the prediction.
func (p *Prediction) Remarks(sys quantity.System) []string {
	list := []string{fmt.Sprintf("The chance of more than the band's high end, %s, is %s.",
		quantity.Format(p.Band.High, sys), chance(p.After.Above(p.Band.High)))}
	if len(p.Pulls) == 0 {
		return list
	}
	list = append(list, fmt.Sprintf("Engines alike in all of that differ by %s, pulls of one engine by %s (standard deviations, measurement left out).",
		p.BetweenEngines.Percent(1), p.WithinEngine.Percent(1)))
	if e := p.Effect(Boost); e.Seen.High < -0.1 || e.Seen.Low > 0.1 {
		list = append(list, fmt.Sprintf("%s of boost lies outside what was measured.", quantity.Format(p.Combination.Boost, sys)))
	}
	if e := p.Effect(Ethanol); e.Seen.High < -0.05 || e.Seen.Low > 0.05 {
		list = append(list, fmt.Sprintf("The ethanol of %s lies outside what was measured.", p.Combination.Blend))
	}
	if p.Combination.Blend.Has("methanol") {
		list = append(list, "Methanol has only its band; what it differs by from gasoline is not learnt.")
	}
	if p.After.SD() > p.Before.SD() {
		list = append(list, "The pulls contradict the band or each other: the doubt is greater than before, and will fall with more engines.")
	}
	return list
}

// SheetLine returns the line for the build sheet's table fuel that sizes on the percentile
// p, a share between 0 and 1.
func (p *Prediction) SheetLine(share float64, sys quantity.System) string {
	return fmt.Sprintf("bsfc = %q", quantity.Format(p.After.Quantile(share), sys))
}
