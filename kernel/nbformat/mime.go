package nbformat

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// MimeBundle holds one thing in several representations, by MIME type. The
// value of a JSON type (see [IsJSON]) is the JSON itself; that of any other
// type is a JSON string holding text, or base64 for binary types such as
// image/png.
type MimeBundle map[string]json.RawMessage

// Text returns the text stored for the MIME type, its lines joined, and
// whether there is one. A value that is not text, such as a JSON object,
// counts as absent.
func (b MimeBundle) Text(mime string) (string, bool) {
	raw, ok := b[mime]
	if !ok {
		return "", false
	}
	text, err := multiline(raw)
	return text, err == nil
}

// SetText stores text, or base64 for a binary type, under the MIME type.
func (b MimeBundle) SetText(mime, text string) {
	b[mime] = quote(text)
}

// SetJSON stores v, encoded as JSON, under the MIME type.
func (b MimeBundle) SetJSON(mime string, v any) error {
	raw, err := marshal(v)
	if err != nil {
		return fmt.Errorf("%s: %w", mime, err)
	}
	b[mime] = raw
	return nil
}

// Types returns the MIME types present, sorted.
func (b MimeBundle) Types() []string {
	return slices.Sorted(maps.Keys(b))
}

// IsJSON reports whether values of the MIME type are stored as JSON rather
// than as text: application/json and the application types ending in +json.
func IsJSON(mime string) bool {
	return mime == "application/json" ||
		strings.HasPrefix(mime, "application/") && strings.HasSuffix(mime, "+json")
}

// splitsIntoLines reports whether Jupyter stores text of the MIME type as a
// list of lines.
func splitsIntoLines(mime string) bool {
	return strings.HasPrefix(mime, "text/") || mime == "application/javascript" || mime == "image/svg+xml"
}

// Metadata is a JSON object of which each program knows only some keys.
type Metadata map[string]json.RawMessage

// Get decodes the value of key into v, a pointer, and reports whether the key
// is there.
func (m Metadata) Get(key string, v any) (bool, error) {
	raw, ok := m[key]
	if !ok {
		return false, nil
	}
	if err := json.Unmarshal(raw, v); err != nil {
		return true, fmt.Errorf("metadata %q: %w", key, err)
	}
	return true, nil
}

// Set stores v, encoded as JSON, under key. It makes the map if there is none.
func (m *Metadata) Set(key string, v any) error {
	raw, err := marshal(v)
	if err != nil {
		return fmt.Errorf("metadata %q: %w", key, err)
	}
	if *m == nil {
		*m = Metadata{}
	}
	(*m)[key] = raw
	return nil
}
