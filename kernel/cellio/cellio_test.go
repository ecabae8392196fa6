package cellio

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"
)

// wire returns what becomes of a bundle on its way to a client.
func wire(t testing.TB, bundle map[string]any) map[string]json.RawMessage {
	t.Helper()
	data, err := json.Marshal(bundle)
	if err != nil {
		t.Fatal(err)
	}
	var got map[string]json.RawMessage
	if err := json.Unmarshal(data, &got); err != nil {
		t.Fatal(err)
	}
	return got
}

func TestRoundTrip(t *testing.T) {
	for _, e := range []Event{
		{Stream: Stdout, Text: "14 psi\n"},
		{Stream: Stderr, Text: "λ ≥ 0.82 <b>&amp;</b>\x00\u2028"},
		{Stream: Stdout, Text: ""},
		{Exit: &Exit{}},
		{Exit: &Exit{Code: 2}},
		{Exit: &Exit{Code: -1, Signal: "killed"}},
	} {
		got, ok, err := Decode(wire(t, e.Bundle()))
		if !ok || err != nil || !reflect.DeepEqual(got, e) {
			t.Errorf("%+v came back as %+v, %t, %v", e, got, ok, err)
		}
	}
}

// TestForm holds the form of a bundle, which pump and relay of different builds
// must share.
func TestForm(t *testing.T) {
	for _, tt := range []struct {
		event Event
		want  string
	}{
		{Event{Stream: Stdout, Text: "a"}, `{"application/vnd.railbook.cell+json":{"stream":"stdout"},"text/plain":"a"}`},
		{Event{Exit: &Exit{Code: 2}}, `{"application/vnd.railbook.cell+json":{"exit":{"code":2,"signal":""}}}`},
	} {
		got, err := json.Marshal(tt.event.Bundle())
		if err != nil || string(got) != tt.want {
			t.Errorf("got %s, %v\nwant %s", got, err, tt.want)
		}
	}
}

func TestOther(t *testing.T) {
	for _, bundle := range []map[string]any{nil, {"text/plain": "a"}, {"text/html": "<p>", "text/plain": "a"}} {
		if e, ok, err := Decode(wire(t, bundle)); ok || err != nil || e != (Event{}) {
			t.Errorf("%v: got %+v, %t, %v, want nothing", bundle, e, ok, err)
		}
	}
}

func TestDecodeErrors(t *testing.T) {
	type m = map[string]any
	for _, tt := range []struct {
		name   string
		bundle m
		want   string
	}{
		{"no object", m{MIME: "stdout", textMIME: "a"}, "cannot unmarshal string"},
		{"empty", m{MIME: m{}}, "neither stream nor exit"},
		{"null", m{MIME: nil}, "neither stream nor exit"},
		{"both", m{MIME: m{"stream": "stdout", "exit": m{"code": 0, "signal": ""}}}, "both stream and exit"},
		{"unknown field", m{MIME: m{"stream": "stdout", "colour": 1}, textMIME: "a"}, `unknown field "colour"`},
		{"unknown stream", m{MIME: m{"stream": "stdin"}, textMIME: "a"}, `stream "stdin", want stdout or stderr`},
		{"no text", m{MIME: m{"stream": "stdout"}}, "without text"},
		{"null text", m{MIME: m{"stream": "stdout"}, textMIME: nil}, "without text"},
		{"text of lines", m{MIME: m{"stream": "stdout"}, textMIME: []string{"a"}}, "text: "},
		{"something to show", m{MIME: m{"stream": "stdout"}, "text/html": "<p>"}, "2 MIME types"},
		{"more to show", m{MIME: m{"stream": "stdout"}, textMIME: "a", "text/html": "<p>"}, "3 MIME types"},
		{"exit with text", m{MIME: m{"exit": m{"code": 0, "signal": ""}}, textMIME: "a"}, "exit with text"},
		{"exit without code", m{MIME: m{"exit": m{"signal": ""}}}, "want both"},
		{"exit without signal", m{MIME: m{"exit": m{"code": 1}}}, "want both"},
		{"code too high", m{MIME: m{"exit": m{"code": 256, "signal": ""}}}, "exit code 256"},
		{"code of a signal alone", m{MIME: m{"exit": m{"code": -1, "signal": ""}}}, "exit code -1"},
		{"code beside a signal", m{MIME: m{"exit": m{"code": 1, "signal": "killed"}}}, `signal "killed"`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			e, ok, err := Decode(wire(t, tt.bundle))
			if !ok || err == nil || !strings.Contains(err.Error(), tt.want) || e != (Event{}) {
				t.Errorf("got %+v, %t, %v, want the error %q", e, ok, err, tt.want)
			}
		})
	}
}

func TestExit(t *testing.T) {
	for _, tt := range []struct {
		exit Exit
		ok   bool
		want string
	}{
		{Exit{}, true, "exit status 0"},
		{Exit{Code: 3}, false, "exit status 3"},
		{Exit{Code: -1, Signal: "segmentation fault"}, false, "signal: segmentation fault"},
	} {
		if tt.exit.OK() != tt.ok || tt.exit.String() != tt.want {
			t.Errorf("%+v: got %t, %q", tt.exit, tt.exit.OK(), tt.exit)
		}
	}
}

// FuzzDecode wants no panic, and what is understood to say the same when it is
// encoded again.
func FuzzDecode(f *testing.F) {
	f.Add([]byte(`{"application/vnd.railbook.cell+json":{"stream":"stdout"},"text/plain":"a"}`))
	f.Add([]byte(`{"application/vnd.railbook.cell+json":{"exit":{"code":2,"signal":""}}}`))
	f.Add([]byte(`{"application/vnd.railbook.cell+json":{"exit":{"code":-1,"signal":"killed"}}}`))
	f.Add([]byte(`{"application/vnd.railbook.cell+json":{"exit":null}}`)) // as if it were not there
	f.Add([]byte(`{"text/plain":"a"}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		var bundle map[string]json.RawMessage
		if json.Unmarshal(data, &bundle) != nil {
			return
		}
		e, ok, err := Decode(bundle)
		if !ok || err != nil {
			if e != (Event{}) {
				t.Errorf("got %+v with %t, %v", e, ok, err)
			}
			return
		}
		again, ok, err := Decode(wire(t, e.Bundle()))
		if !ok || err != nil || !reflect.DeepEqual(again, e) {
			t.Errorf("%+v came back as %+v, %t, %v", e, again, ok, err)
		}
	})
}
