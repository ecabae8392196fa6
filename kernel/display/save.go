package display

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/kernel/display/markup"
	"example.com/railbook/sizing/sweep"
	"example.com/railbook/sizing/sweep/export"
)

// Save writes every point of a sweep to a file for other programs, as CSV or JSON by the
// ending of its name, in the folder meant for what cells write (see [Out]). It holds the
// results given, or the usual ones.
//
//	Save(grid, "duty.csv", sweep.Duty, sweep.PumpMargin)
func Save(g *Grid, name string, results ...sweep.Result) {
	b, err := save(g, name, results)
	if err == nil {
		err = cell.Send(b)
	}
	if err != nil {
		cell.Fail(err)
	}
}

func save(g *Grid, name string, results []sweep.Result) (cell.Bundle, error) {
	path, err := cell.OutPath(name)
	if err != nil {
		return nil, err
	}
	if len(g.axes) == 0 {
		return nil, errors.New("a sweep without axes has no points to write")
	}
	plan := sweep.Plan{Axes: g.axes, Results: results}
	table, err := export.TableOf(g.build, plan)
	if err != nil {
		return nil, err
	}
	var writer func(io.Writer) (export.Writer, error)
	switch ending := strings.ToLower(filepath.Ext(name)); ending {
	case ".csv":
		writer = func(w io.Writer) (export.Writer, error) { return export.NewCSV(w, table), nil }
	case ".json":
		writer = func(w io.Writer) (export.Writer, error) { return export.NewJSON(w, table, nil) }
	default:
		return nil, fmt.Errorf("cannot write %q: the ending %q tells no format; want .csv or .json", name, ending)
	}
	size, err := cell.WriteFile(path, func(w io.Writer) error {
		to, err := writer(w)
		if err != nil {
			return err
		}
		if err := sweep.Stream(context.Background(), g.build, plan, to.Write); err != nil {
			return err
		}
		return to.Close()
	})
	if err != nil {
		return nil, fmt.Errorf("cannot write %q: %w", name, err)
	}
	rows := fmt.Sprintf("It has %d rows, one for each point of the sweep.", table.Rows())
	return cell.Bundle{
		cell.HTML: markup.Wrote(name, size) + "\n<p>" + rows + "</p>",
		cell.Text: fmt.Sprintf("Wrote %s, %s. %s", name, markup.Size(size), rows),
	}, nil
}
