package export

import (
	"bytes"
	"encoding/json"
	"io"
	"math"
	"strconv"

	"example.com/railbook/sizing/sweep"
)

// jsonWriter writes JSON.
type jsonWriter struct {
	w       io.Writer
	t       *Table
	next    int
	gaps    int
	columns []*waiting // of each result, then of the reasons

	reason, quoted string // one that has been encoded; many points share it
}

// NewJSON returns a writer of a table as one JSON object:
//
//	{
//	"build": "name of the job",
//	"points": 6,
//	"gaps": 2,
//	"axes": [{"name": "boost", "unit": "psi", "values": [0, 10, 20]}, …],
//	"results": [{"name": "injector duty", "unit": "%"}, …],
//	"columns": {
//	"boost (psi)": [0, 0, 10, 10, 20, 20],
//	"ethanol (%)": [0, 50, 0, 50, 0, 50],
//	"injector duty (%)": [null, null, 48.2, …],
//	"reason": ["induction.boost is …", "…", null, …]
//	}
//	}
//
// Each of the columns has a value for every point; null stands for no number. JSON has no
// infinity, so that an infinite number is null, too, and the reason says so.
//
// The columns of the results wait in scratch until all points have come; where that is
// nil they wait in memory.
func NewJSON(w io.Writer, t *Table, scratch Scratch) (Writer, error) {
	if scratch == nil {
		scratch = func() (io.ReadWriteSeeker, error) { return &memory{}, nil }
	}
	j := &jsonWriter{w: w, t: t}
	for range len(t.Results) + 1 {
		room, err := scratch()
		if err != nil {
			return nil, err
		}
		j.columns = append(j.columns, &waiting{room: room})
	}
	return j, nil
}

func (j *jsonWriter) Write(b *sweep.Block) error {
	if err := j.t.Expect(b, j.next); err != nil {
		return err
	}
	reasons := j.columns[len(b.Columns)]
	for c, column := range b.Columns {
		buf := j.columns[c].buf
		for _, v := range column {
			buf = append(appendJSON(buf, v), ',')
		}
		j.columns[c].buf = buf
	}
	for i := range b.Len() {
		text, err := j.why(b, i)
		if err != nil {
			return err
		}
		reasons.buf = append(append(reasons.buf, text...), ',')
	}
	j.next += b.Len()
	for _, column := range j.columns {
		if err := column.flush(); err != nil {
			return err
		}
	}
	return nil
}

// why says, as JSON, why a point has a null.
func (j *jsonWriter) why(b *sweep.Block, i int) (string, error) {
	text := j.t.Reason(b, i)
	if text == "" {
		text = j.t.without(b, i, func(v float64) bool { return math.IsInf(v, 0) }, "infinite: ")
	}
	if text == "" {
		return "null", nil
	}
	j.gaps++
	if text != j.reason {
		quoted, err := encode(text)
		if err != nil {
			return "", err
		}
		j.reason, j.quoted = text, string(quoted)
	}
	return j.quoted, nil
}

// jsonAxis describes an axis.
type jsonAxis struct {
	Name   string    `json:"name"`
	Unit   string    `json:"unit"`
	Values []float64 `json:"values"`
}

// jsonResult describes a result.
type jsonResult struct {
	Name string `json:"name"`
	Unit string `json:"unit"`
}

func (j *jsonWriter) Close() error {
	if err := j.t.Complete(j.next); err != nil {
		return err
	}
	out := &printer{w: j.w}
	var axes []jsonAxis
	for k, a := range j.t.Axes {
		axes = append(axes, jsonAxis{a.Name, a.Unit, j.t.values[k]})
	}
	var results []jsonResult
	for _, r := range j.t.Results {
		results = append(results, jsonResult(r))
	}
	out.text("{\n")
	for _, e := range []struct {
		key   string
		value any
	}{{"build", j.t.Build}, {"points", j.t.rows}, {"gaps", j.gaps}, {"axes", axes}, {"results", results}} {
		out.json(e.key)
		out.text(": ")
		out.json(e.value)
		out.text(",\n")
	}
	out.text("\"columns\": {\n")
	for k, a := range j.t.Axes {
		out.json(a.Title())
		out.text(": [")
		j.axis(out, k)
		out.text("],\n")
	}
	for c, column := range j.columns {
		title := ReasonTitle
		if c < len(j.t.Results) {
			title = j.t.Results[c].Title()
		}
		out.json(title)
		out.text(": [")
		out.column(column)
		out.text("]")
		if c < len(j.columns)-1 {
			out.text(",")
		}
		out.text("\n")
	}
	out.text("}\n}\n")
	out.flush()
	return out.err
}

// axis writes the column of an axis: each value over all points of the axes behind it, all
// this again for every point of the axes before it.
func (j *jsonWriter) axis(out *printer, k int) {
	before, behind := 1, 1
	for i, v := range j.t.values {
		switch {
		case i < k:
			before *= len(v)
		case i > k:
			behind *= len(v)
		}
	}
	separator := ""
	for range before {
		for _, v := range j.t.values[k] {
			number := string(appendJSON(nil, v))
			for range behind {
				out.text(separator)
				out.text(number)
				separator = ","
			}
		}
	}
	out.flush()
}

// appendJSON writes a number, or null.
func appendJSON(b []byte, v float64) []byte {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return append(b, "null"...)
	}
	return strconv.AppendFloat(b, v, 'g', -1, 64)
}

// encode writes a value as JSON on one line, as it is.
func encode(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	err := e.Encode(v)
	return bytes.TrimSpace(b.Bytes()), err
}
