package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
)

// effect is what becomes of the assessment at the ends of the range of an assumption.
type effect struct {
	span
	known     bool                 // whether there is a range
	ends      []*sizing.Assessment // of span.low, where it has words, and span.high; nil for one that cannot be assessed
	elsewhere string               // what else moves most, in words
}

// effects re-assesses the build at both ends of the range of every assumption.
func (w *writer) effects() []effect {
	list := make([]effect, len(w.a.Assumptions))
	given := w.a.Given()
	for i, x := range w.a.Assumptions {
		e := &list[i]
		if e.span, e.known = w.spanOf(x, given); !e.known {
			continue
		}
		for _, t := range []trial{e.low, e.high} {
			if t.says == "" {
				continue
			}
			var a *sizing.Assessment
			if t.err == nil {
				a, _ = sizing.Assess(t.build) // nil for a build that makes no sense
			}
			e.ends = append(e.ends, a)
		}
		e.elsewhere = cmp.Or(w.elsewhere(*e), w.blind(x.Field))
	}
	return list
}

// demand says how the demand moves.
func (e effect) demand(base *sizing.Assessment) string {
	return e.each(func(a *sizing.Assessment) string { return change(float64(a.Demand.Volume/base.Demand.Volume) - 1) })
}

// margin says where the least margin of a part that depends on power comes to lie, and
// of which part it is where that is another than before.
func (e effect) margin(base *sizing.Assessment) string {
	was := base.Weakest().Kind
	return e.each(func(a *sizing.Assessment) string {
		p := a.Weakest()
		if !p.Limited {
			return "none"
		}
		text := signed(p.Margin)
		if p.Kind != was {
			text += " " + p.Kind.String()
		}
		return text
	})
}

// limit says at what power the first part runs out.
func (e effect) limit(w *writer) string {
	return e.each(func(a *sizing.Assessment) string {
		if p := a.Weakest(); p.Limited {
			return format(w, p.Limit)
		}
		return "any power"
	})
}

// each prints both ends, and just one where they say the same.
func (e effect) each(print func(*sizing.Assessment) string) string {
	var texts []string
	for _, a := range e.ends {
		text := "not assessed"
		if a != nil {
			text = print(a)
		}
		texts = append(texts, text)
	}
	return strings.Join(slices.Compact(texts), " to ")
}

// change prints a relative change; none below a tenth of a percent.
func change(by float64) string {
	if math.Abs(by) < 0.0005 {
		return "0"
	}
	return strings.Replace(fmt.Sprintf("%+.1f %%", 100*by), "-", "−", 1)
}

// signed prints a margin, with a decimal where it is small.
func signed(m quantity.Ratio) string {
	decimals := 0
	if percent := math.Abs(100 * float64(m)); percent < 0.05 {
		return "0 %"
	} else if percent < 1 {
		decimals = 1
	}
	return strings.Replace(fmt.Sprintf("%+.*f %%", decimals, 100*float64(m)), "-", "−", 1)
}

// gauge is a number of the assessment that an assumption may move.
type gauge struct {
	name  string
	value func(*sizing.Assessment) (float64, bool)
	print func(float64) string
	moves float64 // by how much it has to move to be worth a word
}

