package session

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/wire"
)

// record is one cell that has been run, or is being run, and what is known of
// it beyond what the notebook holds.
type record struct {
	place  Place
	cell   *nbformat.Cell
	silent bool

	count  int               // execution count, 0 for the setup
	times  map[string]string // for the timing metadata
	clear  bool              // clear the outputs when the next one comes
	exit   string            // the last stream message, if it tells of a failed program
	prompt *string           // what the program asked the user for

	// abandoned is true of a cell that was interrupted for want of time, of
	// whose end nothing more is taken note of.
	abandoned bool
}

// display is an output that may be updated by its display ID.
type display struct {
	rec *record
	out *nbformat.Output
}

// exitMessage is how gonb tells that a program failed: it sends this text as a
// message of its own, after all that the program wrote.
var exitMessage = regexp.MustCompile(`^(?:\^C\n)?(exit status \d+|signal: .+)\n$`)

// handle puts one message into the outputs of the cell it belongs to.
func (r *run) handle(m *wire.Message) {
	rec := r.requests[m.Parent.ID]
	if rec == nil || rec.abandoned {
		return
	}
	var c struct {
		Name      string              `json:"name"`
		Text      string              `json:"text"`
		Data      nbformat.MimeBundle `json:"data"`
		Metadata  nbformat.Metadata   `json:"metadata"`
		Transient struct {
			DisplayID string `json:"display_id"`
		} `json:"transient"`
		Count     int      `json:"execution_count"`
		EName     string   `json:"ename"`
		EValue    string   `json:"evalue"`
		Traceback []string `json:"traceback"`
		Wait      bool     `json:"wait"`
		Prompt    string   `json:"prompt"`
		State     string   `json:"execution_state"`
	}
	if err := m.Decode(&c); err != nil {
		r.progress(Event{Kind: Warning, Place: rec.place, Err: fmt.Errorf("a message was not understood: %w", err)})
		return
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.changed = true
	switch m.Header.Type {
	case "stream":
		r.stream(rec, c.Name, c.Text)
	case "display_data", "execute_result":
		out := &nbformat.Output{Type: m.Header.Type, Data: c.Data, Metadata: c.Metadata}
		if out.Type == nbformat.ExecuteResult {
			out.ExecutionCount = cmp.Or(c.Count, rec.count)
		}
		r.enrich(rec, out)
		rec.add(out)
		if id := c.Transient.DisplayID; id != "" {
			r.displays[id] = append(r.displays[id], display{rec, out})
		}
	case "update_display_data":
		for _, d := range r.displays[c.Transient.DisplayID] {
			d.out.Data, d.out.Metadata = cloneBundle(c.Data), c.Metadata
			r.enrich(d.rec, d.out)
		}
	case "error":
		rec.add(&nbformat.Output{Type: nbformat.Error, EName: c.EName, EValue: c.EValue, Traceback: c.Traceback})
	case "clear_output":
		if rec.clear = c.Wait; !c.Wait {
			rec.cell.Outputs = nil
		}
	case "execute_input":
		rec.setCount(c.Count)
		rec.stamp("iopub.execute_input")
	case wire.ExecuteReply:
		rec.setCount(c.Count)
		rec.stamp("shell.execute_reply")
	case wire.Status:
		if c.State == "busy" || c.State == "idle" {
			rec.stamp("iopub.status." + c.State)
		}
	case wire.InputRequest:
		rec.prompt = &c.Prompt
		r.kernel.Client().Interrupt() // a broken connection shows itself elsewhere
	}
}

// stream adds text to the cell's output, joining it to what the same stream
// wrote just before.
func (r *run) stream(rec *record, name, text string) {
	if held := rec.exit; held != "" { // it was not the last message after all
		rec.exit = ""
		r.appendStream(rec, "stderr", held)
	}
	if name == "stderr" && !r.o.ToldExits && exitMessage.MatchString(text) {
		rec.exit = text
		return
	}
	r.appendStream(rec, name, text)
}

func (r *run) appendStream(rec *record, name, text string) {
	if n := len(rec.cell.Outputs); n > 0 && !rec.clear {
		if last := rec.cell.Outputs[n-1]; last.Type == nbformat.Stream && last.Name == name {
			last.Text += text
			return
		}
	}
	rec.add(&nbformat.Output{Type: nbformat.Stream, Name: name, Text: text})
}

func (rec *record) add(out *nbformat.Output) {
	if rec.clear {
		rec.clear = false
		rec.cell.Outputs = nil
	}
	rec.cell.Outputs = append(rec.cell.Outputs, out)
}

func (r *run) enrich(rec *record, out *nbformat.Output) {
	if out.Data == nil {
		out.Data = nbformat.MimeBundle{}
	}
	if r.o.Enrich == nil || rec.silent {
		return
	}
	if err := r.o.Enrich(out.Data); err != nil {
		r.progress(Event{Kind: Warning, Place: rec.place, Err: err})
	}
}

func cloneBundle(b nbformat.MimeBundle) nbformat.MimeBundle {
	c := make(nbformat.MimeBundle, len(b))
	for mime, raw := range b {
		c[mime] = slices.Clone(raw)
	}
	return c
}

func (rec *record) setCount(n int) {
	if n > 0 {
		rec.count = n
		rec.cell.ExecutionCount = n
	}
}

// timing is the key of the cell metadata that tells when a cell was run, in the
// form other notebook tools use: ISO 8601 times by the message they belong to.
const timing = "execution"

func (rec *record) stamp(message string) {
	if rec.times == nil {
		rec.times = map[string]string{}
	}
	rec.times[message] = time.Now().UTC().Format("2006-01-02T15:04:05.000000Z")
}

func (rec *record) keepTiming() {
	if len(rec.times) > 0 {
		rec.cell.Metadata.Set(timing, rec.times) // a map of strings always encodes
	}
}

// text returns what the cell wrote to the stream.
func (rec *record) text(stream string) string {
	var b strings.Builder
	for _, out := range rec.cell.Outputs {
		if out.Type == nbformat.Stream && out.Name == stream {
			b.WriteString(out.Text)
		}
	}
	return b.String()
}
