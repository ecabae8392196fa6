package nbformat

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
)

// Encode returns the notebook as the bytes of an .ipynb file. It gives an ID
// to cells that have none. The error names the cell with a raw JSON value that
// is not JSON.
func (nb *Notebook) Encode() ([]byte, error) {
	nb.fillIDs()
	cells := make([]any, len(nb.Cells))
	for i, c := range nb.Cells {
		v, err := c.object()
		if err != nil {
			return nil, fmt.Errorf("cell %d: %w", i+1, err)
		}
		cells[i] = v
	}
	obj, err := object(nb.extra)
	if err != nil {
		return nil, err
	}
	if obj["metadata"], err = object(nb.Metadata); err != nil {
		return nil, fmt.Errorf("metadata: %w", err)
	}
	obj["cells"] = cells
	obj["nbformat"] = 4
	obj["nbformat_minor"] = max(nb.Minor, 5)

	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	if err := enc.Encode(obj); err != nil {
		return nil, err
	}
	return buf.Bytes(), nil
}

func (c *Cell) object() (map[string]any, error) {
	obj, err := object(c.extra)
	if err != nil {
		return nil, err
	}
	if obj["metadata"], err = object(c.Metadata); err != nil {
		return nil, fmt.Errorf("metadata: %w", err)
	}
	obj["cell_type"] = c.Type
	obj["id"] = c.ID
	obj["source"] = lines(c.Source)
	if c.Type == Code {
		outputs := make([]any, len(c.Outputs))
		for i, o := range c.Outputs {
			if outputs[i], err = o.object(); err != nil {
				return nil, fmt.Errorf("output %d: %w", i+1, err)
			}
		}
		obj["outputs"] = outputs
		obj["execution_count"] = count(c.ExecutionCount)
	}
	if len(c.Attachments) > 0 {
		all := make(map[string]any, len(c.Attachments))
		for name, b := range c.Attachments {
			if all[name], err = b.object(); err != nil {
				return nil, fmt.Errorf("attachment %q: %w", name, err)
			}
		}
		obj["attachments"] = all
	}
	return obj, nil
}

func (o *Output) object() (map[string]any, error) {
	obj, err := object(o.extra)
	if err != nil {
		return nil, err
	}
	obj["output_type"] = o.Type
	switch o.Type {
	case Stream:
		obj["name"] = o.Name
		obj["text"] = lines(o.Text)
	case DisplayData, ExecuteResult:
		if obj["data"], err = o.Data.object(); err != nil {
			return nil, err
		}
		if obj["metadata"], err = object(o.Metadata); err != nil {
			return nil, fmt.Errorf("metadata: %w", err)
		}
		if o.Type == ExecuteResult {
			obj["execution_count"] = count(o.ExecutionCount)
		}
	case Error:
		obj["ename"] = o.EName
		obj["evalue"] = o.EValue
		obj["traceback"] = append([]string{}, o.Traceback...)
	}
	return obj, nil
}

func (b MimeBundle) object() (map[string]any, error) {
	obj, err := object(b)
	if err != nil {
		return nil, err
	}
	for mime, v := range obj {
		if text, ok := v.(string); ok && splitsIntoLines(mime) {
			obj[mime] = lines(text)
		}
	}
	return obj, nil
}

// object decodes the values of m, so that the encoder sorts the keys inside
// them as Jupyter does. Numbers keep their digits.
func object(m map[string]json.RawMessage) (map[string]any, error) {
	obj := make(map[string]any, len(m)+4)
	for key, raw := range m {
		dec := json.NewDecoder(bytes.NewReader(raw))
		dec.UseNumber()
		var v any
		if err := dec.Decode(&v); err != nil {
			return nil, fmt.Errorf("%s: not JSON: %w", key, err)
		}
		obj[key] = v
	}
	return obj, nil
}

// lines splits text after each newline, as Jupyter stores it.
func lines(text string) []string {
	if text == "" {
		return []string{}
	}
	list := strings.SplitAfter(text, "\n")
	if list[len(list)-1] == "" {
		list = list[:len(list)-1]
	}
	return list
}

// count is an execution count as stored: null for a cell that has not been run.
func count(n int) any {
	if n == 0 {
		return nil
	}
	return n
}

// marshal is json.Marshal without the escaping of <, > and &.
func marshal(v any) (json.RawMessage, error) {
	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(buf.Bytes(), []byte("\n")), nil
}

func quote(text string) json.RawMessage {
	raw, _ := marshal(text) // a string always encodes
	return raw
}
