// Package parquet writes the points of a sweep as an Apache Parquet file, the columnar
// format that data tools read.
//
// The columns are those of package export, under the same titles. Axes are required
// doubles, results are optional ones, null where there is no number, and the reason is an
// optional string. The file's metadata says under [Key], as JSON, what each column is and
// in which unit it is counted.
package parquet

import (
	"encoding/json"
	"io"
	"math"
	"slices"

	pq "github.com/parquet-go/parquet-go"

	"example.com/railbook/sizing/sweep"
	"example.com/railbook/sizing/sweep/export"
)

// Key is the key of the metadata that describe the columns, see [Description].
const Key = "railbook"

// Description is what the metadata say about the file.
type Description struct {
	Build   string          `json:"build"` // name of the job
	Columns []ColumnMeaning `json:"columns"`
}

// ColumnMeaning says what a column of numbers is.
type ColumnMeaning struct {
	Column string `json:"column"` // its title, "boost (psi)"
	Name   string `json:"name"`   // "boost"
	Unit   string `json:"unit"`   // empty for a number without one
	Axis   bool   `json:"axis"`   // an axis, or else a result
}

// rowsPerGroup is the number of rows in a row group, which is kept in memory until it is
// written: 2 MB a column.
const rowsPerGroup = 1 << 18

// writer writes Parquet.
type writer struct {
	w     *pq.GenericWriter[any]
	t     *export.Table
	next  int
	group int // rows in the group that is not yet written
	axes  *export.Axes
	cells [][]pq.Value // of a block, for each column
}

// New returns a writer of a table as a Parquet file.
func New(out io.Writer, t *export.Table) (export.Writer, error) {
	d := Description{Build: t.Build}
	s := table{Group: pq.Group{}}
	add := func(title string, n pq.Node) {
		s.Group[title], s.order = n, append(s.order, title)
	}
	for k, c := range t.Columns() {
		axis := k < len(t.Axes)
		d.Columns = append(d.Columns, ColumnMeaning{Column: c.Title(), Name: c.Name, Unit: c.Unit, Axis: axis})
		n := pq.Leaf(pq.DoubleType)
		if axis {
			n = pq.Encoded(n, &pq.RLEDictionary)
		} else {
			n = pq.Optional(n)
		}
		add(c.Title(), n)
	}
	add(export.ReasonTitle, pq.Optional(pq.Encoded(pq.String(), &pq.RLEDictionary)))
	meaning, err := json.Marshal(d)
	if err != nil {
		return nil, err
	}
	return &writer{
		w: pq.NewGenericWriter[any](out, pq.NewSchema("sweep", s), pq.Compression(&pq.Snappy),
			pq.KeyValueMetadata(Key, string(meaning))),
		t: t, axes: t.Walk(), cells: make([][]pq.Value, len(s.order)),
	}, nil
}

// table is a schema with its columns in order; the library sorts those of a group by name.
type table struct {
	pq.Group
	order []string
}

func (t table) Fields() []pq.Field {
	fields := t.Group.Fields()
	slices.SortFunc(fields, func(a, b pq.Field) int {
		return slices.Index(t.order, a.Name()) - slices.Index(t.order, b.Name())
	})
	return fields
}

func (w *writer) Write(b *sweep.Block) error {
	if err := w.t.Expect(b, w.next); err != nil {
		return err
	}
	for c := range w.cells {
		w.cells[c] = w.cells[c][:0]
	}
	axes := len(w.t.Axes)
	for i := range b.Len() {
		for k := range axes {
			w.cells[k] = append(w.cells[k], pq.DoubleValue(w.axes.Value(k)).Level(0, 0, k))
		}
		w.axes.Next()
		for c, column := range b.Columns {
			cell := pq.NullValue().Level(0, 0, axes+c)
			if v := column[i]; !math.IsNaN(v) {
				cell = pq.DoubleValue(v).Level(0, 1, axes+c)
			}
			w.cells[axes+c] = append(w.cells[axes+c], cell)
		}
		last := len(w.cells) - 1
		cell := pq.NullValue().Level(0, 0, last)
		if text := w.t.Reason(b, i); text != "" {
			cell = pq.ByteArrayValue([]byte(text)).Level(0, 1, last)
		}
		w.cells[last] = append(w.cells[last], cell)
	}
	for c, column := range w.w.ColumnWriters() {
		if _, err := column.WriteRowValues(w.cells[c]); err != nil {
			return err
		}
	}
	w.next += b.Len()
	if w.group += b.Len(); w.group >= rowsPerGroup {
		w.group = 0
		return w.w.Flush()
	}
	return nil
}

func (w *writer) Close() error {
	if err := w.t.Complete(w.next); err != nil {
		return err
	}
	return w.w.Close()
}
