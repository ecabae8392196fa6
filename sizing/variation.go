package sizing

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"example.com/railbook/sizing/internal/parallel"
	"example.com/railbook/sizing/quantity"
)

// Axis is a field of a build and the values that it takes in turn, in the coherent SI
// unit.
type Axis struct {
	Field  Field
	Values []float64
}

// Variation is a build with axes along which it is varied: every combination of their
// values is a point. It is made by [Vary], and any number of goroutines may use it.
//
// Points are numbered from zero with the last axis running fastest. What only some of
// the axes move is found once for all points that share it.
type Variation struct {
	given   Build
	axes    []Axis
	points  int
	strides []int

	refused  []refusals
	hardware shelf[hardware]
	liquid   shelf[liquid]
	breath   shelf[breath]
	aim      shelf[aim]
	algebra  *algebra // nil where the terms are not known
}

// ErrAxes is wrapped by the error of [Vary] where the axes do not go together.
var ErrAxes = errors.New("these axes do not go together")

// Vary prepares b to be assessed along axes. The error tells of axes that do not go
// together, or of a value that a field cannot have; a point whose build makes no sense
// is told by [Variation.Assess].
func Vary(b Build, axes ...Axis) (*Variation, error) {
	fields := make([]Field, len(axes))
	for k, a := range axes {
		fields[k] = a.Field
	}
	v := &Variation{given: b.ready(fields...), axes: slices.Clone(axes), points: 1, strides: make([]int, len(axes))}
	seen := map[string]bool{}
	for k := len(axes) - 1; k >= 0; k-- {
		a := axes[k]
		switch {
		case len(a.Values) == 0:
			return nil, fmt.Errorf("%w: %s has no values", ErrAxes, a.Field.name)
		case seen[a.Field.name]:
			return nil, fmt.Errorf("%w: %s is given twice", ErrAxes, a.Field.name)
		case v.points > maxPoints/len(a.Values):
			return nil, fmt.Errorf("%w: more than %d points", ErrAxes, maxPoints)
		}
		seen[a.Field.name] = true
		v.strides[k] = v.points
		v.points *= len(a.Values)
	}
	switch {
	case seen["boost"] && seen["power"]:
		return nil, fmt.Errorf("%w: boost and power move each other", ErrAxes)
	case seen["boost"], seen["power"]:
		// These move target and air from where other axes have put them.
		for k := range v.axes {
			if f := &v.axes[k].Field; f.moves&(breathStage|aimStage) != 0 {
				f.moves |= breathStage | aimStage
			}
		}
	}
	if err := v.refuse(); err != nil {
		return nil, err
	}
	if err := v.fill(); err != nil {
		return nil, err
	}
	v.prepare()
	return v, nil
}

// maxPoints keeps the number of a point within what indexes well.
const maxPoints = 1 << 52

// Len returns the number of points.
func (v *Variation) Len() int { return v.points }

// Units is the unit system of the build.
func (v *Variation) Units() quantity.System { return v.given.Job.Units }

// Indices splits the number of a point into its place on each axis, into at, which has
// the length of the axes.
func (v *Variation) Indices(point int, at []int) {
	for k, stride := range v.strides {
		at[k] = point / stride
		point %= stride
	}
}

// Build returns the build of a point.
func (v *Variation) Build(point int) (Build, error) {
	at := make([]int, len(v.axes))
	v.Indices(point, at)
	var b Build
	if err := v.at(at, &b); err != nil {
		return Build{}, err
	}
	return b, nil
}

