package report

import (
	"sync"

	"gonum.org/v1/plot/vg"

	"example.com/railbook/report/figure"
	"example.com/railbook/report/figure/draw"
)

// plate is a figure with its picture and the number it has in the report.
type plate struct {
	figure.Figure
	png    []byte
	number int
}

// plates are the figures by where they go.
type plates struct {
	headroom, delivery, rest []plate
}

// Size of the pictures. Two maps with their captions fill a page of either paper.
const (
	plateDPI    = 165
	plateWidth  = 170 * vg.Millimeter
	plateHeight = 77 * vg.Millimeter // of maps and charts
)

// draw makes the pictures, all at the same time, and numbers them in the order
// they appear in.
func (w *writer) draw(list []figure.Figure) error {
	pictures, errs := make([][]byte, len(list)), make([]error, len(list))
	var wg sync.WaitGroup
	for i, f := range list {
		wg.Go(func() {
			o := draw.Options{DPI: plateDPI, Bare: true, Width: plateWidth}
			if f.Headroom == nil {
				o.Height = plateHeight
			}
			// Each picture is one dot wider than the one before. A PDF file lists
			// pictures by their width, and those of one width in any order.
			o.Width += vg.Length(i) * vg.Inch / plateDPI
			pictures[i], errs[i] = draw.PNG(f, o)
		})
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	for i, f := range list {
		to := &w.plates.rest
		switch {
		case f.Headroom != nil:
			to = &w.plates.headroom
		case f.ID == deliveryID:
			to = &w.plates.delivery
		}
		*to = append(*to, plate{Figure: f, png: pictures[i]})
	}
	n := 0
	for _, group := range [][]plate{w.plates.delivery, w.plates.headroom, w.plates.rest} {
		for i := range group {
			n++
			group[i].number = n
		}
	}
	return nil
}

// show puts pictures on the page.
func (w *writer) show(list []plate) {
	for _, p := range list {
		if _, err := w.doc.Picture(p.png, tie(sentence(p.Title)), tie(sentence(p.Alt))); err != nil && w.err == nil {
			w.err = err
		}
	}
}