// gauges are the numbers beside demand and the weakest part that assumptions move.
func (w *writer) gauges() []gauge {
	var list []gauge
	margin := func(v float64) string { return signed(quantity.Ratio(v)) }
	weakest := w.a.Weakest().Kind
	for _, p := range w.a.Parts {
		if p.Kind == weakest {
			continue
		}
		list = append(list, gauge{"margin of the " + p.Kind.String(), func(a *sizing.Assessment) (float64, bool) {
			q, ok := a.Part(p.Kind)
			return float64(q.Margin), ok
		}, margin, 0.005})
	}
	routes := w.a.Demand.Routes
	for _, r := range []struct {
		route demand.Route
		base  quantity.MassFlow
		of    func(demand.Routes) quantity.MassFlow
	}{
		{demand.Power, routes.Power, func(r demand.Routes) quantity.MassFlow { return r.Power }},
		{demand.Energy, routes.Energy, func(r demand.Routes) quantity.MassFlow { return r.Energy }},
		{demand.Air, routes.Air, func(r demand.Routes) quantity.MassFlow { return r.Air }},
	} {
		if r.route == w.a.Demand.Governing {
			continue
		}
		list = append(list, gauge{"fuel by the " + r.route.String() + " route", func(a *sizing.Assessment) (float64, bool) {
			return float64(r.of(a.Demand.Routes)/r.base) - 1, true
		}, change, 0.005})
	}
	diff := func(v float64) string { return format(w, quantity.PressureDiff(v)) }
	duration := func(v float64) string { return format(w, quantity.Time(v)) }
	return append(list,
		gauge{"margin to boiling at the inlet", func(a *sizing.Assessment) (float64, bool) { return float64(a.Inlet.Margin), true }, diff, 500},
		gauge{"idle pulse", func(a *sizing.Assessment) (float64, bool) { return float64(a.Idle.Pulse), true }, duration, 1e-6},
		gauge{"margin to boiling at the rail, idling", func(a *sizing.Assessment) (float64, bool) {
			if a.Warming == nil || a.Warming.HotRail == 0 {
				return 0, false
			}
			return float64(a.Warming.HotMargin), true
		}, diff, 500},
		gauge{"fuel in the tank after an hour of idling", func(a *sizing.Assessment) (float64, bool) {
			if a.Warming == nil || a.Warming.AfterHour == 0 {
				return 0, false
			}
			return float64(a.Warming.AfterHour), true
		}, func(v float64) string { return format(w, quantity.Temperature(v)) }, 0.5},
	)
}

// elsewhere says which other number moves most, by how many times what is worth a word.
func (w *writer) elsewhere(e effect) string {
	type moved struct {
		gauge
		by float64
	}
	var list []moved
	for _, g := range w.gauges() {
		base, ok := g.value(w.a)
		if !ok {
			continue
		}
		by := 0.0
		for _, a := range e.ends {
			if a == nil {
				continue
			}
			if v, ok := g.value(a); ok {
				by = max(by, math.Abs(v-base))
			}
		}
		if by >= g.moves {
			list = append(list, moved{g, by / g.moves})
		}
	}
	says := ""
	if len(list) > 0 {
		g := slices.MaxFunc(list, func(a, b moved) int { return cmp.Compare(a.by, b.by) })
		says = sentence(g.name) + ": " + e.each(func(a *sizing.Assessment) string {
			v, ok := g.value(a)
			if !ok {
				return "none"
			}
			return g.print(v)
		})
	}
	return says
}

// blind says why the assessment cannot tell what a voltage does, where it cannot.
func (w *writer) blind(field string) string {
	b := w.a.Build
	switch {
	case field == "electrical.voltage" && !slices.ContainsFunc(b.Injectors.DeadTime, func(p injector.DeadTimePoint) bool { return p.Voltage != b.Injectors.DeadTime[0].Voltage }):
		return "not known: the dead time is given for one voltage"
	case field == "electrical.pump_voltage", field == "electrical.supply", strings.HasPrefix(field, "pumps["):
		if !slices.ContainsFunc(b.Pumps, func(p sizing.Pump) bool { return len(p.Curves) > 1 }) {
			return "not known: the pumps' curves are given for one voltage"
		}
	}
	return ""
}

// worsens reports whether the status at an end of the range is worse than as assessed.
func (e effect) worsens(base *sizing.Assessment) bool {
	return slices.ContainsFunc(e.ends, func(a *sizing.Assessment) bool { return a != nil && a.Status() > base.Status() })
}

// leastMargin is the lower of the weakest margins at the ends; ok is false where the
// range was not assessed, or is none of values that may turn out so.
func (e effect) leastMargin() (m quantity.Ratio, ok bool) {
	if e.other {
		return 0, false
	}
	for _, a := range e.ends {
		if a == nil {
			continue
		}
		if p := a.Weakest(); p.Limited && (!ok || p.Margin < m) {
			m, ok = p.Margin, true
		}
	}
	return m, ok
}

// status says what the verdict is at the ends.
func (e effect) status() string {
	return e.each(func(a *sizing.Assessment) string { return a.Status().Symbol() + " " + a.Status().String() })
}
