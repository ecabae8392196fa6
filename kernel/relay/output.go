package relay

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"time"

	"example.com/railbook/kernel/cellio"
	"example.com/railbook/kernel/relay/internal/stream"
	"example.com/railbook/kernel/wire"
)

// output turns what the cell kernel says of a task into what clients are to
// hear, and gathers what else is to be known of it.
type output struct {
	// publish is called with what clients are to hear, in order.
	publish func(typ string, content, metadata any, buffers [][]byte)
	count   int // for an execute_result
	log     func(string)

	joiner stream.Joiner
	trace  stream.Trace
	tail   stream.Tail // of standard error

	exitLine  string // the last thing written, if it may tell of a failed program
	exit      string // how the program failed: "exit status N" or "signal: NAME"
	pumped    bool   // that the program's end was reported as an event
	displayed bool   // that something was displayed other than by events
	value     string // of the cell, as text
}

// exitMessage is how gonb tells that a program failed: it sends this text as a
// message of its own, after all that the program wrote.
var exitMessage = regexp.MustCompile(`^(?:\^C\n)?(exit status \d+|signal: .+)\n$`)

// newOutput returns an output whose messages go to publish.
func newOutput(count int, log func(string), publish func(string, any, any, [][]byte)) *output {
	o := &output{publish: publish, count: count, log: log}
	o.joiner.Emit = func(name, text string) {
		publish("stream", streamContent{name, text}, nil, nil)
	}
	return o
}

// take takes a message of the cell kernel's output socket.
func (o *output) take(now time.Time, m *wire.Message) {
	switch m.Header.Type {
	case wire.Status, "error", "execute_input": // what clients hear of these is ours
	case "stream":
		var c struct{ Name, Text string }
		if err := m.Decode(&c); err != nil {
			o.log(err.Error())
			return
		}
		o.streamed(now, c.Name, c.Text)
	case "display_data":
		o.display(now, m)
	default:
		o.settle(now)
		o.publish(m.Header.Type, m.Content, m.Metadata, m.Buffers)
	}
}

// streamed takes text that gonb itself reports.
func (o *output) streamed(now time.Time, name, text string) {
	if name == cellio.Stderr && exitMessage.MatchString(text) {
		if !o.pumped { // else it has been told already, and better
			o.dropExitLine(now)
			o.exitLine = text
		}
		return
	}
	o.write(now, name, text)
}

// write takes text that a program wrote.
func (o *output) write(now time.Time, name, text string) {
	o.dropExitLine(now)
	if name == cellio.Stderr {
		o.tail.Add(text)
		text = o.trace.Add(now, text)
	} else {
		o.joiner.Add(now, cellio.Stderr, o.trace.Release())
	}
	o.joiner.Add(now, name, text)
}

// dropExitLine passes on what looked like the last thing written, but was not.
func (o *output) dropExitLine(now time.Time) {
	line := o.exitLine
	o.exitLine = ""
	o.joiner.Add(now, cellio.Stderr, line)
}

// settle passes on all text, because something else follows it.
func (o *output) settle(now time.Time) {
	o.joiner.Add(now, cellio.Stderr, o.trace.Release())
	o.joiner.Flush(now)
}

var (
	eventMark  = []byte(cellio.MIME)
	resultMark = []byte(ResultKey)
)

// display takes something to be displayed, or an event.
func (o *output) display(now time.Time, m *wire.Message) {
	var c struct {
		Data      map[string]json.RawMessage `json:"data"`
		Metadata  map[string]json.RawMessage `json:"metadata"`
		Transient json.RawMessage            `json:"transient,omitempty"`
		Count     int                        `json:"execution_count"`
	}
	isEvent, isResult := bytes.Contains(m.Content, eventMark), bytes.Contains(m.Content, resultMark)
	if isEvent || isResult {
		if err := m.Decode(&c); err != nil {
			o.log(err.Error())
			return
		}
	}
	if isEvent {
		event, ok, err := cellio.Decode(c.Data)
		if err != nil {
			o.log(err.Error())
			return
		}
		if ok {
			o.event(now, event)
			return
		}
	}
	o.displayed = true
	o.settle(now)
	if _, ok := c.Metadata[ResultKey]; !ok {
		o.publish("display_data", m.Content, m.Metadata, m.Buffers)
		return
	}
	delete(c.Metadata, ResultKey)
	c.Count = o.count
	o.value = text(c.Data)
	o.publish("execute_result", c, m.Metadata, m.Buffers)
}

// text returns the plain text among the data, which it adds if there is none:
// the protocol wants one with every result.
func text(data map[string]json.RawMessage) string {
	var plain string
	if json.Unmarshal(data["text/plain"], &plain) == nil {
		return plain
	}
	if types := slices.Sorted(maps.Keys(data)); len(types) > 0 {
		plain = fmt.Sprintf("(%s)", types[0])
	}
	data["text/plain"], _ = json.Marshal(plain) // a string always encodes
	return plain
}

func (o *output) event(now time.Time, e cellio.Event) {
	if e.Exit == nil {
		o.write(now, e.Stream, e.Text)
		return
	}
	o.dropExitLine(now)
	o.pumped = true
	if !e.Exit.OK() {
		o.exit = e.Exit.String()
	}
}

// due returns when tick has to be called. It is false if that is not needed.
func (o *output) due() (time.Time, bool) {
	joined, j := o.joiner.Due()
	traced, t := o.trace.Due()
	if t && (!j || traced.Before(joined)) {
		return traced, true
	}
	return joined, j
}

// tick passes on what has been kept long enough.
func (o *output) tick(now time.Time) {
	if due, ok := o.trace.Due(); ok && !now.Before(due) {
		o.joiner.Add(now, cellio.Stderr, o.trace.Release())
	}
	if due, ok := o.joiner.Due(); ok && !now.Before(due) {
		o.joiner.Flush(now)
	}
}

// finish passes on what is left once the task has ended, and returns the
// runtime's account of a panic if the program failed with one.
func (o *output) finish(now time.Time) (trace string) {
	if m := exitMessage.FindStringSubmatch(o.exitLine); m != nil {
		o.exit, o.exitLine = m[1], ""
	}
	if o.exit != "" {
		var ok bool
		if trace, ok = o.trace.Take(); !ok {
			trace = stream.Find(o.tail.String()) // it has been passed on, but still tells
		}
	}
	o.settle(now)
	return trace
}

// incomplete reports whether more output may come after the end of the task:
// gonb itself does not wait for what is displayed.
func (o *output) incomplete() bool { return o.displayed && !o.pumped }

// streamContent is the content of a stream message.
type streamContent struct {
	Name string `json:"name"`
	Text string `json:"text"`
}
