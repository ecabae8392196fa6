package display

import (
	"crypto/rand"
	"encoding/json"
	"fmt"
	"strings"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/kernel/whatif"
	"example.com/railbook/kernel/whatif/front"
	"example.com/railbook/sizing"
)

// ControlsTarget is the comm target that answers live controls, and [ControlsOpening] the
// data that such a comm is opened with.
const ControlsTarget = "railbook.controls"

// ControlsOpening says what live controls are about.
type ControlsOpening struct {
	Sheet string `json:"sheet"` // the build sheet, as text
}

// Controls shows sliders for boost, ethanol content, base pressure, power and temperature,
// around the build, and the demand, the duty and the margins as they move. They work in
// the classic Jupyter notebook with Railbook's kernel, which answers them also while no
// cell runs; elsewhere the build's own state is shown.
func Controls(b sizing.Build) {
	bundle, err := controlsBundle(b)
	if err == nil {
		err = cell.Send(bundle)
	}
	if err != nil {
		cell.Fail(err)
	}
}

func controlsBundle(b sizing.Build) (cell.Bundle, error) {
	panel, err := whatif.New(b)
	if err != nil {
		return nil, err
	}
	var sheet strings.Builder
	if err := b.WriteSheet(&sheet); err != nil {
		return nil, fmt.Errorf("these controls cannot be made: %w", err)
	}
	opening, err := json.Marshal(ControlsOpening{Sheet: sheet.String()})
	if err != nil {
		return nil, err
	}
	html, err := front.Fragment(panel.Describe(), front.Cell{ID: "controls-" + strings.ToLower(rand.Text()), Target: ControlsTarget, Opening: opening})
	if err != nil {
		return nil, err
	}
	a, err := sizing.Assess(b)
	if err != nil {
		return nil, err
	}
	return cell.Bundle{cell.HTML: html, cell.Text: "Live controls need the classic Jupyter notebook. " + a.Verdict(a.Build.Job.Units)}, nil
}
