package wire

import (
	"context"
	"fmt"
	"time"
)

// Request is the content of an execute_request. Input is never allowed: there
// is nobody to ask.
type Request struct {
	Code            string            `json:"code"`
	Silent          bool              `json:"silent"`
	StoreHistory    bool              `json:"store_history"`
	UserExpressions map[string]string `json:"user_expressions"`
	AllowStdin      bool              `json:"allow_stdin"`
	StopOnError     bool              `json:"stop_on_error"`
}

// NewRequest returns the request to run code as a cell that counts, or, if
// silent, as one that neither counts nor is shown.
func NewRequest(code string, silent bool) Request {
	return Request{
		Code: code, Silent: silent, StoreHistory: !silent,
		UserExpressions: map[string]string{}, StopOnError: true,
	}
}

// Reply is the content of an execute_reply.
type Reply struct {
	Status         string   `json:"status"` // "ok", "error" or "aborted"
	ExecutionCount int      `json:"execution_count"`
	EName          string   `json:"ename"`
	EValue         string   `json:"evalue"`
	Traceback      []string `json:"traceback"`
}

// Handler receives what happens during a [Client.Execute]: every message of
// the output socket, whichever request it belongs to, the reply, and requests
// for input. It runs in the goroutine of Execute.
type Handler func(*Message)

// Execute sends the request, calls sent with its message ID, and returns when
// both its reply and the kernel's return to idle have come, in whichever order,
// or when ctx ends, whose cause is then in the error.
//
// Outputs belong to the request whose ID is their parent's. Those of earlier
// requests that come late are passed to handle too.
func (c *Client) Execute(ctx context.Context, req Request, sent func(id string), handle Handler) (Reply, error) {
	var reply Reply
	id, err := c.send(Shell, ExecuteRequest, req)
	if err != nil {
		return reply, err
	}
	sent(id)
	replied, idle := false, false
	for !replied || !idle {
		select {
		case r := <-c.replies:
			if r.err != nil {
				return reply, r.err
			}
			if r.msg.Parent.ID != id {
				continue
			}
			handle(r.msg)
			if r.msg.Header.Type == ExecuteReply {
				if err := r.msg.Decode(&reply); err != nil {
					return reply, err
				}
				replied = true
			}
		case r := <-c.outputs:
			if r.err != nil {
				return reply, r.err
			}
			handle(r.msg)
			idle = idle || r.msg.Parent.ID == id && isIdle(r.msg)
		case <-ctx.Done():
			return reply, fmt.Errorf("waiting for the cell to finish: %w", context.Cause(ctx))
		}
	}
	return reply, nil
}

// Linger passes output messages to handle until none has come for the length of
// quiet, or ctx ends, or the connection breaks. It is for kernels that still
// send outputs after they have said they are idle.
func (c *Client) Linger(ctx context.Context, quiet time.Duration, handle Handler) {
	timer := time.NewTimer(quiet)
	defer timer.Stop()
	for {
		select {
		case r := <-c.outputs:
			if r.err != nil {
				return
			}
			handle(r.msg)
			timer.Reset(quiet)
		case <-timer.C:
			return
		case <-ctx.Done():
			return
		}
	}
}

func isIdle(m *Message) bool {
	var content struct {
		State string `json:"execution_state"`
	}
	return m.Header.Type == Status && m.Decode(&content) == nil && content.State == "idle"
}
