package main

import (
	"encoding/json"
	"errors"

	"example.com/railbook/kernel/display"
	"example.com/railbook/kernel/relay"
	"example.com/railbook/kernel/whatif"
	"example.com/railbook/sizing"
)

// targets are the live controls that a front end can open. They are answered by this
// process, so that a slider that moves waits for no compiler.
var targets = map[string]relay.Target{display.ControlsTarget: answerControls}

// answerControls answers the sliders of one build until the front end closes them.
func answerControls(c *relay.Comm) {
	panel, err := controlsPanel(c.Opening().Data)
	for {
		m, closed := c.Receive()
		if closed != nil {
			return
		}
		var reply json.RawMessage
		if err != nil {
			reply = whatif.Refusal(m.Data, err)
		} else {
			reply = panel.Handle(m.Data)
		}
		if c.Send(reply) != nil {
			return
		}
	}
}

func controlsPanel(opening json.RawMessage) (*whatif.Panel, error) {
	var o display.ControlsOpening
	if err := json.Unmarshal(opening, &o); err != nil {
		return nil, err
	}
	if o.Sheet == "" {
		return nil, errors.New("these controls bring no build sheet")
	}
	b, err := sizing.Read("the controls' sheet", []byte(o.Sheet))
	if err != nil {
		return nil, err
	}
	return whatif.New(b)
}
