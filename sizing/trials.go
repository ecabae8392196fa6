package sizing

import (
	"fmt"
	"sync"

	"example.com/railbook/sizing/quantity"
)

// Trials assesses a build with some of its fields at any values, one set of them after
// the other: what a random draw or a search asks for, where [Variation] serves a grid.
// It is made by [NewTrials], and any number of goroutines may use it.
//
// Stages of the assessment that none of the fields move are found once.
type Trials struct {
	given  Build
	fields []Field
	moves  stage
	checks check

	hardware *hardware
	liquid   *liquid
	breath   *breath
	aim      *aim

	rooms sync.Pool // of *Build, to work in
}

// NewTrials prepares b for trials of the fields, which are set in their order. The error
// tells of a field that holds no number or is given twice, or is a [*BuildError] where
// the build makes no sense whatever the fields say.
func NewTrials(b Build, fields ...Field) (*Trials, error) {
	t := &Trials{given: b.ready(fields...), fields: fields}
	t.rooms.New = func() any { return new(Build) }
	seen := map[string]bool{}
	for _, f := range fields {
		switch {
		case !f.Numeric():
			return nil, fmt.Errorf("%s holds no number", f.name)
		case seen[f.name]:
			return nil, fmt.Errorf("%s is given twice", f.name)
		}
		seen[f.name] = true
		t.moves |= f.moves
		t.checks |= f.check
	}
	if seen["boost"] || seen["power"] {
		t.moves |= breathStage | aimStage
	}
	if err := b.refusal(everyCheck &^ t.checks); err != nil {
		return nil, err
	}
	b = b.filled()
	if t.moves&hardwareStage == 0 {
		h, err := b.hardware()
		if err != nil {
			return nil, err
		}
		t.hardware = h
	}
	if t.moves&liquidStage == 0 {
		t.liquid = b.liquid()
	}
	if t.moves&breathStage == 0 {
		t.breath = b.breath()
	}
	if t.moves&aimStage == 0 {
		t.aim = b.aim()
	}
	return t, nil
}

// Units is the unit system of the build.
func (t *Trials) Units() quantity.System { return t.given.Job.Units }

// Build returns the build with the fields at the values, in the coherent SI unit.
func (t *Trials) Build(values []float64) (Build, error) {
	b := t.given
	err := t.set(&b, values)
	if err != nil {
		return Build{}, err
	}
	return b, nil
}

func (t *Trials) set(b *Build, values []float64) error {
	for k, f := range t.fields {
		if err := f.set(b, values[k]); err != nil {
			return fmt.Errorf("%s: %w", f.name, err)
		}
	}
	return nil
}

// Assess finds the demand with the fields at the values, in the coherent SI unit, and
// the sections asked for, as [Variation.Assess] does. The numbers are those of [Assess]
// of the build, to the last bit. The error is a [*BuildError], or that of a field that
// cannot have its value; into is then not changed.
func (t *Trials) Assess(values []float64, x Section, into *Assessment) error {
	b := t.rooms.Get().(*Build)
	defer t.rooms.Put(b)
	*b = t.given
	if err := t.set(b, values); err != nil {
		return err
	}
	if err := b.refusal(t.checks); err != nil {
		return err
	}
	b.fill()
	s, d, err := newSystem(b, t.hardware, t.liquid, t.breath, t.aim)
	if err != nil {
		return err
	}
	into.Build.Job.Units = t.given.Job.Units
	into.Power, into.Manifold, into.Demand = s.power, s.manifold, d
	s.find(into, x)
	return nil
}
