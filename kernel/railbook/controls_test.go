package main

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"example.com/railbook/kernel/display"
	"example.com/railbook/kernel/whatif"
	"example.com/railbook/sizing"
)

// TestControlsPanel wants the panel that a comm opens to be that of the sheet it brings.
func TestControlsPanel(t *testing.T) {
	text, err := os.ReadFile("../../notebooks/first-build.toml")
	if err != nil {
		t.Fatal(err)
	}
	opening, err := json.Marshal(display.ControlsOpening{Sheet: string(text)})
	if err != nil {
		t.Fatal(err)
	}
	got, err := controlsPanel(opening)
	if err != nil {
		t.Fatal(err)
	}
	build, err := sizing.Read("sheet", text)
	if err != nil {
		t.Fatal(err)
	}
	want, err := whatif.New(build)
	if err != nil {
		t.Fatal(err)
	}
	request := []byte(`{"id":7,"settings":{}}`)
	if g, w := string(got.Handle(request)), string(want.Handle(request)); g != w || !strings.Contains(g, `"id":7`) {
		t.Errorf("answers %.200s, want %.200s", g, w)
	}
	for _, bad := range []string{`{}`, `no JSON`, `{"sheet":"[engine]\n"}`} {
		if _, err := controlsPanel(json.RawMessage(bad)); err == nil {
			t.Errorf("%s makes a panel", bad)
		}
	}
}
