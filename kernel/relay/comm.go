package relay

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"runtime/debug"
	"sync"

	"example.com/railbook/kernel/wire"
)

// Comm is a line between a [Target] and a part of a front end. Receive is for
// one goroutine at a time, the other methods for any.
type Comm struct {
	comms      *comms
	id, target string
	opening    CommMessage
	ctx        context.Context
	cancel     context.CancelFunc

	// For the receiving goroutine.
	handling *request // the message at hand, for which the kernel is busy

	mu      sync.Mutex
	waiting []commRequest
	parent  wire.Header   // of what is sent
	hungUp  bool          // the front end has closed the comm
	more    chan struct{} // holds a value after something has changed
}

// commRequest is a comm_msg and what it says.
type commRequest struct {
	req request
	msg CommMessage
}

// ID returns what tells the comm from all others.
func (c *Comm) ID() string { return c.id }

// Opening returns the message that opened the comm.
func (c *Comm) Opening() CommMessage { return c.opening }

// Context returns a context that ends when the comm is closed by the front end
// or the kernel ends.
func (c *Comm) Context() context.Context { return c.ctx }

// Receive returns the next message of the front end, waiting for it. The error
// is [io.EOF] once the front end has closed the comm, and the cause of the end
// of the comm's context once the kernel ends.
//
// Front ends hold back messages while one is being handled: the kernel tells
// them so from the return of Receive to its next call.
func (c *Comm) Receive() (CommMessage, error) {
	c.handled()
	for {
		c.mu.Lock()
		if len(c.waiting) > 0 {
			next := c.waiting[0]
			c.waiting = c.waiting[1:]
			c.parent = next.req.Header
			c.mu.Unlock()
			c.handling = &next.req
			c.comms.r.status(next.req, "busy")
			return next.msg, nil
		}
		hungUp := c.hungUp
		c.mu.Unlock()
		if hungUp {
			return CommMessage{}, io.EOF
		}
		select {
		case <-c.more:
		case <-c.comms.ctx.Done():
			return CommMessage{}, context.Cause(c.comms.ctx)
		}
	}
}

// handled says that the message at hand, if there is one, has been handled.
func (c *Comm) handled() {
	if c.handling != nil {
		c.comms.r.status(*c.handling, "idle")
		c.handling = nil
	}
}

// Waiting returns how many messages wait to be received. A target that is behind
// can skip those that newer ones make pointless.
func (c *Comm) Waiting() int {
	c.mu.Lock()
	defer c.mu.Unlock()
	return len(c.waiting)
}

// Send sends data, of which encoding/json makes an object, to the front end. The
// error says that data cannot be encoded so.
func (c *Comm) Send(data any, buffers ...[]byte) error {
	raw, err := json.Marshal(data)
	if err != nil {
		return fmt.Errorf("message for comm target %s: %w", c.target, err)
	}
	c.send("comm_msg", raw, buffers)
	return nil
}

func (c *Comm) send(typ string, data json.RawMessage, buffers [][]byte) {
	c.mu.Lock()
	parent := c.parent
	c.mu.Unlock()
	r := c.comms.r
	r.send(wire.IOPub, &wire.Message{
		Header: wire.Header{Type: typ}, Parent: parent, Buffers: buffers,
		Content: r.encode(map[string]any{"comm_id": c.id, "data": data}),
	})
}

// deliver queues a message for the target.
func (c *Comm) deliver(req request, msg CommMessage) {
	c.mu.Lock()
	c.waiting = append(c.waiting, commRequest{req, msg})
	c.mu.Unlock()
	c.signal()
}

// hangUp notes that the front end has closed the comm.
func (c *Comm) hangUp() {
	c.mu.Lock()
	c.hungUp = true
	c.mu.Unlock()
	c.cancel()
	c.signal()
}

func (c *Comm) signal() {
	select {
	case c.more <- struct{}{}:
	default:
	}
}

// serve runs the target for the comm that the request has opened.
func (c *Comm) serve(req request, target Target) {
	r := c.comms.r
	r.status(req, "busy")
	c.handling = &req
	defer func() {
		if p := recover(); p != nil {
			r.o.Log(fmt.Sprintf("panic in comm target %s: %v\n%s", c.target, p, debug.Stack()))
		}
		c.handled()
		c.comms.remove(c.id)
		c.cancel()
		c.mu.Lock()
		hungUp, left := c.hungUp, c.waiting
		c.hungUp, c.waiting = true, nil
		c.mu.Unlock()
		if !hungUp {
			c.send("comm_close", json.RawMessage("{}"), nil)
		}
		for _, l := range left {
			r.pass(l.req, nil)
		}
	}()
	target(c)
}
