package uncertainty

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/uncertainty/montecarlo"
)

// numeric makes columns of numbers behind one of names.
func numeric(first string, names ...string) []sizing.Column {
	list := []sizing.Column{{Name: first}}
	for _, n := range names {
		list = append(list, sizing.Column{Name: n, Numeric: true})
	}
	return list
}

// grouped prints a count with its digits in groups of three.
func grouped(n int) string {
	text := strconv.Itoa(n)
	for i := len(text) - 3; i > 0; i -= 3 {
		text = text[:i] + "," + text[i:]
	}
	return text
}

// number prints a result, "none" where there is none.
func number(v float64) string {
	if math.IsNaN(v) {
		return "none"
	}
	return quantity.Digits(v, 4)
}

// percent prints a share with as many decimals as tell something.
func percent(share float64) string {
	switch {
	case math.IsNaN(share):
		return "none"
	case share == 0 || share == 1:
		return quantity.Ratio(share).Percent(0)
	}
	text := strconv.FormatFloat(100*share, 'f', decimals(min(share, 1-share)), 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text + " %"
}

// decimals are those of a percentage that show two digits of a share, four at most.
func decimals(share float64) int {
	if !(share > 0) {
		return 1
	}
	return min(max(1-int(math.Floor(math.Log10(100*share))), 0), 4)
}

// signed prints a margin with its sign.
func signed(margin quantity.Ratio) string {
	if math.IsNaN(float64(margin)) {
		return "none"
	}
	return strings.Replace(fmt.Sprintf("%+.1f %%", 100*float64(margin)), "-", "−", 1)
}

// chance prints a chance with its standard error, or where all draws agree how far from
// it the truth may be.
func chance(c montecarlo.Chance) string {
	switch p := c.Share(); {
	case c.Of == 0:
		return "none drawn"
	case c.Of == 1 && c.Count == 0:
		return "no"
	case c.Of == 1:
		return "yes"
	case c.Count == 0:
		return "below " + percent(c.Bound())
	case c.Count == c.Of:
		return "above " + percent(1-c.Bound())
	default:
		e := c.StandardError()
		d := max(decimals(e)-1, 0) // one digit of it
		return fmt.Sprintf("%.*f ± %.*f %%", d, 100*p, d, 100*e)
	}
}

// DoubtTable lists the doubts: what each says, and between which values it keeps in nine
// draws of ten.
func (s *Study) DoubtTable() sizing.Table {
	sys := s.Middle.Build.Job.Units
	t := sizing.Table{Caption: "What is not known exactly", Columns: numeric("Field", "Middle", "5 %", "95 %")}
	t.Columns = append(t.Columns, sizing.Column{Name: "As given"})
	for _, d := range s.Middle.Build.InDoubt().List {
		q := d.Spread().Quantile
		t.Rows = append(t.Rows, []string{d.Path, d.Middle(sys), d.Print(q(0.05), sys), d.Print(q(0.95), sys), d.Text})
	}
	return t
}

// shares are the quantiles that tables show.
var shares = []float64{0.05, 0.25, 0.50, 0.75, 0.95}

// ResultTable shows how the results are spread.
func (s *Study) ResultTable() sizing.Table {
	t := sizing.Table{
		Caption: "Results of " + grouped(s.Draws-s.Senseless) + " draws",
		Columns: numeric("Result", "At the middle", "Mean", "Deviation", "5 %", "25 %", "50 %", "75 %", "95 %"),
	}
	for _, o := range slices.Concat(s.Outcomes, []Outcome{s.Limit}) {
		name := o.Name
		if o.Unit != "" {
			name += " in " + o.Unit
		}
		row := []string{name, number(o.Middle), number(o.Mean()), number(o.SD())}
		for _, p := range shares {
			row = append(row, number(o.Quantile(p)))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// PartTable shows how likely each part falls short, keeps its margin, and is the first to
// give out.
func (s *Study) PartTable() sizing.Table {
	t := sizing.Table{
		Caption: "Parts",
		Columns: numeric("Part", "Margin at the middle", "5 %", "50 %", "95 %", "Falls short", "Keeps the margin wanted", "Gives out first"),
	}
	for _, p := range s.Parts {
		t.Rows = append(t.Rows, []string{
			p.Kind.String(), signed(p.Margin), signed(p.MarginAt(0.05)), signed(p.MarginAt(0.50)), signed(p.MarginAt(0.95)),
			chance(p.Short), chance(p.Kept), percent(p.First.Share()),
		})
	}
	t.Rows = append(t.Rows, []string{"any of them, or all", "", "", "", "", chance(s.Short), chance(s.Kept), ""})
	return t
}

// SizeTable shows how large each part has to be to carry the demand with the study's
// confidence.
func (s *Study) SizeTable() sizing.Table {
	sys := s.Middle.Build.Job.Units
	t := sizing.Table{
		Caption: "Sizes that carry the demand in " + s.Confidence.Percent(0) + " of the draws",
		Columns: numeric("Part", "Carries at the middle", "Has to carry", "Times", "Margin to aim at, at the middle"),
	}
	t.Columns = append(t.Columns, sizing.Column{Name: "That is"})
	for _, p := range s.Parts {
		f := p.Factor()
		if math.IsNaN(f) {
			continue
		}
		row := []string{p.Kind.String(), quantity.Format(p.Capability, sys), "none is enough", "", "", ""}
		if f < unbounded {
			row = []string{p.Kind.String(), quantity.Format(p.Capability, sys), quantity.Format(p.Needed(), sys), fmt.Sprintf("%.3f", f), signed(p.Aim()), ""}
		}
		if first, second := s.Sized(); p.Kind == sizing.InjectorsPart && first != "" {
			row[5] = "rated at " + first
			if second != "" {
				row[5] += " and " + second
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// groupName names the doubts of a group.
func (s *Study) groupName(group []int) string {
	names := make([]string, len(group))
	for i, k := range group {
		names[i] = s.Doubts.List[k].Path
	}
	return strings.Join(names, " with ")
}

// MovesTable shows which share of the variance of each result, and of the power that all
// parts carry, comes from each doubt: its total index, with its standard
// error, and in brackets its first-order index. It has no rows where that was not asked
// for.
func (s *Study) MovesTable() sizing.Table {
	t := sizing.Table{Caption: "What moves them: share of the variance that a doubt has a hand in (in brackets: that it makes alone)", Columns: numeric("Doubt")}
	outcomes := slices.Concat(s.Outcomes, []Outcome{s.Limit})
	var list [][]montecarlo.Index
	for k, o := range outcomes {
		if s.Moved != nil {
			t.Columns = append(t.Columns, sizing.Column{Name: o.Name, Numeric: true})
			list = append(list, s.moved(k))
		}
	}
	order := make([]int, len(s.Groups))
	for g := range order {
		order[g] = g
	}
	most := func(g int) float64 {
		var sum float64
		for _, indices := range list {
			sum += indices[g].Total
		}
		return sum
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(most(b), most(a)) })
	for _, g := range order {
		row := []string{s.groupName(s.Groups[g])}
		for _, indices := range list {
			cell := "not moved"
			switch i := indices[g]; {
			case i.Total >= 0.005:
				d := max(decimals(i.TotalError)-1, 0)
				cell = fmt.Sprintf("%.*f ± %.*f %% (%.*f)", d, 100*i.Total, d, 100*i.TotalError, d, 100*max(i.First, 0))
			case i != (montecarlo.Index{}):
				cell = "below 1 %"
			}
			row = append(row, cell)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// moved returns the indices of an outcome, Limit being the last.
func (s *Study) moved(k int) []montecarlo.Index {
	if k == len(s.Outcomes) {
		return s.Moved[len(s.Moved)-1]
	}
	return s.Moved[k]
}
