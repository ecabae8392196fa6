package sizing

import (
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/pump"
)

// made is what of a build is costly to make and check, for those that assess many
// variations of it: pump curves, dead times and the names of parts. It belongs to builds in which nothing
// but numbers outside of these has changed.
type made struct {
	curves [][]pump.Curve // of each entry of pumps, in order of voltage
	dead   []injector.DeadTime
	names  names
}

// ready returns b with what is costly made, where the fields do not move it and it can
// be made.
func (b Build) ready(fields ...Field) Build {
	for _, f := range fields {
		if f.remade {
			return b
		}
	}
	m := &made{}
	for _, p := range b.Pumps {
		h, err := p.Hardware()
		if err != nil && p.Mechanical == nil {
			return b
		}
		m.curves = append(m.curves, h.Curves)
	}
	dead, err := injector.NewDeadTime(b.Injectors.DeadTime...)
	if err != nil {
		return b
	}
	m.dead = []injector.DeadTime{dead, dead}
	if b.Secondary != nil && len(b.Secondary.DeadTime) > 0 {
		if m.dead[1], err = injector.NewDeadTime(b.Secondary.DeadTime...); err != nil {
			return b
		}
	}
	m.names = b.partNames()
	b.made = m
	return b
}

// electric makes the electric pump of the i-th entry.
func (b *Build) electric(i int) (pump.Pump, error) {
	if b.made == nil {
		return b.Pumps[i].Hardware()
	}
	p := b.Pumps[i]
	return pump.Pump{Part: p.Part, Count: p.Count, Derate: p.Wear, Relief: p.Relief, Curves: b.made.curves[i]}, nil
}

// deadTime makes the dead time of the first or the second set.
func (b *Build) deadTime(set int) (injector.DeadTime, error) {
	shift := b.Injectors.DeadTimeShift
	if b.made != nil {
		return b.made.dead[set].Shifted(shift), nil
	}
	points := b.Injectors.DeadTime
	if set == 1 {
		points = b.Secondary.DeadTime
	}
	d, err := injector.NewDeadTime(points...)
	return d.Shifted(shift), err
}
