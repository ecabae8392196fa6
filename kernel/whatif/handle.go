package whatif

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// Request asks for the state at some settings.
type Request struct {
	ID       int64    `json:"id"` // that of the reply
	Settings Settings `json:"settings"`
}

// Reply answers a [Request]: with a state, or with what is wrong with the request.
type Reply struct {
	ID    int64  `json:"id"`
	State *State `json:"state,omitempty"`
	Error string `json:"error,omitempty"`
}

// maxRequest is the largest request that is read; a real one has some hundred bytes.
const maxRequest = 1 << 12

// decodeRequest reads a request. It wants one JSON object and no fields that it does not
// know.
func decodeRequest(data []byte) (Request, error) {
	if len(data) > maxRequest {
		return Request{}, fmt.Errorf("request of %d bytes; want at most %d", len(data), maxRequest)
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	var r Request
	if err := dec.Decode(&r); err != nil {
		return Request{}, fmt.Errorf(`request not understood: %w; want for example {"id": 1, "settings": {"stops": {"boost": 12}}}`, err)
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return Request{}, errors.New("request not understood: something stands behind it; want one JSON object")
	}
	return r, nil
}

// Handle answers a [Request] in JSON with a [Reply] in JSON, whatever the request is.
func (p *Panel) Handle(request []byte) (reply []byte) {
	r, err := decodeRequest(request)
	if err != nil { // tell at least whose fault it is
		_ = json.Unmarshal(request, &struct{ ID *int64 }{&r.ID})
	}
	answer := Reply{ID: r.ID}
	if err == nil {
		var st State
		if st, err = p.State(r.Settings); err == nil {
			answer.State = &st
		}
	}
	if err != nil {
		answer.Error = err.Error()
	}
	reply, err = json.Marshal(answer)
	if err != nil { // a number that is none, which no assessment has
		reply, _ = json.Marshal(Reply{ID: r.ID, Error: "the answer cannot be written: " + err.Error()})
	}
	return reply
}

// Refusal answers a [Request] where there is no panel to ask, with the reason.
func Refusal(request []byte, why error) (reply []byte) {
	var r struct{ ID int64 }
	_ = json.Unmarshal(request, &r) // whose fault it is is told in any case
	reply, _ = json.Marshal(Reply{ID: r.ID, Error: why.Error()})
	return reply
}
