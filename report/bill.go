package report

import (
	"fmt"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// article is something to buy.
type article struct {
	name   string
	needs  string // what it has to be or do
	status string // sign and word of the part of the assessment that it is
	wrong  bool   // whether that part does not carry
}

// bill lists what the build is made of, in the order fuel meets it.
func (w *writer) bill() []article {
	b := w.a.Build
	var list []article
	add := func(name, needs string, kinds ...sizing.PartKind) {
		x := article{name: name, needs: needs}
		for _, kind := range kinds {
			if p, ok := w.a.Part(kind); ok {
				x.status, x.wrong = p.Status.Symbol()+" "+p.Status.String(), p.Status != sizing.Carries
				if x.wrong {
					x.needs = w.instead(p, x.needs)
				}
				break
			}
		}
		list = append(list, x)
	}
	for _, s := range b.Suction {
		add(nameOr(s.Part, "suction side"), w.lineWords(s), sizing.SuctionPart)
	}
	for i, p := range b.Pumps {
		l := w.a.Loads.Pumps[i]
		kind := sizing.PumpsPart
		if p.Role == sizing.Lift && b.SurgeTank != nil {
			kind = sizing.LiftPart
		}
		needs := fmt.Sprintf("%s together against %s", format(w, l.Flow), format(w, l.Rise))
		if l.Voltage != 0 {
			needs += " at " + format(w, l.Voltage)
		}
		add(counted(p.Count, nameOr(p.Part, fmt.Sprintf("pump %d", i+1))), needs, kind)
	}
	if s := b.SurgeTank; s != nil {
		add("surge tank", format(w, s.Volume)+", vented, return to the "+s.Return.String())
	}
	if !b.FeedLine.IsZero() {
		add(nameOr(b.FeedLine.Part, "feed line"), w.lineWords(b.FeedLine), sizing.FeedLinePart)
	}
	r := b.Regulator
	add(nameOr(r.Part, "regulator"), regulatorWords(r)+", set to "+format(w, r.BasePressure), sizing.RegulatorPart)
	i := b.Injectors
	add(counted(i.Count, nameOr(i.Part, "injectors")), i.Flow.Format(w.sys), sizing.InjectorsPart)
	if s := b.Secondary; s != nil {
		add(counted(s.Count, nameOr(s.Part, "second set of injectors")), s.Flow.Format(w.sys), sizing.InjectorsPart)
	}
	for _, s := range b.ReturnLine {
		add(nameOr(s.Part, "return line"), w.lineWords(s))
	}
	return list
}

// instead says what a part would have to be that does not keep the margin wanted.
func (w *writer) instead(p sizing.Part, needs string) string {
	b := w.a.Build
	more := (1 + float64(p.Wanted)) / (1 + float64(p.Margin))
	switch p.Kind {
	case sizing.InjectorsPart:
		if b.Secondary == nil && p.Margin > -1 {
			if r, err := b.Injectors.Flow.Resized(quantity.VolumeFlow(float64(b.Injectors.Flow.Volume()) * more)); err == nil {
				return "for the margin wanted " + r.Format(w.sys) + " at least"
			}
		}
	case sizing.PumpsPart, sizing.LiftPart:
		need := quantity.VolumeFlow(float64(p.Demand) * (1 + float64(p.Wanted)))
		return "for the margin wanted " + format(w, need) + " from all pumps together at the same pressure"
	case sizing.FeedLinePart:
		need := quantity.VolumeFlow(float64(p.Demand) * (1 + float64(p.Wanted)))
		return fmt.Sprintf("for the margin wanted no more than %s lost at %s", format(w, b.Policy.AllowedLineLoss), format(w, need))
	case sizing.RegulatorPart:
		return "one that returns " + format(w, p.Demand)
	}
	return needs
}

// lineWords describes a line or a filter in few words.
func (w *writer) lineWords(s sizing.Segment) string {
	var words []string
	if bore := s.Line().Bore; bore != 0 {
		text := format(w, bore) + " bore"
		if s.Bore == 0 {
			text += " (" + s.Dash.Format(w.sys) + ")"
		}
		words = append(words, text+", "+w.length(s.Length))
	}
	if s.Filter.Drop != 0 {
		words = append(words, "filter "+s.Filter.Format(w.sys))
	}
	if len(words) == 0 {
		return "–"
	}
	return strings.Join(words, ", ")
}

// length prints lengths of pipe, for which millimetres and inches are too small.
func (w *writer) length(l quantity.Length) string { return length(w.sys, l) }

func length(sys quantity.System, l quantity.Length) string {
	return sys.Each(func(s quantity.System) string {
		if s == quantity.US {
			return quantity.FormatIn(l, quantity.Foot)
		}
		return quantity.FormatIn(l, quantity.Metre)
	})
}

// regulatorWords says what holds the rail pressure.
func regulatorWords(r sizing.Regulator) string {
	if r.Control == sizing.ByPumpSpeed {
		return "controller of the pumps' speed, " + r.Kind.String()
	}
	return r.Kind.String() + " regulator"
}

func nameOr(name, or string) string {
	if strings.TrimSpace(name) == "" {
		return or
	}
	return name
}

func counted(n int, name string) string {
	if n == 1 {
		return name
	}
	return fmt.Sprintf("%d × %s", n, name)
}
