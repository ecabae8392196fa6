package relay

import (
	"encoding/json"
	"fmt"

	"example.com/railbook/kernel/wire"
)

// request is a message from a client.
type request struct {
	*wire.Message
	from wire.Channel
}

// status is the content of a status message.
type status struct {
	State string `json:"execution_state"`
}

// errorContent is the content of a reply with an error and, without the status,
// of an error message.
type errorContent struct {
	Status    string   `json:"status,omitempty"`
	Count     *int     `json:"execution_count,omitempty"`
	Name      string   `json:"ename"`
	Value     string   `json:"evalue"`
	Traceback []string `json:"traceback"`
}

func errorOf(e *Explanation) errorContent {
	return errorContent{Name: e.Name, Value: e.Value, Traceback: e.traceback()}
}

// reply answers the request on the socket it came from.
func (r *relay) reply(req request, typ string, content any) { r.replyWith(req, typ, content, nil) }

func (r *relay) replyWith(req request, typ string, content, metadata any) {
	r.send(req.from, &wire.Message{
		Identities: req.Identities, Header: wire.Header{Type: typ}, Parent: req.Header,
		Content: r.encode(content), Metadata: r.encode(metadata),
	})
}

// publish sends a message to all clients.
func (r *relay) publish(parent wire.Header, typ string, content any) {
	r.send(wire.IOPub, &wire.Message{Header: wire.Header{Type: typ}, Parent: parent, Content: r.encode(content)})
}

func (r *relay) status(req request, state string) {
	r.publish(req.Header, wire.Status, status{state})
}

func (r *relay) send(ch wire.Channel, m *wire.Message) {
	if err := r.srv.Send(ch, m); err != nil {
		r.o.Log(fmt.Sprintf("sending %s: %v", m.Header.Type, err))
	}
}

// encode returns v as JSON. It must be possible: what comes from elsewhere is
// JSON already.
func (r *relay) encode(v any) json.RawMessage {
	switch v := v.(type) {
	case nil:
		return nil
	case json.RawMessage:
		return v
	}
	raw, err := json.Marshal(v)
	if err != nil {
		r.o.Log(fmt.Sprintf("a message is lost: %v", err))
		return nil
	}
	return raw
}
