package relay

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"sync"
	"time"

	"example.com/railbook/kernel/wire"
)

// widgetTarget is the target under which the cell kernel's own widgets open a
// comm, of which it has one at most.
const widgetTarget = "gonb_comm"

// comms are the comms that are open: those of our targets, and those of the
// cell kernel, whose messages are passed on in both directions.
type comms struct {
	r        *relay
	ctx      context.Context // ends with the relay
	cancel   context.CancelCauseFunc
	handlers sync.WaitGroup

	mu    sync.Mutex
	ours  map[string]*Comm
	below map[string]string // target names of the cell kernel's
	// What of theirs was passed on, by the ID it got, so that what the cell
	// kernel says to it has the right parent. Only the last ones are kept.
	passed map[string]wire.Header
	order  []string
}

// passedLimit is how many messages passed on are remembered.
const passedLimit = 256

func newComms(r *relay) *comms {
	ctx, cancel := context.WithCancelCause(context.Background())
	return &comms{
		r: r, ctx: ctx, cancel: cancel,
		ours: map[string]*Comm{}, below: map[string]string{}, passed: map[string]wire.Header{},
	}
}

// commContent is the content of comm_open, comm_msg and comm_close.
type commContent struct {
	ID     string          `json:"comm_id"`
	Target string          `json:"target_name"`
	Data   json.RawMessage `json:"data"`
}

// fromClient handles a comm message of a client.
func (cs *comms) fromClient(req request) {
	var content commContent
	err := req.Decode(&content)
	if err == nil && content.ID == "" {
		err = fmt.Errorf("content of %s: comm_id is missing", req.Header.Type)
	}
	if err != nil {
		cs.r.pass(req, func() { cs.r.o.Log(err.Error()) })
		return
	}
	if len(content.Data) == 0 {
		content.Data = json.RawMessage("{}")
	}
	switch req.Header.Type {
	case "comm_open":
		cs.open(req, content)
	case "comm_msg":
		cs.message(req, content)
	default:
		cs.hangUp(req, content)
	}
}

// pass handles a request that has no reply and takes no time.
func (r *relay) pass(req request, do func()) {
	r.status(req, "busy")
	if do != nil {
		do()
	}
	r.status(req, "idle")
}

func (cs *comms) open(req request, content commContent) {
	target := cs.r.o.Targets[content.Target]
	switch {
	case target != nil:
		ctx, cancel := context.WithCancel(cs.ctx)
		c := &Comm{
			comms: cs, id: content.ID, target: content.Target, ctx: ctx, cancel: cancel,
			opening: CommMessage{content.Data, req.Metadata, req.Buffers},
			parent:  req.Header, more: make(chan struct{}, 1),
		}
		cs.mu.Lock()
		old := cs.ours[c.id]
		cs.ours[c.id] = c
		cs.mu.Unlock()
		if old != nil {
			old.hangUp()
		}
		cs.handlers.Go(func() { c.serve(req, target) })
	case content.Target == widgetTarget && cs.r.kernels.alive() != nil:
		cs.mu.Lock()
		cs.below[content.ID] = content.Target
		cs.mu.Unlock()
		cs.r.pass(req, func() { cs.forward(req) })
	default:
		cs.r.pass(req, func() { cs.r.publishClose(req.Header, content.ID) })
	}
}

func (r *relay) publishClose(parent wire.Header, id string) {
	r.publish(parent, "comm_close", map[string]any{"comm_id": id, "data": map[string]any{}})
}

func (cs *comms) message(req request, content commContent) {
	ours, below := cs.find(content.ID)
	switch {
	case ours != nil:
		ours.deliver(req, CommMessage{content.Data, req.Metadata, req.Buffers})
	case below:
		cs.r.pass(req, func() { cs.forward(req) })
	default:
		cs.r.pass(req, func() { cs.r.o.Log(fmt.Sprintf("a message for comm %q, which is not open", content.ID)) })
	}
}

