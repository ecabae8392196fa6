package display

import (
	"strings"
	"testing"

	"example.com/railbook/kernel/display/internal/cell"
)

// TestControls wants a panel that brings its own sheet, two of them not to share an
// element, and words for who has no sliders.
func TestControls(t *testing.T) {
	b := Open(demoSheet)
	first, err := controlsBundle(b)
	if err != nil {
		t.Fatal(err)
	}
	html, _ := first[cell.HTML].(string)
	for _, want := range []string{`"target":"` + ControlsTarget + `"`, `"opening":{"sheet":"`, "railbookComm(cell.target, cell.opening)"} {
		if !strings.Contains(html, want) {
			t.Errorf("the panel has no %s", want)
		}
	}
	if text, _ := first[cell.Text].(string); !strings.Contains(text, "The system carries 640 hp") {
		t.Errorf("in words: %q", text)
	}
	second, err := controlsBundle(b)
	if err != nil {
		t.Fatal(err)
	}
	if second[cell.HTML] == first[cell.HTML] {
		t.Error("two panels share an element")
	}
	b.Engine.Cylinders = 0
	if _, err := controlsBundle(b); err == nil {
		t.Error("a build that makes no sense has controls")
	}
}
