package display

import (
	"fmt"
	"strings"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/kernel/display/live"
	"example.com/railbook/kernel/display/markup"
	"example.com/railbook/kernel/page/chart"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
)

// FigureMIME is the type of a figure as data, the JSON of a [figure.Figure]. It
// accompanies every live chart.
const FigureMIME = "application/vnd.railbook.figure+json"

// Show shows each of the things, one after the other:
//
//   - an assessment as its verdict, its parts with their margins, and what has to
//     be said about it, cautions first;
//   - a build as the table of what its sheet says, defaults filled in;
//   - a table, a figure, a grid, the steps of a working;
//   - a ceiling as the largest values that all parts carry, with what stops them;
//   - doubts as what follows from them, in words and tables;
//   - measurements as what they say, in words and tables;
//   - a quantity, in metric and in US units;
//   - text, as Markdown, and numbers.
func Show(things ...any) {
	for _, v := range things {
		b, err := bundle(v)
		if err == nil {
			err = cell.Send(b)
		}
		if err != nil {
			cell.Fail(err)
		}
	}
}

// Note shows a remark.
func Note(text string) { remark(markup.Note(text), "Note. "+text) }

// Caution shows a remark on someone's safety, or the engine's.
func Caution(text string) { remark(markup.Caution(text), "Caution. "+text) }

func remark(html, text string) {
	if err := cell.Send(cell.Bundle{cell.HTML: html, cell.Text: text}); err != nil {
		cell.Fail(err)
	}
}

// bundle returns the formats in which a thing is shown.
func bundle(v any) (cell.Bundle, error) {
	switch v := v.(type) {
	case *sizing.Assessment:
		if v != nil {
			return assessmentBundle(v), nil
		}
	case sizing.Assessment:
		return assessmentBundle(&v), nil
	case sizing.Build:
		a, err := sizing.Assess(v)
		if err != nil {
			return nil, err
		}
		return tableBundle(InputTable(a)), nil
	case sizing.Table:
		return tableBundle(v), nil
	case []sizing.Step:
		return tableBundle(stepTable(v)), nil
	case *Grid:
		if v != nil {
			return tableBundle(v.table()), nil
		}
	case *Ceiling:
		if v != nil {
			t, err := v.table()
			return tableBundle(t), err
		}
	case *Doubts:
		if v != nil {
			return v.bundle()
		}
	case *Measurements:
		if v != nil {
			return v.bundle()
		}
	case figure.Figure:
		return figureBundle(v)
	case string:
		return cell.Bundle{cell.Markdown: v, cell.Text: v}, nil
	case bool, int, float64:
		return cell.Bundle{cell.Text: fmt.Sprint(v)}, nil
	}
	if text, ok := bothSystems(v); ok {
		return cell.Bundle{cell.Text: text}, nil
	}
	if s, ok := v.(fmt.Stringer); ok {
		return cell.Bundle{cell.Text: s.String()}, nil
	}
	return nil, fmt.Errorf("cannot show a %T; Show takes builds, assessments, tables, figures, grids, ceilings, doubts, measurements, quantities, text and numbers", v)
}

func tableBundle(t sizing.Table) cell.Bundle {
	return cell.Bundle{cell.HTML: markup.Table(t), cell.Text: markup.TextTable(t)}
}

func assessmentBundle(a *sizing.Assessment) cell.Bundle {
	verdict, margins := a.Verdict(a.Build.Job.Units), MarginTable(a)
	html := []string{markup.Verdict(verdict), markup.Table(margins)}
	text := []string{verdict, markup.TextTable(margins)}
	for _, grave := range []bool{true, false} {
		for _, w := range a.Warnings {
			switch {
			case w.Grave != grave:
			case grave:
				html, text = append(html, markup.Caution(w.Text)), append(text, "Caution. "+w.Text)
			default:
				html, text = append(html, markup.Note(w.Text)), append(text, "Note. "+w.Text)
			}
		}
	}
	return cell.Bundle{cell.HTML: strings.Join(html, "\n"), cell.Text: strings.Join(text, "\n\n")}
}

func figureBundle(f figure.Figure) (cell.Bundle, error) {
	spec, err := live.Spec(f)
	if err != nil {
		return nil, err
	}
	return cell.Bundle{cell.Text: spec.Title + "\n" + f.Alt, chart.MIME: spec, FigureMIME: f}, nil
}
