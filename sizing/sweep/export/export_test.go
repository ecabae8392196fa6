package export_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/sweep"
	"example.com/railbook/sizing/sweep/export"
)

func open(t testing.TB) sizing.Build {
	t.Helper()
	b, err := sizing.Open("../../../testdata/sheets/turbo.toml")
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// plan has gaps: the engine of the sheet makes no sense without boost.
func plan(t testing.TB, axes ...string) sweep.Plan {
	t.Helper()
	if axes == nil {
		axes = []string{"boost = 0..20 psi by 10", "lambda = 0.78..0.82 by 0.02", "charge temperature = 20, 40.5 degC"}
	}
	p := sweep.Plan{Results: []sweep.Result{sweep.Duty, sweep.FuelVolume}}
	for _, text := range axes {
		a, err := sweep.ParseAxis(text)
		if err != nil {
			t.Fatal(err)
		}
		p.Axes = append(p.Axes, a)
	}
	return p
}

func tableOf(t testing.TB, b sizing.Build, p sweep.Plan) *export.Table {
	t.Helper()
	table, err := export.TableOf(b, p)
	if err != nil {
		t.Fatal(err)
	}
	return table
}

// write streams a plan into a writer.
func write(t testing.TB, b sizing.Build, p sweep.Plan, w export.Writer) {
	t.Helper()
	if err := sweep.Stream(context.Background(), b, p, w.Write); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
}

// want is the table as plain values: what every format has to give back.
type want struct {
	titles  []string
	numbers [][]float64
	reasons []string
}

// wanted finds the table another way, point by point from a grid in memory.
func wanted(t testing.TB, b sizing.Build, p sweep.Plan) want {
	t.Helper()
	g, err := sweep.Keep(context.Background(), b, p)
	if err != nil {
		t.Fatal(err)
	}
	var w want
	for _, a := range p.Axes {
		title := a.Field
		if a.Unit != "" {
			title += " (" + a.Unit + ")"
		}
		w.titles = append(w.titles, title)
	}
	for _, r := range p.Results {
		w.titles = append(w.titles, r.Name+" ("+r.Unit(b.Job.Units)+")")
	}
	for i := range g.Len() {
		var row []float64
		rest := g.Len()
		at := i
		for _, a := range p.Axes {
			rest /= len(a.Values)
			row = append(row, a.Values[at/rest])
			at %= rest
		}
		for _, r := range p.Results {
			row = append(row, g.Column(r)[i])
		}
		w.numbers, w.reasons = append(w.numbers, row), append(w.reasons, g.Reason(i))
	}
	return w
}

// compare compares to the last bit.
func (w want) compare(t *testing.T, titles []string, numbers [][]float64, reasons []string) {
	t.Helper()
	if got, want := strings.Join(titles, "|"), strings.Join(w.titles, "|")+"|reason"; got != want {
		t.Errorf("titles %s, want %s", got, want)
	}
	if len(numbers) != len(w.numbers) {
		t.Fatalf("%d rows, want %d", len(numbers), len(w.numbers))
	}
	gaps := 0
	for i := range numbers {
		if reasons[i] != w.reasons[i] {
			t.Errorf("row %d: reason %q, want %q", i, reasons[i], w.reasons[i])
		}
		if reasons[i] != "" {
			gaps++
		}
		for c := range w.numbers[i] {
			got, want := numbers[i][c], w.numbers[i][c]
			if math.Float64bits(got) != math.Float64bits(want) && !(math.IsNaN(got) && math.IsNaN(want)) {
				t.Errorf("row %d, %s: %v, want %v", i, titles[c], got, want)
			}
		}
	}
	if gaps == 0 || gaps == len(numbers) {
		t.Errorf("%d of %d rows are gaps; the test wants some of each", gaps, len(numbers))
	}
}

func TestCSVRoundTrip(t *testing.T) {
	b, p := open(t), plan(t)
	var buf bytes.Buffer
	write(t, b, p, export.NewCSV(&buf, tableOf(t, b, p)))
	if n := strings.Count(buf.String(), "\r\n"); n != 19 || strings.Count(buf.String(), "\n") != n {
		t.Errorf("%d lines end in CR LF, want all 19", n)
	}
	rows, err := csv.NewReader(&buf).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var numbers [][]float64
	var reasons []string
	for _, row := range rows[1:] {
		last := len(row) - 1
		var list []float64
		for _, cell := range row[:last] {
			v := math.NaN()
			if cell != "" {
				if v, err = strconv.ParseFloat(cell, 64); err != nil {
					t.Fatal(err)
				}
			}
			list = append(list, v)
		}
		numbers, reasons = append(numbers, list), append(reasons, row[last])
	}
	wanted(t, b, p).compare(t, rows[0], numbers, reasons)
}

// sheet is the JSON form as another program would read it.
type sheet struct {
	Build  string
	Points int
	Gaps   int
	Axes   []struct {
		Name, Unit string
		Values     []float64
	}
	Results []struct{ Name, Unit string }
	Columns map[string][]any
}

func TestJSONRoundTrip(t *testing.T) {
	b, p := open(t), plan(t)
	var buf bytes.Buffer
	w, err := export.NewJSON(&buf, tableOf(t, b, p), nil)
	if err != nil {
		t.Fatal(err)
	}
	write(t, b, p, w)
	var s sheet
	d := json.NewDecoder(&buf)
	d.DisallowUnknownFields()
	if err := d.Decode(&s); err != nil {
		t.Fatal(err)
	}
	if _, err := d.Token(); err != io.EOF {
		t.Errorf("something follows the object: %v", err)
	}
	expected := wanted(t, b, p)
	titles := append([]string{}, expected.titles...)
	numbers := make([][]float64, s.Points)
	reasons := make([]string, s.Points)
	for i := range s.Points {
		for _, title := range titles {
			v := math.NaN()
			if n := s.Columns[title][i]; n != nil {
				v = n.(float64)
			}
			numbers[i] = append(numbers[i], v)
		}
		if r := s.Columns["reason"][i]; r != nil {
			reasons[i] = r.(string)
		}
	}
	expected.compare(t, append(titles, "reason"), numbers, reasons)
	for title, column := range s.Columns {
		if len(column) != 18 {
			t.Errorf("%s has %d values, want 18", title, len(column))
		}
	}
	if len(s.Columns) != 6 || s.Build != b.Job.Name || s.Points != 18 || s.Gaps != 6 {
		t.Errorf("%d columns of %q, %d points, %d gaps; want 6 of %q, 18, 6", len(s.Columns), s.Build, s.Points, s.Gaps, b.Job.Name)
	}
	if len(s.Axes) != 3 || s.Axes[1].Name != "lambda" || s.Axes[1].Unit != "" || s.Axes[2].Unit != "°C" || len(s.Axes[2].Values) != 2 {
		t.Errorf("axes %+v", s.Axes)
	}
	if len(s.Results) != 2 || s.Results[0].Name != "injector duty" || s.Results[0].Unit != "%" {
		t.Errorf("results %+v", s.Results)
	}
}

// made is a table of one axis with one result whose numbers are given.
func made(t *testing.T, numbers ...float64) (*export.Table, *sweep.Block) {
	t.Helper()
	p := sweep.Plan{Axes: []sweep.Axis{{Field: "x", Values: make([]float64, len(numbers))}}, Results: []sweep.Result{sweep.Duty}}
	for i := range numbers {
		p.Axes[0].Values[i] = float64(i)
	}
	table, err := export.TableOf(sizing.Build{}, p)
	if err != nil {
		t.Fatal(err)
	}
	return table, &sweep.Block{Columns: [][]float64{numbers}, Reasons: make([]string, len(numbers))}
}

// A result without a number is told of even where the point has an answer, and a reason
// that needs quotes gets them.
func TestOddNumbers(t *testing.T) {
	table, block := made(t, math.NaN(), 0, math.Copysign(0, -1), math.Inf(1), math.Inf(-1), 1e-300, 0.1, math.NaN())
	block.Reasons[7] = "a \"reason\",\nin two lines"
	var buf bytes.Buffer
	w := export.NewCSV(&buf, table)
	if err := errors.Join(w.Write(block), w.Close()); err != nil {
		t.Fatal(err)
	}
	const wantCSV = "x,injector duty (%),reason\r\n" +
		"0,,no value for injector duty\r\n1,0,\r\n2,-0,\r\n3,inf,\r\n4,-inf,\r\n5,1e-300,\r\n6,0.1,\r\n" +
		"7,,\"a \"\"reason\"\",\nin two lines\"\r\n"
	if got := buf.String(); got != wantCSV {
		t.Errorf("CSV\n%q\nwant\n%q", got, wantCSV)
	}
	buf.Reset()
	w, err := export.NewJSON(&buf, table, nil)
	if err := errors.Join(err, w.Write(block), w.Close()); err != nil {
		t.Fatal(err)
	}
	const wantJSON = `{
"build": "",
"points": 8,
"gaps": 4,
"axes": [{"name":"x","unit":"","values":[0,1,2,3,4,5,6,7]}],
"results": [{"name":"injector duty","unit":"%"}],
"columns": {
"x": [0,1,2,3,4,5,6,7],
"injector duty (%)": [null,0,-0,null,null,1e-300,0.1,null],
"reason": ["no value for injector duty",null,null,"infinite: injector duty","infinite: injector duty",null,null,"a \"reason\",\nin two lines"]
}
}
`
	if got := buf.String(); got != wantJSON {
		t.Errorf("JSON\n%s\nwant\n%s", got, wantJSON)
	}
}

func TestGaps(t *testing.T) {
	table, block := made(t, 1, math.NaN(), math.NaN())
	block.Reasons[2] = "why"
	var g export.Gaps
	g.Count(table, block)
	if want := (export.Gaps{Points: 3, Gaps: 2, First: "no value for injector duty"}); g != want {
		t.Errorf("gaps %+v, want %+v", g, want)
	}
}

// A grid in memory is written as a stream is.
func TestFromGrid(t *testing.T) {
	b, p := open(t), plan(t, "boost = 0..24 psi by 0.01")
	g, err := sweep.Keep(context.Background(), b, p)
	if err != nil {
		t.Fatal(err)
	}
	var streamed, kept bytes.Buffer
	table := tableOf(t, b, p)
	write(t, b, p, export.NewCSV(&streamed, table))
	w := export.NewCSV(&kept, table)
	if err := errors.Join(export.FromGrid(g, w.Write), w.Close()); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(streamed.Bytes(), kept.Bytes()) || strings.Count(kept.String(), "\n") != 2402 {
		t.Errorf("%d bytes from the stream, %d from the grid; want the same 2402 lines", streamed.Len(), kept.Len())
	}
}

func TestErrors(t *testing.T) {
	b := open(t)
	p := plan(t)
	p.Results = append(p.Results, sweep.Duty)
	if _, err := export.TableOf(b, p); err == nil || !strings.Contains(err.Error(), "injector duty (%) is given twice") {
		t.Errorf("one result twice: %v", err)
	}
	table, block := made(t, 1, 2, 3)
	newJSON := func(w io.Writer) export.Writer {
		j, err := export.NewJSON(w, table, nil)
		if err != nil {
			t.Fatal(err)
		}
		return j
	}
	for name, make := range map[string]func(io.Writer) export.Writer{
		"CSV":  func(w io.Writer) export.Writer { return export.NewCSV(w, table) },
		"JSON": newJSON,
	} {
		w := make(io.Discard)
		if err := w.Close(); err == nil || !strings.Contains(err.Error(), "incomplete: 0 of 3 points") {
			t.Errorf("%s without rows: %v", name, err)
		}
		if err := errors.Join(w.Write(block), w.Write(block)); err == nil || !strings.Contains(err.Error(), "does not fit") {
			t.Errorf("%s with the same block twice: %v", name, err)
		}
		w = make(broken{})
		if err := errors.Join(w.Write(block), w.Close()); !errors.Is(err, errBroken) {
			t.Errorf("%s into a broken pipe: %v", name, err)
		}
	}
	if _, err := export.NewJSON(io.Discard, table, func() (io.ReadWriteSeeker, error) { return nil, errBroken }); !errors.Is(err, errBroken) {
		t.Errorf("no scratch: %v", err)
	}
}

var errBroken = errors.New("broken")

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, errBroken }

