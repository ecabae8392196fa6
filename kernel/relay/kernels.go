package relay

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"fmt"
	"strings"
	"sync"

	"example.com/railbook/kernel/wire"
)

// upstream is a cell kernel that runs, and the traffic with it.
type upstream struct {
	kernel Kernel
	lost   chan struct{} // closed when a connection to it breaks
	cancel context.CancelFunc
	// used is whether a cell has been run on it; for the executing goroutine.
	used bool

	mu    sync.Mutex
	tasks map[string]*task // by the ID of their execute_request
}

// arrival is a message from a cell kernel.
type arrival struct {
	from wire.Channel
	msg  *wire.Message
}

// task is code that an upstream runs.
type task struct {
	up       *upstream
	id       string
	arrivals chan arrival
	over     chan struct{} // closed when nobody takes arrivals any more
}

// newUpstream listens to the kernel. What belongs to no task goes to stray.
func newUpstream(k Kernel, stray func(*wire.Message)) *upstream {
	ctx, cancel := context.WithCancel(context.Background())
	u := &upstream{kernel: k, lost: make(chan struct{}), cancel: cancel, tasks: map[string]*task{}}
	go u.listen(ctx, stray)
	return u
}

func (u *upstream) listen(ctx context.Context, stray func(*wire.Message)) {
	for broken := 0; broken <= int(wire.IOPub); {
		ch, m, err := u.kernel.Client().Receive(ctx)
		if ctx.Err() != nil {
			return
		}
		if err != nil {
			if broken++; broken == 1 {
				close(u.lost)
			}
			continue
		}
		u.mu.Lock()
		t := u.tasks[m.Parent.ID]
		u.mu.Unlock()
		if t == nil {
			stray(m)
			continue
		}
		select {
		case t.arrivals <- arrival{ch, m}:
		case <-t.over:
		case <-ctx.Done():
			return
		}
	}
}

// begin has the kernel run code.
func (u *upstream) begin(req wire.Request) (*task, error) {
	content, err := json.Marshal(req)
	if err != nil {
		return nil, err
	}
	t := &task{up: u, id: newID(), arrivals: make(chan arrival, 256), over: make(chan struct{})}
	u.mu.Lock()
	u.tasks[t.id] = t
	u.mu.Unlock()
	_, err = u.kernel.Client().Send(wire.Shell, &wire.Message{
		Header: wire.Header{ID: t.id, Type: wire.ExecuteRequest}, Content: content,
	})
	if err != nil {
		t.end()
		return nil, err
	}
	return t, nil
}

// newID returns an ID for a message whose ID must be known before it is sent.
func newID() string { return rand.Text() }

// end says that nobody waits for the task any more.
func (t *task) end() {
	t.up.mu.Lock()
	delete(t.up.tasks, t.id)
	t.up.mu.Unlock()
	close(t.over)
}

// dead reports whether the kernel has ended or cannot be reached.
func (u *upstream) dead() bool {
	select {
	case <-u.kernel.Died():
		return true
	case <-u.lost:
		return true
	default:
		return false
	}
}

// lastWords says in a line how the kernel, which is dead, ended.
func (u *upstream) lastWords() string {
	select {
	case <-u.kernel.Died():
		return strings.TrimRight(firstLine(u.kernel.DeathError().Error()), ".:;")
	default:
		return "the connection to it broke"
	}
}

func (u *upstream) close(log func(string)) {
	u.cancel()
	if err := u.kernel.Close(); err != nil {
		log(fmt.Sprintf("ending the cell kernel: %v", err))
	}
}

// kernels starts cell kernels, one after the other as they die.
type kernels struct {
	startKernel func(context.Context, func(string)) (Kernel, error)
	comms       *comms
	log         func(string)
	ctx         context.Context // ends a start
	cancel      context.CancelFunc

	mu      sync.Mutex
	current *upstream
	pending *start // while one is being started
	closed  bool
	closing sync.WaitGroup // those that are being ended
}

// start is a cell kernel being started.
type start struct {
	done chan struct{}
	up   *upstream // set before done is closed, if err is nil
	err  error

	mu    sync.Mutex
	lines []string // of progress, not yet taken
	more  chan struct{}
}

func newKernels(startKernel func(context.Context, func(string)) (Kernel, error), c *comms, log func(string)) *kernels {
	ctx, cancel := context.WithCancel(context.Background())
	return &kernels{startKernel: startKernel, comms: c, log: log, ctx: ctx, cancel: cancel}
}

// begin starts a kernel if none runs or is being started.
func (k *kernels) begin() {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.beginLocked()
}

func (k *kernels) beginLocked() {
	if k.closed || k.current != nil || k.pending != nil {
		return
	}
	s := &start{done: make(chan struct{}), more: make(chan struct{}, 1)}
	k.pending = s
	k.closing.Go(func() {
		defer close(s.done)
		kernel, err := k.startKernel(k.ctx, s.progress)
		k.mu.Lock()
		defer k.mu.Unlock()
		k.pending = nil
		if err != nil && k.closed {
			err = errStopped
		}
		if err != nil {
			s.err = err
			k.log(fmt.Sprintf("the cell kernel did not start: %v", err))
			return
		}
		s.up = newUpstream(kernel, k.comms.fromKernel)
		if k.closed {
			s.err = errStopped
			k.endLocked(s.up)
			return
		}
		k.current = s.up
	})
}

func (s *start) progress(line string) {
	s.mu.Lock()
	s.lines = append(s.lines, line)
	s.mu.Unlock()
	select {
	case s.more <- struct{}{}:
	default:
	}
}

func (s *start) take() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	lines := s.lines
	s.lines = nil
	return lines
}

// alive returns the kernel that runs, or nil.
func (k *kernels) alive() *upstream {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.current == nil || k.current.dead() {
		return nil
	}
	return k.current
}

// get returns a kernel that runs, starting one if need be. When ctx ends before
// that, its cause is the error. Progress is called by this goroutine.
func (k *kernels) get(ctx context.Context, progress func(string)) (*upstream, error) {
	k.mu.Lock()
	died := k.current
	if died != nil && died.dead() {
		k.endLocked(died)
	} else if died != nil {
		k.mu.Unlock()
		return died, nil
	}
	k.beginLocked()
	s := k.pending
	k.mu.Unlock()
	if s == nil {
		return nil, errStopped
	}
	if died != nil && died.used {
		progress("The cell kernel has ended since the last cell: " + died.lastWords() +
			". This cell is run by a new one, which does not know what earlier cells declared.")
	}
	for {
		for _, line := range s.take() {
			progress(line)
		}
		select {
		case <-s.more:
		case <-s.done:
			return s.up, s.err
		case <-ctx.Done():
			return nil, context.Cause(ctx)
		}
	}
}

// discard ends the kernel, which nothing more is to be expected of, and starts
// another.
func (k *kernels) discard(u *upstream) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.current == u {
		k.endLocked(u)
		k.beginLocked()
	}
}

func (k *kernels) endLocked(u *upstream) {
	if k.current == u {
		k.current = nil
	}
	k.closing.Go(func() {
		k.comms.kernelGone()
		u.close(k.log)
	})
}

// close ends all kernels and waits until they have ended. No more are started.
func (k *kernels) close() {
	k.cancel()
	k.mu.Lock()
	k.closed = true
	if k.current != nil {
		k.endLocked(k.current)
	}
	k.mu.Unlock()
	k.closing.Wait()
}
