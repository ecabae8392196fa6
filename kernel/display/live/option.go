package live

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"strconv"
	"unicode"
	"unicode/utf8"

	"github.com/go-echarts/go-echarts/v2/opts"

	"example.com/railbook/sizing/quantity"
)

// object is a JSON object of an option.
type object = map[string]any

// builder is a chart of go-echarts.
type builder interface {
	Validate()
	JSON() map[string]any
}

// plainOption returns the option of a chart as plain JSON values, without the
// components that go-echarts adds empty.
func plainOption(c builder) (object, error) {
	c.Validate()
	raw, err := json.Marshal(c.JSON())
	if err != nil {
		return nil, fmt.Errorf("its option: %w", err)
	}
	var o object
	if err := json.Unmarshal(raw, &o); err != nil {
		return nil, fmt.Errorf("its option: %w", err)
	}
	for key, v := range o {
		if empty, ok := v.(object); ok && len(empty) == 0 {
			delete(o, key)
		}
	}
	delete(o, "color")
	return o, nil
}

// encode returns the option as JSON, its keys sorted.
func encode(o object) (json.RawMessage, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(o); err != nil {
		return nil, fmt.Errorf("its option: %w", err)
	}
	return bytes.TrimSpace(b.Bytes()), nil
}

// set puts the fields into the object at the path, which is made where there is
// none.
func set(o object, path string, fields object) {
	inner, ok := o[path].(object)
	if !ok {
		inner = object{}
		o[path] = inner
	}
	for k, v := range fields {
		inner[k] = v
	}
}

// setAt puts the fields into the i-th of a list of objects, such as series.
func setAt(o object, list string, i int, fields object) {
	all, ok := o[list].([]any)
	if !ok || i >= len(all) {
		return
	}
	one, ok := all[i].(object)
	if !ok {
		return
	}
	for k, v := range fields {
		one[k] = v
	}
}

// merged returns the fields of both objects, those of the second winning.
func merged(a, b object) object {
	out := maps.Clone(a)
	maps.Copy(out, b)
	return out
}

// number is a value of a data point: six figures are more than any chart shows.
// A gap is nil, which ECharts leaves out.
func number(v float64) any {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return rounded(v)
}

// rounded keeps six significant figures.
func rounded(v float64) float64 { return significant(v, 6) }

// significant rounds v to a number of significant figures.
func significant(v float64, figures int) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', figures, 64), 64)
	if err != nil {
		return v
	}
	return r
}

// label prints a number for an axis.
func label(v float64) string { return quantity.Digits(v, 4) }

// readable prints a number with its unit, as precise as it can be read off a
// chart.
func readable(v float64, unit string) string {
	text := quantity.Digits(v, 3)
	if unit == "" {
		return text
	}
	return text + " " + unit
}

// short is readable for texts in tight places: of the units only the percent
// sign stays.
func short(v float64, unit string) string {
	if unit != "%" {
		unit = ""
	}
	return readable(v, unit)
}

// capital returns text with its first letter as a capital.
func capital(text string) string {
	r, n := utf8.DecodeRuneInString(text)
	if n == 0 {
		return text
	}
	return string(unicode.ToUpper(r)) + text[n:]
}

func yes() *bool { return opts.Bool(true) }
func no() *bool  { return opts.Bool(false) }