// Assess finds the demand at a point and the sections of its assessment that are asked
// for, and leaves the others as they are; of Build it gives only the unit system. The
// numbers are those of [Assess] of the point's build, to the last bit. It reuses what
// into holds, and allocates nothing but where a stage of the assessment depends on all
// axes.
//
// The error is a [*BuildError] where the build makes no sense; into is then not
// changed.
func (v *Variation) Assess(point int, x Section, into *Assessment) error {
	var room [maxAxes]int
	at := room[:0]
	if len(v.axes) > maxAxes {
		at = make([]int, 0, len(v.axes))
	}
	at = at[:len(v.axes)]
	v.Indices(point, at)
	if err := v.refusal(at); err != nil {
		return err
	}
	s, d, err := v.system(at)
	if err != nil {
		return err
	}
	into.Build.Job.Units = v.given.Job.Units
	into.Power, into.Manifold, into.Demand = s.power, s.manifold, d
	s.find(into, x)
	return nil
}

// maxAxes is the number of axes up to which finding a point allocates nothing.
const maxAxes = 8

// system joins the stages of a point.
func (v *Variation) system(at []int) (system, Demand, error) {
	h, l, br, t := v.hardware.take(at), v.liquid.take(at), v.breath.take(at), v.aim.take(at)
	if h != nil && l != nil && br != nil && t != nil {
		s, d := join(h, l, br, t)
		return s, d, nil
	}
	var b Build
	if err := v.at(at, &b); err != nil {
		return system{}, Demand{}, err
	}
	b.fill()
	return newSystem(&b, h, l, br, t)
}

// at makes b the build with the axes at their values at the indices.
func (v *Variation) at(at []int, b *Build) error {
	*b = v.given
	for k, a := range v.axes {
		if err := a.Field.set(b, a.Values[at[k]]); err != nil {
			return fmt.Errorf("%s: %w", a.Field.name, err)
		}
	}
	return nil
}

// shelf keeps one stage of the assessment for every combination of the axes that move
// it, or nothing where there are too many of those.
type shelf[T any] struct {
	strides []int // of each axis; zero where it does not move the stage
	kept    []*T  // nil for one that the axes held at their first values make no sense of
}

// take returns the stage at a point, nil where it is not kept.
func (s *shelf[T]) take(at []int) *T {
	if s.kept == nil {
		return nil
	}
	i := 0
	for k, stride := range s.strides {
		i += at[k] * stride
	}
	return s.kept[i]
}

// whole reports whether the stage is kept for every combination.
func (s *shelf[T]) whole() bool {
	return s.kept != nil && !slices.Contains(s.kept, nil)
}

// maxKept bounds what one shelf keeps.
const maxKept = 1 << 16

// fill fills the shelves. A stage is made of a build in which the axes that do not move
// it are at their first values.
func (v *Variation) fill() error {
	return errors.Join(
		stock(v, &v.hardware, hardwareStage, (*Build).hardware),
		stock(v, &v.liquid, liquidStage, func(b *Build) (*liquid, error) { return b.liquid(), nil }),
		stock(v, &v.breath, breathStage, func(b *Build) (*breath, error) { return b.breath(), nil }),
		stock(v, &v.aim, aimStage, func(b *Build) (*aim, error) { return b.aim(), nil }),
	)
}

// stock fills one shelf with what prepare makes.
func stock[T any](v *Variation, s *shelf[T], moved stage, prepare func(*Build) (*T, error)) error {
	strides, n := v.combine(func(f Field) bool { return f.moves&moved != 0 })
	if n > maxKept {
		return nil
	}
	kept := make([]*T, n)
	s.strides, s.kept = strides, kept
	return v.each(strides, n, func(i int, at []int, b *Build) (err error) {
		if v.refusal(at) != nil {
			return nil
		}
		if err = v.at(at, b); err == nil {
			b.fill()
			kept[i], err = prepare(b)
		}
		return err
	})
}

// combine numbers the combinations of those axes whose field is chosen, the last one
// fastest: the stride of each axis, zero for the others, and how many there are.
func (v *Variation) combine(chosen func(Field) bool) (strides []int, n int) {
	return v.combineUpTo(maxKept, chosen)
}

