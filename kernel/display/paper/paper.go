// Package paper writes reports from the cells of a notebook. It is apart from
// package display because whatever a cell links costs time in that cell: a PDF
// writer belongs into the cell that writes the PDF, and into no other.
package paper

import (
	"fmt"
	"os"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/kernel/display/markup"
	"example.com/railbook/report"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
)

// Report writes the PDF report of an assessment to a file in the folder meant
// for what cells write (see display.Out), and shows its name and size. Figures
// take the place of those that a report has by itself; a logo that the build sheet
// names is looked for in the notebook's folder. A mistake ends the cell with its
// reason, as everything in package display does.
func Report(a *sizing.Assessment, name string, figures ...figure.Figure) {
	path := cell.Must(cell.OutPath(name))
	o := report.Options{Figures: figures, Logo: cell.Must(report.LogoOf(a.Build, "."))}
	if err := report.Write(path, a, o); err != nil {
		cell.Fail(err)
	}
	info := cell.Must(os.Stat(path))
	shown := cell.Bundle{
		cell.HTML: markup.Wrote(name, info.Size()),
		cell.Text: fmt.Sprintf("Wrote %s, %s.", name, markup.Size(info.Size())),
	}
	if err := cell.Send(shown); err != nil {
		cell.Fail(err)
	}
}
