package report

import (
	"fmt"

	"example.com/railbook/report/internal/layout"
)

// maps writes the figures that show what lies around the build.
func (w *writer) maps() {
	list := w.plates.rest
	first, last := list[0].number, list[len(list)-1].number
	which := capital(figureRef(first)) + " shows"
	if len(list) > 1 {
		which = fmt.Sprintf("Figures %s to %s show", layout.Link(fmt.Sprintf("figure-%d", first), fmt.Sprint(first)), layout.Link(fmt.Sprintf("figure-%d", last), fmt.Sprint(last)))
	}
	w.doc.Lead(tie(which+" how the results move when the combination does. A diamond marks this build where it lies on a map; everything that is not an axis is as in "+w.section(inputsTitle)+
		". Shades run from light for low to dark for high values, contour lines carry theirs, and a bold line marks a limit."), layout.Body)
	w.show(list)
}
