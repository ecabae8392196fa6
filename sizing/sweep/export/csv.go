package export

import (
	"io"
	"math"
	"strconv"
	"strings"

	"example.com/railbook/sizing/sweep"
)

// csvWriter writes CSV.
type csvWriter struct {
	w      io.Writer
	t      *Table
	next   int
	axes   *Axes
	fronts []int  // where the text of each axis starts in front
	front  []byte // the axes of the row
	buf    []byte
}

// NewCSV returns a writer of a table as CSV after RFC 4180: the titles of the columns in
// the first line, a comma between cells, lines that end in CR LF, text in UTF-8. A cell
// is empty where there is no number. Infinity is "inf".
func NewCSV(w io.Writer, t *Table) Writer {
	c := &csvWriter{w: w, t: t, axes: t.Walk(), fronts: make([]int, len(t.Axes))}
	for _, col := range t.Columns() {
		c.buf = append(appendCell(c.buf, col.Title()), ',')
	}
	c.buf = append(c.buf, ReasonTitle+"\r\n"...)
	c.axesFrom(0)
	return c
}

// axesFrom writes the values of the axes from the given one on into front.
func (c *csvWriter) axesFrom(from int) {
	if len(c.fronts) == 0 {
		return
	}
	c.front = c.front[:c.fronts[from]]
	for k := from; k < len(c.fronts); k++ {
		c.fronts[k] = len(c.front)
		c.front = append(appendNumber(c.front, c.axes.Value(k)), ',')
	}
}

func (c *csvWriter) Write(b *sweep.Block) error {
	if err := c.t.Expect(b, c.next); err != nil {
		return err
	}
	for i := range b.Len() {
		c.buf = append(c.buf, c.front...)
		for _, column := range b.Columns {
			if v := column[i]; !math.IsNaN(v) {
				c.buf = appendNumber(c.buf, v)
			}
			c.buf = append(c.buf, ',')
		}
		c.buf = append(appendCell(c.buf, c.t.Reason(b, i)), "\r\n"...)
		c.axesFrom(c.axes.Next())
	}
	c.next += b.Len()
	return c.flush()
}

func (c *csvWriter) flush() error {
	_, err := c.w.Write(c.buf)
	c.buf = c.buf[:0]
	return err
}

func (c *csvWriter) Close() error {
	if err := c.t.Complete(c.next); err != nil {
		return err
	}
	return c.flush()
}

// appendNumber writes a number that is one with as many digits as it needs.
func appendNumber(b []byte, v float64) []byte {
	switch {
	case math.IsInf(v, 1):
		return append(b, "inf"...)
	case math.IsInf(v, -1):
		return append(b, "-inf"...)
	}
	return strconv.AppendFloat(b, v, 'g', -1, 64)
}

// appendCell writes text as a cell, in quotes where it has to be (RFC 4180, section 2,
// rules 6 and 7).
func appendCell(b []byte, text string) []byte {
	if !strings.ContainsAny(text, "\",\r\n") {
		return append(b, text...)
	}
	b = append(b, '"')
	b = append(b, strings.ReplaceAll(text, `"`, `""`)...)
	return append(b, '"')
}
