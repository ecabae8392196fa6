package browser

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"sync"
)

// pipe carries the debugging protocol: JSON messages that end in a zero byte, to file
// descriptor 3 of the browser and from its 4.
type pipe struct {
	to, from *os.File
	event    func(method string, params json.RawMessage)

	mu    sync.Mutex
	last  int
	calls map[int]chan message
	ended bool
}

type message struct {
	ID        int             `json:"id,omitempty"`
	SessionID string          `json:"sessionId,omitempty"`
	Method    string          `json:"method,omitempty"`
	Params    json.RawMessage `json:"params,omitempty"`
	Result    json.RawMessage `json:"result,omitempty"`
	Error     *struct {
		Message string `json:"message"`
	} `json:"error,omitempty"`
}

// newPipe starts the command with the pipe to it. Events come one after the other.
func newPipe(cmd *exec.Cmd, event func(string, json.RawMessage)) (*pipe, error) {
	theirIn, to, err := os.Pipe()
	if err != nil {
		return nil, err
	}
	from, theirOut, err := os.Pipe()
	if err != nil {
		return nil, err
	}
	cmd.ExtraFiles = []*os.File{theirIn, theirOut}
	if err := cmd.Start(); err != nil {
		return nil, err
	}
	theirIn.Close()
	theirOut.Close()
	p := &pipe{to: to, from: from, event: event, calls: map[int]chan message{}}
	go p.read()
	return p, nil
}

func (p *pipe) read() {
	r := bufio.NewReader(p.from)
	for {
		data, err := r.ReadBytes(0)
		if err != nil {
			break
		}
		var m message
		if json.Unmarshal(data[:len(data)-1], &m) != nil {
			continue
		}
		if m.ID == 0 {
			p.event(m.Method, m.Params)
			continue
		}
		p.mu.Lock()
		answer := p.calls[m.ID]
		delete(p.calls, m.ID)
		p.mu.Unlock()
		if answer != nil {
			answer <- m
		}
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.ended = true
	for id, answer := range p.calls {
		close(answer)
		delete(p.calls, id)
	}
}

// call calls a method and waits for its result.
func (p *pipe) call(ctx context.Context, session, method string, params, result any) error {
	raw, err := json.Marshal(params)
	if err != nil {
		return err
	}
	if params == nil {
		raw = json.RawMessage("{}")
	}
	answer := make(chan message, 1)
	p.mu.Lock()
	if p.ended {
		p.mu.Unlock()
		return errEnded
	}
	p.last++
	id := p.last
	p.calls[id] = answer
	p.mu.Unlock()
	data, err := json.Marshal(message{ID: id, SessionID: session, Method: method, Params: raw})
	if err != nil {
		return err
	}
	if _, err := p.to.Write(append(data, 0)); err != nil {
		return err
	}
	select {
	case m, ok := <-answer:
		switch {
		case !ok:
			return errEnded
		case m.Error != nil:
			return fmt.Errorf("%s: %s", method, m.Error.Message)
		case result == nil:
			return nil
		}
		return json.Unmarshal(m.Result, result)
	case <-ctx.Done():
		return context.Cause(ctx)
	}
}

func (p *pipe) close() {
	p.to.Close()
	p.from.Close()
}