// combineUpTo is combine, which gives up once there are more than most.
func (v *Variation) combineUpTo(most int, chosen func(Field) bool) (strides []int, n int) {
	strides, n = make([]int, len(v.axes)), 1
	for k := len(v.axes) - 1; k >= 0; k-- {
		if !chosen(v.axes[k].Field) {
			continue
		}
		strides[k] = n
		if n *= len(v.axes[k].Values); n > most {
			return strides, n
		}
	}
	return strides, n
}

// each calls do with all n combinations of the axes that have a stride, the other axes at
// their first values, and with room for a build; on all processors, in no certain order.
// The error is the first one in the order of the combinations.
func (v *Variation) each(strides []int, n int, do func(i int, at []int, room *Build) error) error {
	const share = 64 // so many one after the other
	errs := make([]error, (n+share-1)/share)
	parallel.Each(context.Background(), len(errs), func(c int) {
		at, room := make([]int, len(v.axes)), new(Build)
		for k, stride := range strides {
			if stride != 0 {
				at[k] = c * share / stride % len(v.axes[k].Values)
			}
		}
		for i := c * share; i < min((c+1)*share, n) && errs[c] == nil; i++ {
			errs[c] = do(i, at, room)
			v.next(at, strides)
		}
	})
	return cmp.Or(errs...)
}

// next moves at on to the next combination of the axes that have a stride, and is false
// behind the last.
func (v *Variation) next(at, strides []int) bool {
	for k := len(at) - 1; k >= 0; k-- {
		if strides[k] == 0 {
			continue
		}
		if at[k]++; at[k] < len(v.axes[k].Values) {
			return true
		}
		at[k] = 0
	}
	return false
}

// refusals tells which combinations of some axes make no sense. Axes are together where
// one check looks at both.
type refusals struct {
	checks  check
	strides []int
	kept    []error // nil in all where there are too many combinations to keep
}

// refuse finds what makes no sense. The error is that of a build that makes none
// whatever the axes say.
func (v *Variation) refuse() error {
	var groups []check
	var moved check
	for _, a := range v.axes {
		mask := a.Field.check
		moved |= mask
		groups = slices.DeleteFunc(groups, func(g check) bool {
			joined := g&mask != 0
			if joined {
				mask |= g
			}
			return joined
		})
		groups = append(groups, mask)
	}
	var b Build
	if err := v.at(make([]int, len(v.axes)), &b); err != nil {
		b = v.given
	}
	if err := b.refusal(everyCheck &^ moved); err != nil {
		return err
	}
	for _, g := range groups {
		r := refusals{checks: g}
		var n int
		if r.strides, n = v.combine(func(f Field) bool { return f.check&g != 0 }); n <= maxKept {
			r.kept = make([]error, n)
			v.each(r.strides, n, func(i int, at []int, room *Build) error {
				r.kept[i] = v.refusalOf(at, g, room)
				return nil
			})
		}
		v.refused = append(v.refused, r)
	}
	return nil
}

// at is the refusal of the combination at a point, nil for none.
func (r *refusals) at(v *Variation, at []int) error {
	if r.kept == nil {
		return v.refusalOf(at, r.checks, new(Build))
	}
	i := 0
	for k, stride := range r.strides {
		i += at[k] * stride
	}
	return r.kept[i]
}

// refusalOf makes some of the checks of a point, in b as room.
func (v *Variation) refusalOf(at []int, which check, b *Build) error {
	if err := v.at(at, b); err != nil {
		return err
	}
	return b.refusal(which)
}

// refusal is why a point makes no sense, nil where it does.
func (v *Variation) refusal(at []int) error {
	for i := range v.refused {
		if err := v.refused[i].at(v, at); err != nil {
			return err
		}
	}
	return nil
}

// refusal makes some of the checks; it is nil or a [*BuildError].
func (b *Build) refusal(which check) error {
	c := &checker{}
	if b.inspect(c, which); len(c.problems) > 0 {
		return &BuildError{Problems: c.problems}
	}
	return nil
}
