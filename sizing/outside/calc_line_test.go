package outside

import (
	"errors"
	"math"

	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/quantity"
)

// lineCalcs are what a pipe loses.
var lineCalcs = map[string]calc{
	"friction factor": func(in *inputs) float64 {
		return plain(in, plumbing.FrictionFactor(in.number("Reynolds number"), in.number("relative roughness")), "")
	},
	"friction factor of steel pipe, fully turbulent": func(in *inputs) float64 {
		return show(in, plumbing.Fitting(1).LossCoefficient(take[quantity.Length](in, "bore")))
	},
	"velocity in a pipe":        func(in *inputs) float64 { p := in.pipe(); return show(in, p.line.Velocity(p.flow)) },
	"Reynolds number in a pipe": func(in *inputs) float64 { p := in.pipe(); return plain(in, p.reynolds(), "") },
	"friction factor in a pipe": func(in *inputs) float64 {
		p := in.pipe()
		return plain(in, plumbing.FrictionFactor(p.reynolds(), float64(p.line.Roughness/p.line.Bore)), "")
	},
	"pressure drop in a pipe": func(in *inputs) float64 { p := in.pipe(); return show(in, p.drop()) },
	"head loss in a pipe": func(in *inputs) float64 {
		p := in.pipe()
		return show(in, quantity.Length(float64(p.drop())/(float64(p.rho)*float64(quantity.StandardGravity))))
	},
	"velocity at a head loss": func(in *inputs) float64 { p := in.pipe(); return show(in, p.line.Velocity(in.capacity(p))) },
	"flow at a head loss":     func(in *inputs) float64 { p := in.pipe(); return show(in, in.capacity(p)) },
	"pressure of a column": func(in *inputs) float64 {
		column := plumbing.Line{Bore: quantity.Metre, Rise: take[quantity.Length](in, "height")}
		return show(in, column.Drop(0, take[quantity.Density](in, "density"), quantity.PascalSecond))
	},
}

// pipe is a line with what flows in it.
type pipe struct {
	line plumbing.Line
	flow quantity.VolumeFlow
	rho  quantity.Density
	mu   quantity.Viscosity
}

// pipe takes bore, length, wall, fittings, rise, density, viscosity or "kinematic" in mm²/s,
// and flow or speed. All but the bore may be left out where they do not matter.
func (in *inputs) pipe() pipe {
	p := pipe{
		line: plumbing.Line{
			Bore:            take[quantity.Length](in, "bore"),
			Length:          takeOr(in, "length", 1*quantity.Metre),
			Roughness:       takeOr(in, "wall", plumbing.DefaultRoughness),
			LossCoefficient: takeOr(in, "fittings", quantity.Ratio(0)),
			Rise:            takeOr(in, "rise", quantity.Length(0)),
		},
		rho: takeOr(in, "density", 1*quantity.KilogramPerLitre),
	}
	if in.has("kinematic") {
		p.mu = quantity.Viscosity(in.number("kinematic") * 1e-6 * float64(p.rho))
	} else {
		p.mu = takeOr(in, "viscosity", 1*quantity.MillipascalSecond)
	}
	if in.has("speed") {
		area := math.Pi / 4 * float64(p.line.Bore) * float64(p.line.Bore)
		p.flow = quantity.VolumeFlow(float64(take[quantity.Velocity](in, "speed")) * area)
	} else {
		p.flow = takeOr(in, "flow", quantity.VolumeFlow(0))
	}
	if err := p.line.Validate(); err != nil {
		in.fail(err)
	}
	return p
}

func (p pipe) reynolds() float64           { return p.line.Reynolds(p.flow, p.rho, p.mu) }
func (p pipe) drop() quantity.PressureDiff { return p.line.Drop(p.flow, p.rho, p.mu) }

// capacity returns the flow that loses the head "loss", or the head "slope" times
// the length.
func (in *inputs) capacity(p pipe) quantity.VolumeFlow {
	var head float64
	switch {
	case in.has("loss"):
		head = float64(take[quantity.Length](in, "loss"))
	case in.has("slope"):
		head = in.number("slope") * float64(p.line.Length)
	default:
		in.fail(errors.New("neither a loss nor a slope"))
	}
	allowed := quantity.PressureDiff(head * float64(p.rho) * float64(quantity.StandardGravity))
	q, err := p.line.Capacity(allowed, p.rho, p.mu)
	if err != nil {
		in.fail(err)
	}
	return q
}
