package sizing

import (
	"errors"
	"slices"
	"strconv"

	"example.com/railbook/sizing/internal/sheet"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/uncertainty/spread"
)

// doubtful is what a sheet says of doubts.
type doubtful struct {
	Doubts
	problems []Problem
}

// readDoubts reads the doubts of a sheet, and puts the middle of each in its place.
func readDoubts(doc *sheet.Document) doubtful {
	var d doubtful
	d.problems = doc.Take("correlation", &d.Correlations)
	doc.Rewrite(func(path, text string) (string, bool) {
		if !spread.Stated(text) {
			return "", false
		}
		r, err := readDoubt(path, text)
		switch {
		case errors.Is(err, errNoDoubt):
			return "", false // the field says what it makes of the text
		case err != nil:
			d.problems = append(d.problems, doubtProblem(doc, path, strconv.Quote(text), err))
			return "", false
		}
		d.List = append(d.List, r.Doubt)
		return r.middle, true
	})
	slices.SortStableFunc(d.List, func(a, b Doubt) int { return doc.Line(a.Path) - doc.Line(b.Path) })
	if len(d.problems) > 0 {
		return d
	}
	for i, c := range d.Correlations {
		if _, err := d.pair(c); err != nil {
			d.problems = append(d.problems, doubtProblem(doc, "correlation["+strconv.Itoa(i+1)+"]", "", err))
		}
	}
	if len(d.problems) == 0 {
		if _, err := d.Copula(); err != nil {
			d.problems = append(d.problems, doubtProblem(doc, "correlation", "", err))
		}
	}
	return d
}

// refusedDoubt adds to the problem of a field that cannot be in doubt that it cannot.
func refusedDoubt(p Problem) Problem {
	if text, err := strconv.Unquote(p.Value); err == nil && spread.Stated(text) && p.Accepted != "" {
		p.Reason += "; " + errNoDoubt.Error()
	}
	return p
}

// doubtProblem makes a problem of the error of reading a doubt.
func doubtProblem(doc *sheet.Document, path, value string, err error) Problem {
	p := Problem{Line: doc.Line(path), Field: path, Value: value, Reason: err.Error()}
	var pe *quantity.ParseError
	if errors.As(err, &pe) {
		p.Reason, p.Accepted = pe.Reason, pe.Accepted
		if value == "" {
			p.Value = strconv.Quote(pe.Text)
		}
	}
	return p
}

// endProblems tells of doubts at an end of which the build makes no sense.
func (b Build) endProblems(doc *sheet.Document) []Problem {
	var problems []Problem
	for _, d := range b.Doubts.List {
		low, high, bounded := d.spread.Ends()
		if !bounded {
			continue
		}
		for _, end := range []float64{low, high} {
			if reason, accepted := b.refusesEnd(d, end); reason != "" {
				problems = append(problems, Problem{Line: doc.Line(d.Path), Field: d.Path, Value: strconv.Quote(d.Text), Reason: reason, Accepted: accepted})
				break
			}
		}
	}
	return problems
}

// refusesEnd is why the build makes no sense with a doubt at an end, empty where it does.
func (b Build) refusesEnd(d Doubt, end float64) (reason, accepted string) {
	at, err := d.Field().Set(b, end)
	if err != nil {
		return "its end " + d.Print(end, b.Job.Units) + " cannot be: " + err.Error(), spread.Accepts
	}
	found := at.problems()
	if len(found) == 0 {
		return "", ""
	}
	reason = "its end " + d.Print(end, b.Job.Units) + " "
	if p := found[0]; p.Field == d.Path {
		return reason + p.Reason, p.Accepted
	}
	return reason + "makes " + found[0].Field + " wrong: " + found[0].Reason, found[0].Accepted
}
