package evidence

import (
	"math"

	"example.com/railbook/sizing/quantity"
)

// Contribution is what one instrument brings to the uncertainty of a consumption.
type Contribution struct {
	Source   string         `json:"source"`
	Standard quantity.Ratio `json:"standard_uncertainty"` // of the consumption, as a share of it
}

// instruments returns what each instrument brings to the uncertainty of the consumption
// at a reading, and to that of the fuel energy over work, as shares of them: type B. The
// reading is a mean over samples; all its instruments are off by the same at each.
func (e *engine) instruments(r *reading, u Uncertainty, logged mask) (bsfc, energy []Contribution) {
	consumption := func(r reading, o offset) (float64, float64) {
		f := e.fuel(&r, o)
		p := e.power(&r, o)
		if p <= 0 {
			return 0, 0
		}
		return f.flow / p, f.flow / p * f.fuel.lhv
	}
	base, baseEnergy := consumption(*r, offset{})
	if base <= 0 {
		return nil, nil
	}
	add := func(source string, standard float64, shift func(x float64) (reading, offset)) {
		b := sensitivity(func(x float64) float64 { y, _ := consumption(shift(x)); return y }, standard) / base
		n := sensitivity(func(x float64) float64 { _, y := consumption(shift(x)); return y }, standard) / baseEnergy
		if b != 0 || n != 0 {
			bsfc = append(bsfc, Contribution{source, quantity.Ratio(b)})
			energy = append(energy, Contribution{source, quantity.Ratio(n)})
		}
	}
	by := func(c channel, relative bool) func(float64) (reading, offset) {
		return func(x float64) (reading, offset) {
			s := *r
			if relative {
				x *= s[c]
			}
			s[c] += x
			return s, offset{}
		}
	}
	add("injector flow", float64(u.InjectorFlow.Standard()), func(x float64) (reading, offset) { return *r, offset{flow: x} })
	add("spread of the injectors", e.spread(), func(x float64) (reading, offset) { return *r, offset{spread: x} })
	add("dead time", float64(u.DeadTime.Standard()), func(x float64) (reading, offset) { return *r, offset{dead: x} })
	add("power", float64(u.Power.Standard()), func(x float64) (reading, offset) { return *r, offset{power: x} })
	add("drivetrain loss", float64(u.DrivetrainLoss.Standard()), func(x float64) (reading, offset) { return *r, offset{loss: x} })
	add("speed", float64(u.Speed.Standard()), by(speedChannel, true))
	pulse := pulseChannel
	if logged.has(dutyChannel) {
		pulse = dutyChannel
	}
	add("pulse", float64(u.Pulse.Standard()), by(pulse, true))
	manifold := by(manifoldChannel, false)
	if !logged.has(railChannel) {
		// The rail then follows the manifold by the regulator.
		manifold = func(x float64) (reading, offset) {
			s := *r
			s[manifoldChannel] += x
			s[railChannel] += e.set(s[manifoldChannel], 0) - e.set(r[manifoldChannel], 0)
			return s, offset{}
		}
	}
	add("rail pressure", float64(u.Rail.Standard()), by(railChannel, false))
	add("manifold pressure", float64(u.Manifold.Standard()), manifold)
	add("ethanol content", float64(u.Ethanol.Standard()), func(x float64) (reading, offset) {
		s := *r
		s[ethanolChannel] += x
		return s, offset{}
	})
	add("fuel temperature", float64(u.FuelTemperature.Standard()), by(fuelTemperatureChannel, false))
	add("voltage", float64(u.Voltage.Standard()), by(voltageChannel, false))
	return bsfc, energy
}

// spread is the standard uncertainty of the mean flow of a set whose injectors lie
// anywhere within their spread, as a share of it.
func (e *engine) spread() float64 {
	s := &e.sets[0]
	if s.count == 0 {
		return 0
	}
	return float64(s.Spread) / math.Sqrt(3) / math.Sqrt(float64(s.count))
}

// total joins contributions.
func total(list []Contribution) component {
	parts := make([]component, len(list))
	for i, c := range list {
		parts[i] = component{float64(c.Standard), Infinite}
	}
	return combine(parts...)
}
