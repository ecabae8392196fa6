package display

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
)

// Ceiling is the largest value of a field that all parts carry, over two others. It is
// computed when something is read off it, and once.
type Ceiling struct {
	build    sizing.Build
	of, x, y string
	made     *sweep.Ceiling
}

// Most looks for the largest value of a field at which every part keeps the margin asked for,
// over two other fields, all three given as for [Sweep]. [Show] shows it as a table.
//
//	Most(build, "boost = 5..40 psi in 15", "ethanol = 0..85 % by 17", "base pressure = 43.5, 50, 58 psi")
func Most(b sizing.Build, of, x, y string) *Ceiling {
	return &Ceiling{build: b, of: of, x: x, y: y}
}

func (c *Ceiling) surface() (*sweep.Ceiling, error) {
	if c.made != nil {
		return c.made, nil
	}
	made, err := sweep.MostOver(context.Background(), c.build, c.of, c.x, c.y)
	if err != nil {
		return nil, err
	}
	if low, high := made.Range(); low > high {
		return nil, fmt.Errorf("all parts carry no value of %q anywhere here: %s", c.of, made.StopAt(0, 0))
	}
	c.made = made
	return made, nil
}

// At is the largest value at the i-th value along x and the j-th along y, counted from
// nought, in the unit in which it was asked for; NaN where there is none.
func (c *Ceiling) At(i, j int) float64 {
	made := cell.Must(c.surface())
	if i < 0 || j < 0 || i >= len(made.X.Values) || j >= len(made.Y.Values) {
		cell.Fail(fmt.Errorf("there is no value %d, %d; there are %d along %s and %d along %s, counted from 0", i, j,
			len(made.X.Values), made.X.Name, len(made.Y.Values), made.Y.Name))
	}
	return made.Surface.At(i, j)
}

// CeilingSurface shows a ceiling as a solid shape to be turned.
func CeilingSurface(c *Ceiling) figure.Figure { return cell.Must(c.figure(figure.Relief)) }

// CeilingMap shows it from above, with contour lines.
func CeilingMap(c *Ceiling) figure.Figure { return cell.Must(c.figure(figure.Map)) }

func (c *Ceiling) figure(view figure.View) (figure.Figure, error) {
	made, err := c.surface()
	if err != nil {
		return figure.Figure{}, err
	}
	if len(made.X.Values) < 2 || len(made.Y.Values) < 2 {
		return figure.Figure{}, errors.New("a figure needs two values or more along both axes; the table does with one")
	}
	shape := made.Surface
	shape.Title = fmt.Sprintf("%s that all parts carry, over %s and %s", shape.Z.Name, shape.X.Name, shape.Y.Name)
	return figure.OfSurface(slug(string(view), shape.Z.Name), shape, view), nil
}

// CeilingTable shows a ceiling with, at each point, the part that stops it: a row for each
// value along x, a column for each along y.
func CeilingTable(c *Ceiling) sizing.Table { return cell.Must(c.table()) }

func (c *Ceiling) table() (sizing.Table, error) {
	made, err := c.surface()
	if err != nil {
		return sizing.Table{}, err
	}
	x, y, z := made.X, made.Y, made.Z
	t := sizing.Table{
		Caption: fmt.Sprintf("The %s that all parts carry, and what stops it there, by %s across", z.Title(), y.Title()),
		Columns: []sizing.Column{{Name: x.Title()}},
	}
	for _, v := range y.Values {
		t.Columns = append(t.Columns, sizing.Column{Name: quantity.Digits(v, 4)})
	}
	for i, v := range x.Values {
		row := []string{quantity.Digits(v, 4)}
		for j := range y.Values {
			text := strings.TrimPrefix(made.StopAt(i, j).String(), "limit: ") // the caption says so
			if height := made.Surface.At(i, j); !math.IsNaN(height) {
				text = quantity.Digits(height, 3) + ", " + text
			}
			row = append(row, text)
		}
		t.Rows = append(t.Rows, row)
	}
	return t, nil
}