// FuzzCell wants any text to come back out of a cell as a reader of CSV sees it.
func FuzzCell(f *testing.F) {
	for _, seed := range []string{"plain", `a "quote"`, "a, comma", "two\nlines", "two\r\nlines", "", " blank ", "\"", "="} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		table, block := made(t, math.NaN())
		block.Reasons[0] = text
		var buf bytes.Buffer
		w := export.NewCSV(&buf, table)
		if err := errors.Join(w.Write(block), w.Close()); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(&buf).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		if text == "" {
			text = "no value for injector duty"
		}
		// A reader of Go's package takes CR LF in a cell for LF.
		if got, want := rows[1][2], strings.ReplaceAll(text, "\r\n", "\n"); got != want {
			t.Errorf("%q came back as %q", text, got)
		}
	})
}

func BenchmarkCSV(b *testing.B) {
	benchmark(b, func(t *export.Table) export.Writer { return export.NewCSV(io.Discard, t) })
}
func BenchmarkJSON(b *testing.B) { benchmark(b, newJSON) }

func newJSON(t *export.Table) export.Writer {
	w, err := export.NewJSON(io.Discard, t, nil)
	if err != nil {
		panic(err) // memory is always to be had
	}
	return w
}

// benchmark measures writing alone.
func benchmark(b *testing.B, make func(*export.Table) export.Writer) {
	p := plan(b, "boost = 10..29.99 psi by 0.01", "ethanol = 0..85 % in 5")
	build := open(b)
	g, err := sweep.Keep(context.Background(), build, p)
	if err != nil {
		b.Fatal(err)
	}
	table := tableOf(b, build, p)
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		w := make(table)
		if err := errors.Join(export.FromGrid(g, w.Write), w.Close()); err != nil {
			b.Fatal(err)
		}
		n += g.Len()
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "points/s")
}
