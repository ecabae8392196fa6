package display

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/kernel/display/markup"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
	"example.com/railbook/sizing/uncertainty"
)

// InDoubt returns a copy of the build with fields that are not known exactly, each given
// by its path in the build sheet and as a sheet gives it:
//
//	InDoubt(build, "fuel.blend = E60..E78", "target.lambda = normal 0.80, 0.01", "injectors.flow = 1550 cc/min +- 2 % at 3 bar")
//
// Doubts of the sheet stay, and the build holds the middle of each.
func InDoubt(b sizing.Build, doubts ...string) sizing.Build { return cell.Must(inDoubt(b, doubts)) }

func inDoubt(b sizing.Build, doubts []string) (sizing.Build, error) {
	for _, text := range doubts {
		path, value, ok := strings.Cut(text, "=")
		if !ok {
			return sizing.Build{}, fmt.Errorf(`doubt %q has no "="; want for example "fuel.blend = E60..E78"`, text)
		}
		var err error
		if b, err = b.WithDoubt(strings.TrimSpace(path), strings.TrimSpace(value)); err != nil {
			return sizing.Build{}, fmt.Errorf("doubt %q: %w", text, err)
		}
	}
	if err := b.Validate(); err != nil {
		return sizing.Build{}, err
	}
	return b, nil
}

// Doubts is a build with values that are not known exactly, to be studied. It is studied
// when something is read off it, and once.
type Doubts struct {
	build   sizing.Build
	results []sweep.Result
	made    *uncertainty.Study
}

// cellDraws is how many draws a cell waits for.
const cellDraws = 20_000

// Doubt studies what follows from the doubts of a build for some results, or for the usual
// ones. [Show] shows what came out.
func Doubt(b sizing.Build, results ...sweep.Result) *Doubts {
	return &Doubts{build: b, results: results}
}

// Study is the study itself.
func (d *Doubts) Study() *uncertainty.Study { return cell.Must(d.study()) }

func (d *Doubts) study() (*uncertainty.Study, error) {
	if d.made != nil {
		return d.made, nil
	}
	if d.build.InDoubt().IsZero() {
		return nil, errors.New(`the build gives every value exactly; put one in doubt, for example InDoubt(build, "fuel.blend = E60..E78")`)
	}
	s, err := uncertainty.Propagate(context.Background(), d.build, uncertainty.Plan{Draws: cellDraws, Results: d.results})
	d.made = s
	return s, err
}

// bundle shows what the study says in words, and its tables.
func (d *Doubts) bundle() (cell.Bundle, error) {
	s, err := d.study()
	if err != nil {
		return nil, err
	}
	words := s.Words()
	html, text := []string{markup.Verdict(words[0])}, []string{words[0]}
	for _, w := range words[1:] {
		html, text = append(html, markup.Note(w)), append(text, w)
	}
	for _, t := range []sizing.Table{s.DoubtTable(), s.ResultTable(), s.PartTable(), s.SizeTable(), s.MovesTable()} {
		html, text = append(html, markup.Table(t)), append(text, markup.TextTable(t))
	}
	return cell.Bundle{cell.HTML: strings.Join(html, "\n"), cell.Text: strings.Join(text, "\n\n")}, nil
}

// Histogram shows how a result is spread over the draws, with the limit that it has and
// the value at the middle of every doubt.
func Histogram(d *Doubts, r sweep.Result) figure.Figure { return cell.Must(d.histogram(r)) }

// bars is how many a histogram has.
const bars = 40

func (d *Doubts) histogram(r sweep.Result) (figure.Figure, error) {
	s, err := d.study()
	if err != nil {
		return figure.Figure{}, err
	}
	for _, o := range s.Outcomes {
		if o.Name == r.Name {
			return histogramOf(s, o, r)
		}
	}
	return figure.Figure{}, fmt.Errorf("%s is not studied; ask for it: Doubt(build, …)", r.Name)
}

func histogramOf(s *uncertainty.Study, o uncertainty.Outcome, r sweep.Result) (figure.Figure, error) {
	list := o.Bars(bars)
	if len(list) == 0 {
		return figure.Figure{}, fmt.Errorf("%s does not vary with what is in doubt", r.Name)
	}
	var outline []sweep.Point
	top := 0.0
	outline = append(outline, sweep.Point{X: list[0].Low})
	for _, b := range list {
		share := 100 * b.Share
		outline = append(outline, sweep.Point{X: b.Low, Y: share}, sweep.Point{X: b.High, Y: share})
		top = max(top, share)
	}
	outline = append(outline, sweep.Point{X: list[len(list)-1].High})
	upright := func(x float64) []sweep.Point { return []sweep.Point{{X: x}, {X: x, Y: top}} }
	c := &figure.Chart{
		X: sweep.Scale{Name: r.Name, Unit: o.Unit}, Y: sweep.Scale{Name: "share of the draws", Unit: "%"},
		Series: []figure.Series{
			{Name: "draws", Points: outline, Style: figure.Solid},
			{Name: "every doubt at its middle", Points: upright(o.Middle), Style: figure.Dashed},
		},
	}
	alt := fmt.Sprintf("Nine draws of ten give a %s from %s to %s %s, half of them up to %s.", r.Name,
		quantity.Digits(o.Quantile(0.05), 3), quantity.Digits(o.Quantile(0.95), 3), o.Unit, quantity.Digits(o.Quantile(0.5), 3))
	if limit, label, ok := r.Limit(s.Middle.Build); ok {
		if least, most := o.Quantile(0), o.Quantile(1); limit > 2*least-most && limit < 2*most-least {
			c.Series = append(c.Series, figure.Series{Name: label, Points: upright(limit), Style: figure.Dotted})
			alt += " An upright line marks the limit: " + label + "."
		} else {
			alt += " The limit, " + label + ", lies far off."
		}
	}
	return figure.Figure{ID: slug("spread", r.Name), Title: "Spread of " + r.Name, Alt: alt, Chart: c}, nil
}
