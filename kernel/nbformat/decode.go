package nbformat

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
)

// Parse reads a notebook of format 4.x. Its errors name the line of broken
// JSON, or else the cell (counting from 1) and the field that is wrong.
func Parse(data []byte) (*Notebook, error) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")) // byte order mark
	if err := checkJSON(data); err != nil {
		return nil, err
	}
	f, err := newFields(data)
	if err != nil {
		return nil, fmt.Errorf("not a notebook: %w", err)
	}
	var major int
	nb := &Notebook{}
	if err := cmp.Or(
		f.require("nbformat", &major),
		f.take("nbformat_minor", &nb.Minor),
	); err != nil {
		return nil, fmt.Errorf("not a notebook: %w", err)
	}
	if major != 4 {
		return nil, fmt.Errorf("nbformat %d is not supported, want 4: open and save the notebook in a current Jupyter", major)
	}
	nb.Minor = max(nb.Minor, 5)
	var cells []json.RawMessage
	if err := cmp.Or(
		f.require("cells", &cells),
		f.take("metadata", &nb.Metadata),
	); err != nil {
		return nil, err
	}
	nb.extra = f.rest()
	for i, raw := range cells {
		c, err := parseCell(raw)
		if err != nil {
			return nil, fmt.Errorf("cell %d: %w", i+1, err)
		}
		nb.Cells = append(nb.Cells, c)
	}
	nb.fillIDs()
	return nb, nil
}

func parseCell(raw json.RawMessage) (*Cell, error) {
	f, err := newFields(raw)
	if err != nil {
		return nil, err
	}
	c := &Cell{}
	var source json.RawMessage
	if err := cmp.Or(
		f.require("cell_type", &c.Type),
		f.require("source", &source),
		f.take("metadata", &c.Metadata),
		f.take("id", &c.ID),
	); err != nil {
		return nil, err
	}
	if c.Source, err = multiline(source); err != nil {
		return nil, fmt.Errorf("source: %w", err)
	}
	var outputs []json.RawMessage
	switch c.Type {
	case Code:
		err = cmp.Or(
			f.take("execution_count", &c.ExecutionCount),
			f.take("outputs", &outputs))
	case Markdown, Raw:
		err = f.take("attachments", &c.Attachments)
		for _, b := range c.Attachments {
			joinLines(b)
		}
	default:
		err = fmt.Errorf("cell_type: got %q, want %q, %q or %q", c.Type, Code, Markdown, Raw)
	}
	if err != nil {
		return nil, err
	}
	c.extra = f.rest()
	for i, raw := range outputs {
		o, err := parseOutput(raw)
		if err != nil {
			return nil, fmt.Errorf("output %d: %w", i+1, err)
		}
		c.Outputs = append(c.Outputs, o)
	}
	return c, nil
}

func parseOutput(raw json.RawMessage) (*Output, error) {
	f, err := newFields(raw)
	if err != nil {
		return nil, err
	}
	o := &Output{}
	if err := f.require("output_type", &o.Type); err != nil {
		return nil, err
	}
	switch o.Type {
	case Stream:
		var text json.RawMessage
		if err = cmp.Or(f.require("name", &o.Name), f.require("text", &text)); err != nil {
			return nil, err
		}
		if o.Text, err = multiline(text); err != nil {
			return nil, fmt.Errorf("text: %w", err)
		}
	case DisplayData, ExecuteResult:
		err = cmp.Or(f.require("data", &o.Data), f.take("metadata", &o.Metadata))
		if o.Type == ExecuteResult {
			err = cmp.Or(err, f.take("execution_count", &o.ExecutionCount))
		}
		joinLines(o.Data)
	case Error:
		err = cmp.Or(
			f.require("ename", &o.EName),
			f.require("evalue", &o.EValue),
			f.take("traceback", &o.Traceback))
	}
	if err != nil {
		return nil, err
	}
	o.extra = f.rest()
	return o, nil
}

// checkJSON says where data stops being JSON.
func checkJSON(data []byte) error {
	var v json.RawMessage
	err := json.Unmarshal(data, &v)
	if err == nil {
		return nil
	}
	if len(bytes.TrimSpace(data)) == 0 {
		return errors.New("not JSON: the file is empty")
	}
	line := 1
	if s, ok := errors.AsType[*json.SyntaxError](err); ok {
		line += bytes.Count(data[:min(int(s.Offset), len(data))], []byte("\n"))
	}
	return fmt.Errorf("line %d: not JSON: %w", line, err)
}

// fields is a JSON object whose known members are taken out one by one.
type fields map[string]json.RawMessage

func newFields(raw json.RawMessage) (fields, error) {
	var f fields
	if err := json.Unmarshal(raw, &f); err != nil || f == nil {
		return nil, fmt.Errorf("got %s, want an object", kind(raw))
	}
	return f, nil
}

// take decodes the member called key into v and removes it. An absent or null
// member leaves v alone.
func (f fields) take(key string, v any) error {
	raw, ok := f[key]
	delete(f, key)
	if !ok || isNull(raw) {
		return nil
	}
	if err := json.Unmarshal(raw, v); err != nil {
		var want string
		switch v.(type) {
		case *string:
			want = "a string"
		case *int:
			want = "a whole number"
		case *[]json.RawMessage:
			want = "a list"
		case *[]string:
			want = "a list of strings"
		default:
			want = "an object"
		}
		return fmt.Errorf("%s: got %s, want %s", key, kind(raw), want)
	}
	return nil
}

// require is take for a member that must be there.
func (f fields) require(key string, v any) error {
	if raw, ok := f[key]; !ok || isNull(raw) {
		return fmt.Errorf("%s: missing", key)
	}
	return f.take(key, v)
}

// rest returns the members nobody took, nil if there are none.
func (f fields) rest() map[string]json.RawMessage {
	if len(f) == 0 {
		return nil
	}
	return f
}

func isNull(raw json.RawMessage) bool {
	return string(bytes.TrimSpace(raw)) == "null"
}

// kind names the JSON type of raw for an error.
func kind(raw json.RawMessage) string {
	raw = bytes.TrimSpace(raw)
	if len(raw) == 0 {
		return "nothing"
	}
	switch raw[0] {
	case '{':
		return "an object"
	case '[':
		return "a list"
	case '"':
		return "a string"
	case 't', 'f':
		return "a truth value"
	case 'n':
		return "null"
	}
	return "the number " + string(raw)
}

// multiline decodes text stored as a string or as a list of strings.
func multiline(raw json.RawMessage) (string, error) {
	var s string
	if json.Unmarshal(raw, &s) == nil && !isNull(raw) {
		return s, nil
	}
	var lines []*string
	if json.Unmarshal(raw, &lines) != nil || isNull(raw) {
		return "", fmt.Errorf("got %s, want a string or a list of strings", kind(raw))
	}
	var b strings.Builder
	for _, line := range lines {
		if line == nil {
			return "", errors.New("got null in a list of strings")
		}
		b.WriteString(*line)
	}
	return b.String(), nil
}

// joinLines turns the lists of lines in b into strings.
func joinLines(b MimeBundle) {
	for mime, raw := range b {
		if IsJSON(mime) {
			continue
		}
		if text, err := multiline(raw); err == nil {
			b.SetText(mime, text)
		}
	}
}
