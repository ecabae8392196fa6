package plumbing

import (
	"errors"
	"fmt"
	"math"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// Stream is fuel on its way through a [Run].
type Stream struct {
	Flow         quantity.VolumeFlow
	Density      quantity.Density
	Viscosity    quantity.Viscosity
	Acceleration quantity.Acceleration // of the vehicle, forward; negative under braking
}

// Segment is one part of a [Run]: a line, a filter, or a line with a filter in it.
type Segment struct {
	Name   string
	Line   Line
	Filter Filter
}

// Drop returns the pressure that the segment loses, its inertia included.
func (s Segment) Drop(f Stream) quantity.PressureDiff {
	return quantity.PressureDiff(s.static(&f) + s.loss(&f))
}

// static is the part of the drop that is there without flow, in pascals.
func (s *Segment) static(f *Stream) float64 {
	return float64(f.Density) * (float64(quantity.StandardGravity)*float64(s.Line.Rise) + float64(f.Acceleration)*float64(s.Line.Ahead))
}

// loss is the part that the flow causes, odd in it, in pascals.
func (s *Segment) loss(f *Stream) float64 {
	return s.Line.loss(float64(f.Flow), float64(f.Density), float64(f.Viscosity)) + float64(s.Filter.Loss(f.Flow))
}

// Run is parts that the same flow goes through one after the other: pickup, filter
// and line before a pump, the feed line behind it, or the return. A Run of none
// loses nothing.
type Run []Segment

// Drop returns the pressure at the inlet of the run less that at its outlet: the sum
// of its segments'. It is continuous in the flow and never falls as it rises.
func (r Run) Drop(f Stream) quantity.PressureDiff {
	return quantity.PressureDiff(r.static(&f) + r.loss(&f))
}

func (r Run) static(f *Stream) float64 {
	var sum float64
	for i := range r {
		sum += r[i].static(f)
	}
	return sum
}

func (r Run) loss(f *Stream) float64 {
	var sum float64
	for i := range r {
		sum += r[i].loss(f)
	}
	return sum
}

// Upstream returns the absolute pressure at the inlet of the run that it takes to have
// the given one at its outlet: of a return line, what the regulator has behind it.
func (r Run) Upstream(outlet quantity.Pressure, f Stream) quantity.Pressure {
	return outlet.Plus(r.Drop(f))
}

// Downstream returns the absolute pressure that the given one at the inlet of the run
// leaves at its outlet. Where it comes out negative no such flow is possible.
func (r Run) Downstream(inlet quantity.Pressure, f Stream) quantity.Pressure {
	return inlet.Plus(-r.Drop(f))
}

// Fastest returns the velocity of flow q where it is greatest, either way, among the
// lines of the run, and in which segment; -1 where there is no line.
func (r Run) Fastest(q quantity.VolumeFlow) (v quantity.Velocity, segment int) {
	segment = -1
	for i := range r {
		if u := r[i].Line.Velocity(q); r[i].Line.Bore != 0 && (segment < 0 || math.Abs(float64(u)) > math.Abs(float64(v))) {
			v, segment = u, i
		}
	}
	return v, segment
}

// Volume returns the volume of fuel in the lines of the run.
func (r Run) Volume() quantity.Volume {
	var sum float64
	for i := range r {
		d := float64(r[i].Line.Bore)
		sum += math.Pi / 4 * d * d * float64(r[i].Line.Length)
	}
	return quantity.Volume(sum)
}

// Capacity returns the flow at which the run loses the allowed pressure: the inverse
// of [Run.Drop] in f.Flow, which is not looked at. It is +Inf for a run that nothing
// resists. The error is [ErrNoFlow], with a flow of zero, where allowed is less than
// rise and acceleration alone cost, and tells of an argument or a run that
// [Run.Validate] would refuse.
func (r Run) Capacity(allowed quantity.PressureDiff, f Stream) (quantity.VolumeFlow, error) {
	err := errors.Join(r.Validate(),
		check.Require(f.Density > 0 && finite(f.Density), "density", f.Density, "must be greater than zero"),
		check.Require(f.Viscosity > 0 && finite(f.Viscosity), "viscosity", f.Viscosity, "must be greater than zero"),
		check.Require(finite(f.Acceleration), "acceleration", f.Acceleration, "must be finite"),
		check.Require(finite(allowed), "allowed drop", allowed, "must be finite"))
	if err != nil {
		return 0, err
	}
	static := quantity.PressureDiff(r.static(&f))
	want := float64(allowed - static)
	switch {
	case want < 0:
		return 0, fmt.Errorf("%w: %v allowed, %v needed", ErrNoFlow, allowed, static)
	case r.free():
		return quantity.VolumeFlow(math.Inf(1)), nil
	case want == 0:
		return 0, nil
	}
	return quantity.VolumeFlow(flowAt(want, float64(100*quantity.LitrePerHour), func(q float64) float64 {
		f.Flow = quantity.VolumeFlow(q)
		return r.loss(&f)
	})), nil
}

// free reports whether nothing in the run resists a flow.
func (r Run) free() bool {
	for i := range r {
		if l := r[i].Line; l.Length != 0 || l.LossCoefficient != 0 || r[i].Filter != (Filter{}) {
			return false
		}
	}
	return true
}

// Validate reports what makes no sense in any segment, named or counted from 1.
func (r Run) Validate() error {
	var errs []error
	for i := range r {
		if err := errors.Join(r[i].Line.Validate(), r[i].Filter.Validate()); err != nil {
			name := r[i].Name
			if name == "" {
				name = fmt.Sprintf("segment %d", i+1)
			}
			errs = append(errs, fmt.Errorf("%s: %w", name, err))
		}
	}
	return errors.Join(errs...)
}
