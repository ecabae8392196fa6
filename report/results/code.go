package results

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// ErrSchema marks results of a form that this package does not know.
var ErrSchema = errors.New("results of an unknown form")

// MakeCell makes a cell of its text, with the numbers in it.
func MakeCell(text string) Cell { return Cell{Text: text, Numbers: Numbers(text)} }

// Encode writes the results as JSON. The same results give the same bytes.
func (r Results) Encode() ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	err := e.Encode(r)
	return b.Bytes(), err
}

// Decode reads what Encode writes. The error wraps [ErrSchema] where the results are of
// another form, and else says what is wrong with the JSON.
func Decode(data []byte) (Results, error) {
	var form struct {
		Schema string `json:"schema"`
	}
	if err := json.Unmarshal(data, &form); err != nil {
		return Results{}, fmt.Errorf("not JSON: %w", err)
	}
	if form.Schema != SchemaID {
		return Results{}, fmt.Errorf("%w: %.60q; want %q", ErrSchema, form.Schema, SchemaID)
	}
	var r Results
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&r); err != nil {
		return Results{}, fmt.Errorf("results that do not fit their schema: %w", err)
	}
	if _, err := d.Token(); err != io.EOF {
		return Results{}, errors.New("results with something behind them")
	}
	return r, nil
}
