package nbformat

import (
	"encoding/json"
	"slices"
	"testing"
)

func TestMimeBundleText(t *testing.T) {
	b := MimeBundle{
		"text/plain":       json.RawMessage(`"a"`),
		"text/html":        json.RawMessage(`["a\n", "b"]`),
		"application/json": json.RawMessage(`{"a": 1}`),
		"text/x-null":      json.RawMessage(`null`),
	}
	for _, tt := range []struct {
		mime, want string
		ok         bool
	}{
		{"text/plain", "a", true},
		{"text/html", "a\nb", true},
		{"application/json", "", false},
		{"text/x-null", "", false},
		{"text/latex", "", false},
	} {
		if got, ok := b.Text(tt.mime); got != tt.want || ok != tt.ok {
			t.Errorf("Text(%q) = %q, %v, want %q, %v", tt.mime, got, ok, tt.want, tt.ok)
		}
	}
	want := []string{"application/json", "text/html", "text/plain", "text/x-null"}
	if got := b.Types(); !slices.Equal(got, want) {
		t.Errorf("Types() = %v, want %v", got, want)
	}
}

func TestIsJSON(t *testing.T) {
	for mime, want := range map[string]bool{
		"application/json": true, "application/vnd.x.v1+json": true,
		"text/plain": false, "application/javascript": false, "image/svg+xml": false, "text/x+json": false,
	} {
		if got := IsJSON(mime); got != want {
			t.Errorf("IsJSON(%q) = %v, want %v", mime, got, want)
		}
	}
}

func TestMetadata(t *testing.T) {
	var m Metadata
	if err := m.Set("n", 3); err != nil {
		t.Fatal(err)
	}
	var n int
	if ok, err := m.Get("n", &n); !ok || err != nil || n != 3 {
		t.Errorf("Get: got %d, %v, %v", n, ok, err)
	}
	if ok, err := m.Get("absent", &n); ok || err != nil {
		t.Errorf("absent key: got %v, %v", ok, err)
	}
	var s string
	if ok, err := m.Get("n", &s); !ok || err == nil {
		t.Errorf("wrong type: got %v, %v", ok, err)
	}
	if err := m.Set("f", func() {}); err == nil {
		t.Error("a function was stored as JSON")
	}
}
