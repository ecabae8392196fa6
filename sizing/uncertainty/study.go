package uncertainty

import (
	"cmp"
	"context"
	"errors"
	"regexp"
	"slices"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/uncertainty/montecarlo"
)

// Study is what follows from the doubts of a build.
type Study struct {
	Middle     *sizing.Assessment // with every doubt at its middle
	Doubts     sizing.Doubts
	Draws      int // how many there were
	Seed       uint64
	Sampling   montecarlo.Sampling
	Confidence quantity.Ratio

	Senseless int      // draws of which no build could be made; nothing below counts them
	Reasons   []Reason // why, the most frequent first

	Outcomes []Outcome         // of the results asked for
	Parts    []Part            // in the order fuel meets them
	Short    montecarlo.Chance // that any part falls short
	Kept     montecarlo.Chance // that every part keeps the margin wanted
	Limit    Outcome           // the power at which the first part gives out

	// Moved says of each outcome, then of each part's margin, then of Limit, what moves it,
	// by group of doubts; nil where that was not asked for, or there is no doubt.
	Moved  [][]montecarlo.Index
	Groups [][]int // of Doubts that go together; most hold one
	Base   int     // pairs of draws that Moved is found from
	Left   []int   // of each, how many of them were left out as a draw of theirs made no sense
}

// Reason is why draws made no sense.
type Reason struct {
	Text  string `json:"text"`
	Count int    `json:"count"`
}

// maxReasons is how many different reasons are told apart.
const maxReasons = 100

// Propagate studies the doubts that b has, see [sizing.Build.InDoubt]. Without any every
// draw would be the same, so one is made.
//
// The error wraps [ErrPlan], is a [*sizing.BuildError] where b makes no sense, or that of
// ctx. Where no draw makes sense there is a study with no outcome.
func Propagate(ctx context.Context, b sizing.Build, p Plan) (*Study, error) {
	p, err := p.filled()
	if err != nil {
		return nil, err
	}
	middle, err := sizing.Assess(b)
	if err != nil {
		return nil, err
	}
	doubts := inOrder(b.InDoubt())
	if doubts.IsZero() {
		p.Draws, p.Base = 1, -1
	}
	m, err := newModel(b, doubts, p.Results, middle.Parts)
	if err != nil {
		return nil, err
	}
	s := &Study{Middle: middle, Doubts: doubts, Draws: p.Draws, Seed: p.Seed, Sampling: p.Sampling, Confidence: p.Confidence}
	t := newTally(s, m)
	ahead := 0 // assessments that come behind those of this step
	if p.Base > 0 {
		ahead = p.Base * (2 + len(doubts.List))
	}
	plan := montecarlo.Plan{Draws: p.Draws, Outputs: m.outputs(), Seed: p.Seed, Sampling: p.Sampling, Progress: share(p.Progress, p.Draws, 0, p.Draws+ahead)}
	if err := montecarlo.Stream(ctx, m.inputs, m.draw, plan, t.take); err != nil {
		return nil, err
	}
	t.finish()
	if p.Base <= 0 {
		return s, nil
	}
	plan.Draws, plan.Progress = p.Base, share(p.Progress, ahead, p.Draws, p.Draws+ahead)
	var moved montecarlo.Model
	moved, plan.Outputs = m.moved()
	found, err := montecarlo.Sensitivities(ctx, m.inputs, moved, plan)
	if err != nil {
		return nil, err
	}
	s.Moved, s.Groups, s.Base, s.Left = found.Indices, found.Groups, found.Draws, found.Dropped
	return s, nil
}

// share tells of a step that makes some of all assessments.
func share(tell func(done, all int), step, before, all int) func(done, draws int) {
	if tell == nil {
		return nil
	}
	return func(done, draws int) { tell(before+int(float64(step)*float64(done)/float64(draws)), all) }
}

// tally sums up the draws as they come.
type tally struct {
	s       *Study
	m       *model
	reasons map[string]int
}

