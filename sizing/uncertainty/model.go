package uncertainty

import (
	"math"
	"slices"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/sweep"
	"example.com/railbook/sizing/uncertainty/montecarlo"
)

// model is a build with its doubts, ready to be drawn from. What it computes of each draw
// stands in this order: the results asked for, each part's margin, each part's status, the
// power at which the first part gives out, and which part that is.
type model struct {
	trials  *sizing.Trials
	inputs  montecarlo.Inputs
	results []sweep.Result
	kinds   []sizing.PartKind
	finds   sizing.Section
}

// newModel prepares a build. The error is that of [sizing.NewTrials], or of correlations
// that cannot be.
func newModel(b sizing.Build, doubts sizing.Doubts, results []sweep.Result, parts []sizing.Part) (*model, error) {
	m := &model{results: results, finds: sizing.WeakestSection | sizing.InjectionSection}
	for _, r := range results {
		m.finds |= r.Section()
	}
	for _, p := range parts {
		m.kinds = append(m.kinds, p.Kind)
	}
	fields := make([]sizing.Field, len(doubts.List))
	for k, d := range doubts.List {
		fields[k] = d.Field()
		m.inputs.Spreads = append(m.inputs.Spreads, d.Spread())
	}
	var err error
	if m.inputs.Copula, err = doubts.Copula(); err != nil {
		return nil, err
	}
	m.trials, err = sizing.NewTrials(b, fields...)
	return m, err
}

// Places of what is computed of each draw.
func (m *model) margin(part int) int { return len(m.results) + part }
func (m *model) status(part int) int { return len(m.results) + len(m.kinds) + part }
func (m *model) limit() int          { return len(m.results) + 2*len(m.kinds) }
func (m *model) weakest() int        { return m.limit() + 1 }
func (m *model) outputs() int        { return m.limit() + 2 }

// draw makes a function that assesses the build at values drawn. A part that a draw does
// not have has no margin and no status.
func (m *model) draw() func(x, y []float64) error {
	var a sizing.Assessment
	return func(x, y []float64) error {
		if err := m.trials.Assess(x, m.finds, &a); err != nil {
			return err
		}
		for k, r := range m.results {
			y[k] = r.Of(&a)
		}
		for k := len(m.results); k < m.outputs(); k++ {
			y[k] = math.NaN()
		}
		least := math.Inf(1)
		for i := range a.Parts {
			p := &a.Parts[i]
			k := slices.Index(m.kinds, p.Kind)
			if k < 0 {
				continue
			}
			y[m.margin(k)], y[m.status(k)] = float64(p.Margin), float64(p.Status)
			if limit := float64(p.Limit); p.Limited && limit < least {
				least, y[m.limit()], y[m.weakest()] = limit, limit, float64(k)
			}
		}
		return nil
	}
}

// moved makes the same with only what sensitivities are found of: the results, the parts'
// margins, and the power at which the first part gives out.
func (m *model) moved() (model montecarlo.Model, outputs int) {
	outputs = len(m.results) + len(m.kinds) + 1
	return func() func(x, y []float64) error {
		draw, all := m.draw(), make([]float64, m.outputs())
		return func(x, y []float64) error {
			err := draw(x, all)
			copy(y, all[:outputs-1])
			y[outputs-1] = all[m.limit()]
			return err
		}
	}, outputs
}
