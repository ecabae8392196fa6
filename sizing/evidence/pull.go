package evidence

import (
	"encoding/binary"
	"fmt"
	"hash"
	"hash/fnv"
	"math"

	"example.com/railbook/sizing/quantity"
)

// Pull is one pull of a log: its summary, its course over speed, and what the
// uncertainty of its consumption is made of.
type Pull struct {
	PullSummary
	Windows     []Window       `json:"windows"`     // in order of rising speed
	Instruments []Contribution `json:"instruments"` // to the uncertainty of the average
	Scatter     Scatter        `json:"scatter"`
	Finding     *Finding       `json:"finding,omitempty"` // nil where no consumption was measured
}

// Scatter is what the samples of a pull tell of their mean.
type Scatter struct {
	Samples     int            `json:"samples"`
	Deviation   quantity.Ratio `json:"deviation"`   // standard deviation of a sample from its trend over speed, as a share of the average
	Correlation float64        `json:"correlation"` // how many samples in a row count for one
	Effective   float64        `json:"effective"`   // samples that count as independent
}

// leastUsed is how many samples a consumption has to rest on.
const leastUsed = 8

// builder takes in the samples of a pull.
type builder struct {
	start, end         float64 // time
	firstSpeed, topped float64
	all                sums
	windows            windows
	series             series
	aside              map[Reason]int
	digest             hash.Hash64 // of time, speed and injection
}

func newBuilder(s *sample, width float64) *builder {
	b := &builder{start: s.reading[timeChannel], windows: windows{width: width}, aside: map[Reason]int{}, digest: fnv.New64a()}
	b.firstSpeed = s.reading[speedChannel]
	return b
}

func (b *builder) add(s *sample) {
	b.end = s.reading[timeChannel]
	var raw [32]byte
	for i, c := range [...]channel{timeChannel, speedChannel, pulseChannel, dutyChannel} {
		binary.LittleEndian.PutUint64(raw[8*i:], math.Float64bits(s.reading[c]))
	}
	b.digest.Write(raw[:])
	if s.reason != "" {
		b.aside[s.reason]++
	}
	if s.fueling.fuel == nil {
		return
	}
	b.all.add(s)
	b.windows.add(s)
	b.topped = max(b.topped, s.reading[speedChannel])
	if s.reason == "" {
		b.series.add(point{s.reading[speedChannel], s.flow, s.power})
	}
}

// pull makes the pull of what was taken in.
func (b *builder) pull(a *analyst, u Uncertainty) Pull {
	p := Pull{PullSummary: PullSummary{
		ID:        fmt.Sprintf("%016x", b.digest.Sum64()),
		Start:     quantity.Time(b.start),
		End:       quantity.Time(b.end),
		Induction: a.build.Induction.Kind,
		LowSpeed:  quantity.AngularSpeed(b.firstSpeed),
		HighSpeed: quantity.AngularSpeed(b.topped),
		Used:      b.all.used,
		Aside:     b.aside,
	}}
	for i := range b.windows.list {
		if w := &b.windows.list[i]; w.all > 0 {
			p.Windows = append(p.Windows, w.window())
			if a.tell {
				p.RailError = max(p.RailError, -quantity.PressureDiff(w.error/float64(w.all)))
			}
		}
	}
	if b.all.used == 0 {
		return p
	}
	mean := b.all.mean()
	f := a.fuels.at(mean[ethanolChannel])
	p.Ethanol, p.Share, p.Heating = quantity.VolumeFraction(mean[ethanolChannel]), quantity.Ratio(f.share), quantity.SpecificEnergy(f.lhv)
	p.Boost = quantity.PressureDiff(mean[manifoldChannel] - float64(a.ambient))
	p.Lambda = quantity.Ratio(mean[lambdaChannel])
	b.consume(&p, a, u)
	return p
}

// consume finds the consumption of a pull with its uncertainty.
func (b *builder) consume(p *Pull, a *analyst, u Uncertainty) {
	average := b.all.consumption()
	measured := average > 0 && b.all.used >= leastUsed
	var sc scatter
	if measured {
		sc = b.scatter(average)
		p.Scatter = Scatter{b.all.used, quantity.Ratio(sc.s / average), sc.tau, sc.effective()}
	}
	// judge gives a mean of n samples around a reading its uncertainty.
	judge := func(value float64, n int, at reading) (Consumption, component, []Contribution) {
		bsfc, energy := a.instruments(&at, u, a.bound)
		typeA, df := sc.mean(float64(n))
		typeB := value * total(bsfc).u
		c := combine(component{typeA, df}, component{typeB, Infinite})
		relative := combine(component{typeA / value, df}, total(energy))
		return Consumption{
			Value: quantity.SpecificConsumption(value), Standard: quantity.SpecificConsumption(c.u),
			TypeA: quantity.SpecificConsumption(typeA), TypeB: quantity.SpecificConsumption(typeB), DF: c.df,
		}, relative, bsfc
	}
	if measured {
		var relative component
		p.Average, relative, p.Instruments = judge(average, b.all.used, b.all.mean())
		energy := b.all.energy / b.all.power
		p.Energy = EnergyRatio{quantity.Ratio(energy), quantity.Ratio(energy * relative.u), relative.df}
	}
	// A window at the edge with few samples is no peak.
	fullest := 0
	for i := range b.windows.list {
		fullest = max(fullest, b.windows.list[i].used)
	}
	k := 0 // of p.Windows
	for i := range b.windows.list {
		w := &b.windows.list[i]
		if w.all == 0 {
			continue
		}
		out := &p.Windows[k]
		k++
		if w.used == 0 {
			continue
		}
		if measured && w.power > 0 {
			out.BSFC, _, _ = judge(w.consumption(), w.used, w.mean())
		}
		if w.used < max(3, fullest/4) {
			continue
		}
		p.MostDuty = max(p.MostDuty, out.Duty)
		if out.Power > p.PeakPower {
			p.PeakPower, p.PeakAt, p.PeakFuel, p.PeakAir, p.AtPeak = out.Power, out.Speed, out.Fuel, out.Air, out.BSFC
		}
		if out.BSFC.Value > p.Peak.Value {
			p.Peak = out.BSFC
		}
	}
}

// scatter finds the scatter of consumption from what every sample's fuel lies off the
// average's.
func (b *builder) scatter(average float64) scatter {
	points := b.series.points
	x, y := make([]float64, len(points)), make([]float64, len(points))
	power := 0.0
	for _, p := range points {
		power += p.power
	}
	power /= float64(len(points))
	for i, p := range points {
		x[i] = p.speed
		y[i] = (p.fuel - average*p.power) / power // the ratio estimator's residual
	}
	return scatterOf(x, y, max(1, b.series.stride))
}