func newTally(s *Study, m *model) *tally {
	sys := s.Middle.Build.Job.Units
	for _, r := range m.results {
		s.Outcomes = append(s.Outcomes, Outcome{Name: r.Name, Unit: r.Unit(sys), Middle: r.Of(s.Middle), sum: &montecarlo.Summary{}})
	}
	for _, p := range s.Middle.Parts {
		s.Parts = append(s.Parts, Part{Part: p, margin: &montecarlo.Summary{}, confidence: s.Confidence})
	}
	weakest := s.Middle.Weakest()
	s.Limit = Outcome{
		Name: "power carried", Unit: quantity.UnitSymbol[quantity.CrankPower](sys),
		Middle: quantity.Number(weakest.Limit, sys), sum: &montecarlo.Summary{},
	}
	return &tally{s: s, m: m, reasons: map[string]int{}}
}

// take adds a block of draws.
func (t *tally) take(b *montecarlo.Block) error {
	s, m := t.s, t.m
	for _, err := range b.Errs {
		if err != nil {
			s.Senseless++
			t.count(reason(err))
		}
	}
	for k := range s.Outcomes {
		s.Outcomes[k].sum.Add(b.Columns[k])
	}
	for k := range s.Parts {
		s.Parts[k].margin.Add(b.Columns[m.margin(k)])
	}
	quantity.Numbers[quantity.CrankPower](b.Columns[m.limit()], s.Middle.Build.Job.Units)
	s.Limit.sum.Add(b.Columns[m.limit()])
	for i, err := range b.Errs {
		if err == nil {
			t.judge(b, i)
		}
	}
	return nil
}

// judge counts what became of the parts in one draw.
func (t *tally) judge(b *montecarlo.Block, i int) {
	s, m := t.s, t.m
	short, kept := false, true
	for k := range s.Parts {
		p := &s.Parts[k]
		status := b.Columns[m.status(k)][i]
		if status != status {
			continue
		}
		p.Short.Of++
		p.Kept.Of++
		if status == float64(sizing.Short) {
			p.Short.Count++
			short = true
		}
		if status == float64(sizing.Carries) {
			p.Kept.Count++
		} else {
			kept = false
		}
	}
	for k := range s.Parts {
		s.Parts[k].First.Of++
	}
	if first := b.Columns[m.weakest()][i]; first == first {
		s.Parts[int(first)].First.Count++
	}
	s.Short.Of++
	s.Kept.Of++
	if short {
		s.Short.Count++
	}
	if kept {
		s.Kept.Count++
	}
}

// count notes a reason, as long as there are not too many different ones.
func (t *tally) count(text string) {
	if _, known := t.reasons[text]; !known && len(t.reasons) >= maxReasons {
		text = "other reasons"
	}
	t.reasons[text]++
}

// figures are numbers in text.
var figures = regexp.MustCompile(`-?\d+(\.\d+)?(e[+-]?\d+)?`)

// reason says why a draw makes no sense, without the value that it drew.
func reason(err error) string {
	var be *sizing.BuildError
	if errors.As(err, &be) && len(be.Problems) > 0 {
		return be.Problems[0].Field + " " + be.Problems[0].Reason
	}
	return figures.ReplaceAllString(err.Error(), "…")
}

// finish puts the reasons in order and counts what is missing.
func (t *tally) finish() {
	for k := range t.s.Outcomes {
		o := &t.s.Outcomes[k]
		o.Lacks = o.sum.None() - t.s.Senseless
	}
	t.s.Limit.Lacks = t.s.Limit.sum.None() - t.s.Senseless
	for text, n := range t.reasons {
		t.s.Reasons = append(t.s.Reasons, Reason{text, n})
	}
	slices.SortFunc(t.s.Reasons, func(a, b Reason) int {
		return cmp.Or(b.Count-a.Count, cmp.Compare(a.Text, b.Text))
	})
}
