// Package cellio defines the events by which the program of a cell is reported:
// the text it wrote and how it ended. The pump beside the program sends them
// through the cell kernel as display data of a MIME type of its own, between the
// displays of the program, so that text and displays keep their order; the relay
// turns them into what a Jupyter client expects.
//
// A bundle of display data that is an event holds one of
//
//	application/vnd.railbook.cell+json  {"stream": "stdout"}, or stderr
//	text/plain                          the text
//
// and
//
//	application/vnd.railbook.cell+json  {"exit": {"code": 2, "signal": ""}}
//
// Text stands under text/plain so that the kernel's %capture finds it there and
// a client that knows nothing of events still shows it.
package cellio

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
)

// MIME is the type under which an event stands in a bundle of display data.
const MIME = "application/vnd.railbook.cell+json"

// textMIME is the type under which the text of an event stands.
const textMIME = "text/plain"

// The streams of a program.
const (
	Stdout = "stdout"
	Stderr = "stderr"
)

// Event is one thing that happened to a program: it wrote Text to Stream, or it
// ended, and then Exit is set and the others are empty. The event of its end is
// the last one of a program.
type Event struct {
	// Stream is [Stdout] or [Stderr].
	Stream string
	// Text is UTF-8, cut between characters only.
	Text string
	Exit *Exit
}

// Exit tells how a program ended.
type Exit struct {
	// Code is the program's exit status, or -1 if a signal ended it.
	Code int `json:"code"`
	// Signal describes the signal that ended the program, such as "killed" or
	// "interrupt"; empty if it ended by itself.
	Signal string `json:"signal"`
}

// OK reports whether the program ended by itself with status 0.
func (e Exit) OK() bool { return e == Exit{} }

// String returns "exit status 2" or "signal: killed".
func (e Exit) String() string {
	if e.Signal != "" {
		return "signal: " + e.Signal
	}
	return fmt.Sprintf("exit status %d", e.Code)
}

// Bundle returns the event as a bundle of display data: by MIME type, what
// encoding/json writes as that type's value. Its values are strings and maps of
// strings to further such values and integers.
func (e Event) Bundle() map[string]any {
	if e.Exit != nil {
		return map[string]any{MIME: map[string]any{
			"exit": map[string]any{"code": e.Exit.Code, "signal": e.Exit.Signal},
		}}
	}
	return map[string]any{
		MIME:     map[string]any{"stream": e.Stream},
		textMIME: e.Text,
	}
}

// Decode returns the event that a bundle of display data holds. Without one, ok
// is false and err is nil: the bundle is something to show. With an err, which
// says what is wrong with the event, ok is true.
func Decode(bundle map[string]json.RawMessage) (e Event, ok bool, err error) {
	raw, ok := bundle[MIME]
	if !ok {
		return Event{}, false, nil
	}
	e, err = decode(raw, bundle)
	if err != nil {
		return Event{}, true, fmt.Errorf("cell event: %w", err)
	}
	return e, true, nil
}

func decode(raw json.RawMessage, bundle map[string]json.RawMessage) (Event, error) {
	var v struct {
		Stream *string `json:"stream"`
		Exit   *struct {
			Code   *int    `json:"code"`
			Signal *string `json:"signal"`
		} `json:"exit"`
	}
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	if err := d.Decode(&v); err != nil {
		return Event{}, err
	}
	if d.More() {
		return Event{}, errors.New("more than one value")
	}
	text, hasText := bundle[textMIME]
	switch {
	case v.Stream != nil && v.Exit != nil:
		return Event{}, errors.New("both stream and exit, want one")
	case len(bundle) > 2 || len(bundle) > 1 && !hasText:
		return Event{}, fmt.Errorf("%d MIME types, want %s and at most %s", len(bundle), MIME, textMIME)
	case v.Stream != nil:
		if *v.Stream != Stdout && *v.Stream != Stderr {
			return Event{}, fmt.Errorf("stream %q, want %s or %s", *v.Stream, Stdout, Stderr)
		}
		e := Event{Stream: *v.Stream}
		if !hasText || string(text) == "null" {
			return Event{}, fmt.Errorf("stream without text under %s", textMIME)
		}
		if err := json.Unmarshal(text, &e.Text); err != nil {
			return Event{}, fmt.Errorf("text: %w", err)
		}
		return e, nil
	case v.Exit != nil:
		if hasText {
			return Event{}, fmt.Errorf("exit with text under %s, want none", textMIME)
		}
		if v.Exit.Code == nil || v.Exit.Signal == nil {
			return Event{}, errors.New("exit without code and signal, want both")
		}
		exit := Exit{Code: *v.Exit.Code, Signal: *v.Exit.Signal}
		if ended := exit.Signal != ""; exit.Code < -1 || exit.Code > 255 || ended != (exit.Code == -1) {
			return Event{}, fmt.Errorf("exit code %d with signal %q, want 0 to 255, or -1 with a signal", exit.Code, exit.Signal)
		}
		return Event{Exit: &exit}, nil
	default:
		return Event{}, errors.New("neither stream nor exit, want one")
	}
}
