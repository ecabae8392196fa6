package whatif

import (
	"fmt"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// Panel is the sliders of one build and the answers to where they stand. It is made by
// [New], never changes and may be used by several goroutines.
type Panel struct {
	build   sizing.Build
	sheet   *sizing.Assessment // of the build as it is
	sys     quantity.System
	sliders []slider
}

// New makes the panel of a build. The error is that of [sizing.Assess].
func New(b sizing.Build) (*Panel, error) {
	a, err := sizing.Assess(b)
	if err != nil {
		return nil, err
	}
	sliders, err := controls(a)
	return &Panel{build: b, sheet: a, sys: a.Build.Job.Units, sliders: sliders}, err
}

// Description is what a front end needs to set up a panel.
type Description struct {
	Title   string   `json:"title"` // of the build
	Facts   []Fact   `json:"facts"` // about the job and the engine
	Sliders []Slider `json:"sliders"`
	Apart   Apart    `json:"apart"`
	Power   Axis     `json:"power"` // of the bars of the parts, W
	Flow    Axis     `json:"flow"`  // of the bars of the routes, kg/s
	Duty    Axis     `json:"duty"`  // of the injectors' duty
	Caution string   `json:"caution"`
	Start   State    `json:"start"` // the sheet as it is
}

// Fact is something that the sheet says and no slider moves.
type Fact struct {
	Name string `json:"name"`
	Text string `json:"text"`
}

// Apart says what [Settings.Apart] means on this engine.
type Apart struct {
	Name  string `json:"name"`
	About string `json:"about"`
}

// Caution stands under everything that is computed here.
const Caution = "These are computed figures of one sheet. They replace no test: prove them on the built system, " +
	"rail pressure and mixture logged under load, before it is leaned on. Fuel under pressure burns. " +
	"Local codes, the makers' instructions and licensed practice come first."

// Describe says what the panel has. The same build gives the same description.
func (p *Panel) Describe() Description {
	b := p.sheet.Build
	start := p.stand(p.build, Settings{})
	p.fill(&start, p.sheet)
	d := Description{Title: b.Job.Name, Facts: facts(b), Caution: Caution, Start: start,
		Apart: Apart{"Power and boost each by itself",
			"Else each moves the other: manifold pressure stays in proportion to power. By themselves they can contradict each other, and the three routes to the demand lie apart."},
	}
	d.Power, d.Flow, d.Duty = p.axes()
	if !b.Induction.Kind.Boosted() {
		d.Apart = Apart{"Power by itself",
			"Else the engine breathes in proportion to power. By itself power can contradict the air, and the three routes to the demand lie apart."}
	}
	for _, s := range p.sliders {
		d.Sliders = append(d.Sliders, s.Slider)
	}
	return d
}

// facts are the lines of the title block.
func facts(b sizing.Build) []Fact {
	j, e, sys := b.Job, b.Engine, b.Job.Units
	var list []Fact
	add := func(name, text string) {
		if text != "" {
			list = append(list, Fact{name, text})
		}
	}
	add("Reference", strings.TrimSuffix(j.Reference+", revision "+j.Revision, ", revision "))
	add("Date", j.Date)
	add("Customer", j.Customer)
	add("Made by", strings.Trim(j.Engineer+", "+j.Maker, ", "))
	add("Engine", fmt.Sprintf("%s, %d cylinders, %s, %s at the target",
		quantity.FormatIn(e.Displacement, quantity.Litre), e.Cylinders, b.Induction.Kind, quantity.Format(e.Speed, sys)))
	mixture := "lambda " + quantity.Digits(float64(b.Target.Lambda), 3)
	if al := b.Target.Allowance; al != 0 {
		mixture += ", " + al.Percent(0) + " fuel on top as allowance"
	}
	add("Mixture", mixture)
	return list
}
