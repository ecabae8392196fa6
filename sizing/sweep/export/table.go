// Package export writes the points of a sweep as a table for other programs: as CSV
// or as JSON here, as Parquet in the package below.
//
// A table has a row for every point, in the order of [sweep.Stream]. Its columns are
// the axes, then the results, each headed by its name and its unit, then the reason
// why a point has no answer. Numbers keep every digit. A missing number is an empty
// cell or null, never zero.
//
// Writers take the points block by block, so that a sweep of many points needs no more
// memory than one of few:
//
//	t, err := export.TableOf(build, plan)
//	…
//	w := export.NewCSV(file, t)
//	err = sweep.Stream(ctx, build, plan, w.Write)
//	…
//	err = w.Close()
package export

import (
	"fmt"
	"math"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/sweep"
)

// Column is a column of numbers.
type Column struct {
	Name string // of the axis or the result
	Unit string // empty for a number without one
}

// Title heads the column: "boost (psi)".
func (c Column) Title() string {
	if c.Unit == "" {
		return c.Name
	}
	return c.Name + " (" + c.Unit + ")"
}

// ReasonTitle heads the last column.
const ReasonTitle = "reason"

// Table is the shape of a sweep as a table. It is made by [TableOf].
type Table struct {
	Build   string // name of the job
	Axes    []Column
	Results []Column

	values [][]float64 // of each axis
	rows   int
}

// TableOf returns the shape of the table of a plan for b. The error tells of two
// columns with the same title, or of points too many to number.
func TableOf(b sizing.Build, p sweep.Plan) (*Table, error) {
	if len(p.Results) == 0 {
		p.Results = sweep.Usual
	}
	t := &Table{Build: b.Job.Name}
	for _, a := range p.Axes {
		t.Axes = append(t.Axes, Column{a.Field, a.Unit})
		t.values = append(t.values, a.Values)
	}
	for _, r := range p.Results {
		t.Results = append(t.Results, Column{r.Name, r.Unit(b.Job.Units)})
	}
	seen := map[string]bool{}
	for _, c := range t.Columns() {
		if seen[c.Title()] {
			return nil, fmt.Errorf("%s is given twice; want each axis and each result once", c.Title())
		}
		seen[c.Title()] = true
	}
	var ok bool
	if t.rows, ok = p.Points(); !ok {
		return nil, fmt.Errorf("too many points for a table; want 2^52 at most")
	}
	return t, nil
}

// Columns lists the columns of numbers, axes first.
func (t *Table) Columns() []Column {
	return append(append([]Column{}, t.Axes...), t.Results...)
}

// Rows returns the number of rows.
func (t *Table) Rows() int { return t.rows }

// Writer takes the blocks of a sweep in order, as [sweep.Stream] hands them over.
type Writer interface {
	Write(b *sweep.Block) error

	// Close writes what is left. What the writer writes to stays open. The error
	// tells also of rows that did not come.
	Close() error
}

// FromGrid hands over the points of a grid block by block, as [sweep.Stream] does.
func FromGrid(g *sweep.Grid, take func(*sweep.Block) error) error {
	const length = 1024
	b := &sweep.Block{Columns: make([][]float64, len(g.Results))}
	for first := 0; first < g.Len(); first += length {
		end := min(first+length, g.Len())
		b.First, b.Reasons = first, b.Reasons[:0]
		for i := first; i < end; i++ {
			b.Reasons = append(b.Reasons, g.Reason(i))
		}
		for c, r := range g.Results {
			b.Columns[c] = g.Column(r)[first:end]
		}
		if err := take(b); err != nil {
			return err
		}
	}
	return nil
}

// Gaps counts points without an answer.
type Gaps struct {
	Points int    // how many have been seen
	Gaps   int    // how many of them lack a number
	First  string // reason of the first of these
}

// Count looks at the points of a block, whose results are those of the table.
func (g *Gaps) Count(t *Table, b *sweep.Block) {
	g.Points += b.Len()
	for i := range b.Len() {
		if r := t.Reason(b, i); r != "" {
			if g.Gaps++; g.Gaps == 1 {
				g.First = r
			}
		}
	}
}

// Reason says why a point of a block lacks a number, empty if it lacks none: there is no
// answer at all, or some results have no value there.
func (t *Table) Reason(b *sweep.Block, i int) string {
	if r := b.Reason(i); r != "" {
		return r
	}
	return t.without(b, i, math.IsNaN, "no value for ")
}

// without lists the results whose number at a point is odd.
func (t *Table) without(b *sweep.Block, i int, odd func(float64) bool, text string) string {
	var names []string
	for c := range b.Columns {
		if odd(b.Columns[c][i]) {
			names = append(names, t.Results[c].Name)
		}
	}
	if names == nil {
		return ""
	}
	return text + strings.Join(names, ", ")
}

// Expect checks that a block is the one that follows and fits the table.
func (t *Table) Expect(b *sweep.Block, next int) error {
	if b.First != next || next+b.Len() > t.rows || len(b.Columns) != len(t.Results) {
		return fmt.Errorf("a block of %d points of %d results from point %d does not fit a table of %d points of %d results after %d points",
			b.Len(), len(b.Columns), b.First, t.rows, len(t.Results), next)
	}
	return nil
}

// Complete checks that all rows came.
func (t *Table) Complete(next int) error {
	if next != t.rows {
		return fmt.Errorf("the table is incomplete: %d of %d points", next, t.rows)
	}
	return nil
}
