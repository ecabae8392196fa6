package relay

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"
)

func TestEnriched(t *testing.T) {
	var logged []string
	r := &relay{o: Options{
		Log: func(line string) { logged = append(logged, line) },
		Enrich: map[string]func(map[string]json.RawMessage) error{
			"application/x-figure": func(data map[string]json.RawMessage) error {
				if string(data["application/x-figure"]) == `"bad"` {
					return errors.New("no such figure")
				}
				data["image/png"] = json.RawMessage(`"png"`)
				return nil
			},
		},
	}}
	for _, tt := range []struct{ typ, content, want string }{
		{"display_data", `{"data":{"application/x-figure":{}},"metadata":{"a":1},"transient":{}}`, `{"data":{"application/x-figure":{},"image/png":"png"},"metadata":{"a":1},"transient":{}}`},
		{"update_display_data", `{"data":{"application/x-figure":{}}}`, `{"data":{"application/x-figure":{},"image/png":"png"}}`},
		{"display_data", `{"data":{"text/plain":"application/x-figure"}}`, `{"data":{"text/plain":"application/x-figure"}}`},
		{"display_data", `{"data":{"application/x-figure":"bad"}}`, `{"data":{"application/x-figure":"bad"}}`},
		{"display_data", `not JSON with application/x-figure`, `not JSON with application/x-figure`},
		{"stream", `{"text":"application/x-figure","data":{"application/x-figure":{}}}`, `{"text":"application/x-figure","data":{"application/x-figure":{}}}`},
	} {
		got, ok := r.enriched(tt.typ, json.RawMessage(tt.content)).(json.RawMessage)
		if !ok || string(got) != tt.want {
			t.Errorf("%s %s is enriched to %s, want %s", tt.typ, tt.content, got, tt.want)
		}
	}
	if len(logged) != 1 || !strings.Contains(logged[0], "no such figure") {
		t.Errorf("logged %q", logged)
	}
	result := struct {
		Data map[string]any `json:"data"`
	}{map[string]any{"application/x-figure": 1}}
	if got, _ := json.Marshal(r.enriched("execute_result", result)); !strings.Contains(string(got), "image/png") {
		t.Errorf("a result is enriched to %s", got)
	}
}
