package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/uncertainty"
)

// confidenceDraws is how many draws tell what is counted on.
const confidenceDraws = 20_000

// counted finds the share of each part's capability that is there with the confidence
// asked for, from the doubts of the sheet. The parts of the sheet stand for those of the
// lists: how far a margin spreads is much the same for parts of one kind.
func (j *chooseJob) counted(ctx context.Context) (func(sizing.PartKind) quantity.Ratio, error) {
	if j.confidence == 0 {
		return nil, nil
	}
	if !(j.confidence >= 50 && j.confidence < 100) || math.IsNaN(j.confidence) {
		return nil, fmt.Errorf("--confidence %v: want a percentage from 50 to below 100", j.confidence)
	}
	if j.build.InDoubt().IsZero() {
		return nil, errors.New("--confidence: nothing in the sheet is in doubt; give values as they are known, such as \"E60..E78\"; see doubt --help")
	}
	study, err := uncertainty.Propagate(ctx, j.build, uncertainty.Plan{
		Draws: confidenceDraws, Base: -1, Confidence: quantity.Ratio(j.confidence / 100),
	})
	if err != nil {
		return nil, err
	}
	shares := map[sizing.PartKind]quantity.Ratio{}
	var said []string
	for _, p := range study.Parts {
		// With this margin at the middle a part just carries in so many of the draws.
		if aim := p.Aim(); aim > 0 {
			shares[p.Kind] = 1 / (1 + aim)
			said = append(said, fmt.Sprintf("%s of the %s", shares[p.Kind].Percent(0), p.Kind))
		}
	}
	j.countedText = fmt.Sprintf("Counted on with %v %% confidence, from what the sheet has in doubt: %s.", j.confidence, strings.Join(said, ", "))
	return func(kind sizing.PartKind) quantity.Ratio {
		if share, ok := shares[kind]; ok {
			return share
		}
		return 1
	}, nil
}