func (cs *comms) hangUp(req request, content commContent) {
	ours, below := cs.find(content.ID)
	cs.remove(content.ID)
	cs.r.pass(req, func() {
		switch {
		case ours != nil:
			ours.hangUp()
		case below:
			cs.forward(req)
		}
	})
}

func (cs *comms) find(id string) (ours *Comm, below bool) {
	cs.mu.Lock()
	defer cs.mu.Unlock()
	_, below = cs.below[id]
	return cs.ours[id], below
}

// remove forgets the comm.
func (cs *comms) remove(id string) {
	cs.mu.Lock()
	defer cs.mu.Unlock()
	delete(cs.ours, id)
	delete(cs.below, id)
}

// forward sends the cell kernel a client's message.
func (cs *comms) forward(req request) {
	up := cs.r.kernels.alive()
	if up == nil {
		return
	}
	m := &wire.Message{
		Header: wire.Header{ID: newID(), Type: req.Header.Type}, Metadata: req.Metadata,
		Content: req.Content, Buffers: req.Buffers,
	}
	cs.mu.Lock()
	cs.passed[m.Header.ID] = req.Header
	cs.order = append(cs.order, m.Header.ID)
	if len(cs.order) > passedLimit {
		delete(cs.passed, cs.order[0])
		cs.order = slices.Delete(cs.order, 0, 1)
	}
	cs.mu.Unlock()
	if _, err := up.kernel.Client().Send(wire.Shell, m); err != nil {
		cs.r.o.Log(err.Error())
	}
}

// fromKernel passes on what the cell kernel sends that belongs to no cell: what
// it answers to a message of a comm, such as a display that the widget's script
// has become superfluous in.
func (cs *comms) fromKernel(m *wire.Message) {
	cs.mu.Lock()
	parent, known := cs.passed[m.Parent.ID]
	cs.mu.Unlock()
	if !known || m.Header.Type == wire.Status {
		return
	}
	out := &wire.Message{
		Header: wire.Header{Type: m.Header.Type}, Parent: parent,
		Metadata: m.Metadata, Content: m.Content, Buffers: m.Buffers,
	}
	cs.note(out)
	cs.r.send(wire.IOPub, out)
}

// note notes which comms the cell kernel opens and closes.
func (cs *comms) note(m *wire.Message) {
	if m.Header.Type != "comm_open" && m.Header.Type != "comm_close" {
		return
	}
	var content commContent
	if m.Decode(&content) != nil || content.ID == "" {
		return
	}
	cs.mu.Lock()
	defer cs.mu.Unlock()
	if m.Header.Type == "comm_open" {
		cs.below[content.ID] = content.Target
	} else {
		delete(cs.below, content.ID)
	}
}

// kernelGone closes the comms of the cell kernel, which has ended.
func (cs *comms) kernelGone() {
	cs.mu.Lock()
	below := cs.below
	cs.below = map[string]string{}
	cs.mu.Unlock()
	for id := range below {
		cs.r.publishClose(wire.Header{}, id)
	}
}

func (r *relay) commInfo(req request) (any, error) {
	var content struct {
		Target *string `json:"target_name"`
	}
	if err := req.Decode(&content); err != nil {
		return nil, err
	}
	type info struct {
		Target string `json:"target_name"`
	}
	open := map[string]info{}
	add := func(id, target string) {
		if content.Target == nil || *content.Target == target {
			open[id] = info{target}
		}
	}
	r.comms.mu.Lock()
	defer r.comms.mu.Unlock()
	for id, c := range r.comms.ours {
		add(id, c.target)
	}
	for id, target := range r.comms.below {
		add(id, target)
	}
	return map[string]any{"status": "ok", "comms": open}, nil
}

// handlerLimit is how long targets may take to notice that the kernel ends.
const handlerLimit = time.Second

// close ends the targets.
func (cs *comms) close() {
	cs.cancel(errStopped)
	over := make(chan struct{})
	go func() {
		cs.handlers.Wait()
		close(over)
	}()
	select {
	case <-over:
	case <-time.After(handlerLimit):
		cs.r.o.Log("a comm target goes on after the kernel's end")
	}
}
