package relay

import (
	"context"
	"fmt"

	"example.com/railbook/kernel/wire"
)

// question is a request for input that waits for the user.
type question struct {
	up *upstream // whose cell asks
	id string    // of the message
}

// ask passes on the cell kernel's request for input to the client whose cell it
// is. If that cannot ask its user, the cell is not wanted any more.
func (c *cell) ask(up *upstream, m *wire.Message, allowed bool) {
	if !allowed {
		var content struct{ Prompt string }
		if err := m.Decode(&content); err != nil {
			c.r.o.Log(err.Error())
		}
		c.asked = content.Prompt
		c.job.cancel(errAsked)
		return
	}
	question := &question{up, newID()}
	c.r.mu.Lock()
	c.r.asking = question
	c.r.mu.Unlock()
	c.r.send(wire.Stdin, &wire.Message{
		Identities: c.job.Identities, Header: wire.Header{Type: wire.InputRequest, ID: question.id}, Parent: c.job.Header,
		Content: m.Content,
	})
}

// listenInput passes on what users answer when they are asked.
func (r *relay) listenInput(ctx context.Context) {
	for {
		m, err := r.srv.Receive(ctx, wire.Stdin)
		if err != nil {
			return
		}
		if m.Header.Type != "input_reply" {
			r.o.Log(fmt.Sprintf("ignored a message of type %q on %s", m.Header.Type, wire.Stdin))
			continue
		}
		up := r.answered(m.Parent.ID)
		if up == nil {
			continue // the cell has ended in the meantime
		}
		// The cell kernel needs a value that is text.
		var content struct {
			Value string `json:"value"`
		}
		if err := m.Decode(&content); err != nil {
			r.o.Log(err.Error())
		}
		_, err = up.kernel.Client().Send(wire.Stdin, &wire.Message{
			Header:  wire.Header{Type: "input_reply"},
			Content: r.encode(map[string]string{"status": "ok", "value": content.Value}),
		})
		if err != nil {
			r.o.Log(err.Error()) // a broken connection shows itself elsewhere
		}
	}
}

// answered returns the cell kernel that waits for an answer to the question with
// the ID, or nil. Many clients leave the ID out; then the last question is meant.
func (r *relay) answered(id string) *upstream {
	r.mu.Lock()
	defer r.mu.Unlock()
	q := r.asking
	if q == nil || id != "" && id != q.id {
		return nil
	}
	r.asking = nil
	return q.up
}
