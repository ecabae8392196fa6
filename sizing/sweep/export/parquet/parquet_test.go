package parquet_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	pq "github.com/parquet-go/parquet-go"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/sweep"
	"example.com/railbook/sizing/sweep/export"
	"example.com/railbook/sizing/sweep/export/parquet"
)

func build(t testing.TB) (sizing.Build, sweep.Plan, *export.Table, *sweep.Grid) {
	t.Helper()
	b, err := sizing.Open("../../../../testdata/sheets/turbo.toml")
	if err != nil {
		t.Fatal(err)
	}
	p := sweep.Plan{Results: []sweep.Result{sweep.Duty, sweep.FuelVolume}}
	// Without boost the engine of the sheet makes no sense: gaps.
	for _, text := range []string{"boost = 0..20 psi by 10", "lambda = 0.7..0.9 by 0.0001"} {
		a, err := sweep.ParseAxis(text)
		if err != nil {
			t.Fatal(err)
		}
		p.Axes = append(p.Axes, a)
	}
	table, err := export.TableOf(b, p)
	if err != nil {
		t.Fatal(err)
	}
	g, err := sweep.Keep(context.Background(), b, p)
	if err != nil {
		t.Fatal(err)
	}
	return b, p, table, g
}

// TestRoundTrip reads the file back with the library's reader of rows, which shares little
// with its writer of columns, and wants every number to the last bit.
func TestRoundTrip(t *testing.T) {
	b, p, table, g := build(t)
	var buf bytes.Buffer
	w, err := parquet.New(&buf, table)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(sweep.Stream(context.Background(), b, p, w.Write), w.Close()); err != nil {
		t.Fatal(err)
	}
	f, err := pq.OpenFile(bytes.NewReader(buf.Bytes()), int64(buf.Len()))
	if err != nil {
		t.Fatal(err)
	}
	var columns []string
	for _, field := range f.Schema().Fields() {
		kind := "required "
		if field.Optional() {
			kind = "optional "
		}
		columns = append(columns, kind+field.Type().String()+" "+field.Name())
	}
	const want = "required DOUBLE boost (psi); required DOUBLE lambda; optional DOUBLE injector duty (%); " +
		"optional DOUBLE fuel volume flow (gal/h); optional STRING reason"
	if got := strings.Join(columns, "; "); got != want {
		t.Errorf("columns\n%s\nwant\n%s", got, want)
	}

	rows := pq.NewReader(f)
	defer rows.Close()
	row := make([]pq.Row, 1)
	for i := range g.Len() {
		if n, err := rows.ReadRows(row); n != 1 {
			t.Fatalf("row %d: %v", i, err)
		}
		got := row[0]
		numbers := []float64{p.Axes[0].Values[i/2001], p.Axes[1].Values[i%2001], g.Column(sweep.Duty)[i], g.Column(sweep.FuelVolume)[i]}
		for c, want := range numbers {
			switch v := got[c]; {
			case math.IsNaN(want) != v.IsNull():
				t.Fatalf("row %d, column %d: %v, want %v", i, c, v, want)
			case !v.IsNull() && v.Double() != want:
				t.Fatalf("row %d, column %d: %v, want %v", i, c, v.Double(), want)
			}
		}
		if want := g.Reason(i); got[4].IsNull() != (want == "") || want != "" && got[4].String() != want {
			t.Fatalf("row %d: reason %v, want %q", i, got[4], want)
		}
	}
	if n, err := rows.ReadRows(row); n != 0 || err != io.EOF {
		t.Errorf("%d rows more, %v", n, err)
	}
	if gaps, _ := g.Gaps(); gaps != 2001 {
		t.Errorf("%d gaps, want 2001 for the test to tell", gaps)
	}

	text, _ := f.Lookup(parquet.Key)
	var d parquet.Description
	if err := json.Unmarshal([]byte(text), &d); err != nil {
		t.Fatal(err)
	}
	if d.Build != b.Job.Name || len(d.Columns) != 4 ||
		d.Columns[0] != (parquet.ColumnMeaning{Column: "boost (psi)", Name: "boost", Unit: "psi", Axis: true}) ||
		d.Columns[3] != (parquet.ColumnMeaning{Column: "fuel volume flow (gal/h)", Name: "fuel volume flow", Unit: "gal/h"}) {
		t.Errorf("metadata %s", text)
	}
}

// TestRowGroups wants a long table to come in several groups, which bounds the memory.
func TestRowGroups(t *testing.T) {
	const n = 600_000
	p := sweep.Plan{Axes: []sweep.Axis{{Field: "x", Values: make([]float64, n)}}, Results: []sweep.Result{sweep.Duty}}
	table, err := export.TableOf(sizing.Build{}, p)
	if err != nil {
		t.Fatal(err)
	}
	var buf bytes.Buffer
	w, err := parquet.New(&buf, table)
	if err != nil {
		t.Fatal(err)
	}
	b := &sweep.Block{Columns: [][]float64{make([]float64, 1000)}, Reasons: make([]string, 1000)}
	for ; b.First < n; b.First += 1000 {
		for i := range b.Columns[0] {
			b.Columns[0][i] = float64(b.First + i)
		}
		if err := w.Write(b); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	f, err := pq.OpenFile(bytes.NewReader(buf.Bytes()), int64(buf.Len()))
	if err != nil {
		t.Fatal(err)
	}
	if groups := len(f.RowGroups()); groups != 3 || f.NumRows() != n {
		t.Errorf("%d rows in %d groups, want %d in 3", f.NumRows(), groups, n)
	}
}

func TestErrors(t *testing.T) {
	_, _, table, _ := build(t)
	w, err := parquet.New(io.Discard, table)
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err == nil || !strings.Contains(err.Error(), "incomplete") {
		t.Errorf("without rows: %v", err)
	}
	if err := w.Write(&sweep.Block{First: 5}); err == nil || !strings.Contains(err.Error(), "does not fit") {
		t.Errorf("a block too early: %v", err)
	}
}

func Benchmark(b *testing.B) {
	_, _, table, g := build(b)
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		w, err := parquet.New(io.Discard, table)
		if err := errors.Join(err, export.FromGrid(g, w.Write), w.Close()); err != nil {
			b.Fatal(err)
		}
		n += g.Len()
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "points/s")
}
