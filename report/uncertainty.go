package report

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/uncertainty"
)

// doubtDraws is how many draws the section on uncertainty is made from, and doubtBase how
// many pairs of them the sensitivities: enough for its percent, and a second at most. The
// seed is always the same, so that a report made again is the same.
const (
	doubtDraws = 20_000
	doubtBase  = 512
)

// study draws from the doubts of the build; it is nil where there are none.
func study(a *sizing.Assessment) (*uncertainty.Study, error) {
	if a.Build.Doubts.IsZero() {
		return nil, nil
	}
	s, err := uncertainty.Propagate(context.Background(), a.Given(), uncertainty.Plan{Draws: doubtDraws, Base: doubtBase})
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrAssessment, err)
	}
	return s, nil
}

// uncertainty writes the section on what is not known exactly.
func (w *writer) uncertainty() {
	if w.study == nil {
		w.noDoubts()
		return
	}
	s := w.study
	w.text(fmt.Sprintf("The build sheet gives some values as ranges or distributions, listed in %s. Everything else in this report takes the middle of each. Here they were drawn %d times together, and the build was assessed at every draw: %s has the results, %s how likely each part falls short, and %s which doubt moves what.",
		w.next(), s.Draws, w.after(1), w.after(2), w.after(3)))
	for _, words := range s.Words() {
		w.text(words)
	}
	w.table(s.DoubtTable())
	w.table(s.ResultTable())
	w.table(s.PartTable())
	w.table(s.MovesTable())
}

// noDoubts says what can be told of uncertainty where the sheet tells nothing.
func (w *writer) noDoubts() {
	w.text("The build sheet gives every value as one number, so that no probability can be told. Values given as they are known, such as E60..E78 or 142 lb/h +- 2 %, would be drawn from together here.")
	text := fmt.Sprintf("What can be told: the routes to the demand lie %s apart (%s)", w.a.Demand.Spread.Percent(0), w.section(demandTitle))
	if worst := w.worst(3); len(worst) > 0 {
		text += ", and of what was assumed these take most from the weakest margin, each by itself over its range: " + list(worst) + " (" + w.section(assumptionsTitle) + ")"
	}
	w.text(text + ".")
}

// worst names the assumptions that bring the weakest margin lowest, at most so many.
func (w *writer) worst(most int) []string {
	type found struct {
		n int
		m quantity.Ratio
	}
	var all []found
	base := w.a.Weakest().Margin
	for i, e := range w.moved {
		if m, ok := e.leastMargin(); ok && m < base-0.005 {
			all = append(all, found{i, m})
		}
	}
	slices.SortStableFunc(all, func(a, b found) int { return cmp.Compare(a.m, b.m) })
	var names []string
	for _, f := range all[:min(most, len(all))] {
		names = append(names, fmt.Sprintf("%s to %s", assumption(f.n+1), signed(f.m)))
	}
	return names
}
