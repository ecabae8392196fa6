package report

import (
	"context"
	"fmt"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/uncertainty"
)

// doubtDraws is how many draws the section on doubts is made from, and doubtBase how many
// pairs of them the sensitivities: enough for its percent, and a second at most. The seed
// is always the same, so that a report made again is the same.
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

// doubts writes the section on what is not known exactly.
func (w *writer) doubts() {
	s := w.study
	w.text(fmt.Sprintf("The build sheet gives some values as ranges or distributions. Everything else in this report takes the middle of each. Here they were drawn %d times together, and the build was assessed at every draw.", s.Draws))
	for _, words := range s.Words() {
		w.text(words)
	}
	w.table(s.DoubtTable())
	w.table(s.ResultTable())
	w.table(s.PartTable())
	w.table(s.MovesTable())
}
