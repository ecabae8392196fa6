// Package relay is the Railbook kernel as Jupyter sees it. It serves the five
// sockets of a connection with the Jupyter messaging protocol, version 5.4, and
// runs cells on a cell kernel behind it, which speaks that protocol less well.
//
// [Serve] runs a kernel until it is told to shut down, [Start] one within this
// process. What makes it Railbook's kernel is handed in by [Options]: how to
// start the cell kernel, how cells are rewritten ([Cells]), completion and help
// ([Assist]), and what answers live controls ([Target]).
//
// Whatever happens to a cell, the relay lives on: it answers every request on
// the socket the request came from, each between its own busy and idle, also
// while a cell runs; a cell kernel that dies or does not heed an interrupt is
// replaced by another.
package relay

import (
	"context"
	"encoding/json"
	"errors"
	"os"
	"sync"
	"time"

	"example.com/railbook/kernel/relay/internal/history"
	"example.com/railbook/kernel/wire"
)

// Options says what a kernel consists of. Only Start is required.
type Options struct {
	// Start starts a cell kernel. It is called at once, and again when a cell
	// kernel has died and another is wanted; never twice at the same time. Lines
	// passed to progress are shown in the cell that waits for the start.
	Start func(ctx context.Context, progress func(line string)) (Kernel, error)
	// Cells prepares what is run. If nil, cells are run as they are.
	Cells Cells
	// Assist completes and inspects. If nil, front ends are told so once.
	Assist Assist
	// Targets are the comms that front ends may open, by target name.
	Targets map[string]Target
	// Folder is where [Start] keeps its sockets, in a folder of their own; "" stands for
	// that of temporary files.
	Folder string
	// Enrich adds further representations to what is displayed, by a MIME type that
	// it has to have already. Its error is logged, and the display left as it was.
	Enrich map[string]func(data map[string]json.RawMessage) error
	// About is what the kernel says of itself.
	About About
	// Interrupts has the running cell interrupted with each value received, as
	// an interrupt_request does. It may be nil.
	Interrupts <-chan os.Signal
	// Log is called, from any goroutine, with lines for whoever looks after the
	// kernel: messages dropped, parts that failed. It may be nil.
	Log func(line string)
}

// relay is a kernel that is being served.
type relay struct {
	o       Options
	srv     *wire.Server
	cells   Cells
	kernels *kernels
	comms   *comms
	queue   queue
	assists chan request

	stop     chan struct{} // closed when the kernel is to end
	stopOnce sync.Once
	done     chan struct{} // closed when no cell is run any more
	ended    chan struct{} // closed when a shutdown_request has been answered
	endOnce  sync.Once
	quitting sync.WaitGroup // answers to shutdown_requests

	mu      sync.Mutex
	count   int // the execution counter
	history history.Store
	asking  *question // that waits for an answer, or nil

	noAssist struct { // whether it has been told that there is no Assist
		sync.Mutex
		complete, inspect bool
	}
}

var errNoStart = errors.New("relay: Options.Start is nil, want a way to start a cell kernel")

// Serve is a kernel with the connection's sockets. It returns nil once a client
// has shut it down, or, when ctx ends, its cause; in both cases nothing of the
// cell kernel and its programs is left. Another error says that the sockets
// cannot be opened.
//
// A request to shut down in order to restart is answered and ends Serve too:
// whoever called it starts it again.
func Serve(ctx context.Context, conn wire.Connection, o Options) error {
	if o.Start == nil {
		return errNoStart
	}
	if o.Log == nil {
		o.Log = func(string) {}
	}
	srv, err := wire.Listen(conn, o.Log)
	if err != nil {
		return err
	}
	return newRelay(srv, o).serve(ctx)
}

func newRelay(srv *wire.Server, o Options) *relay {
	r := &relay{
		o: o, srv: srv, cells: o.Cells,
		queue:   queue{added: make(chan struct{}, 1)},
		assists: make(chan request, 64),
		stop:    make(chan struct{}),
		done:    make(chan struct{}),
		ended:   make(chan struct{}),
	}
	if r.cells == nil {
		r.cells = plain{}
	}
	r.comms = newComms(r)
	r.kernels = newKernels(o.Start, r.comms, o.Log)
	return r
}

func (r *relay) serve(ctx context.Context) error {
	life, cancel := context.WithCancel(context.WithoutCancel(ctx))
	defer cancel()
	var loops sync.WaitGroup
	r.publish(wire.Header{}, wire.Status, status{"starting"})
	r.kernels.begin()
	loops.Go(func() { r.listen(life, wire.Shell) })
	loops.Go(func() { r.listen(life, wire.Control) })
	loops.Go(func() { r.listenInput(life) })
	loops.Go(func() { r.assistLoop(life) })
	loops.Go(func() { r.interruptLoop(life) })
	go func() {
		defer close(r.done)
		r.executeLoop()
	}()

	var cause error
	select {
	case <-r.ended:
	case <-ctx.Done():
		cause = context.Cause(ctx)
	}
	r.beginStop()
	<-r.done
	r.kernels.close()
	cancel()
	loops.Wait()
	r.quitting.Wait()
	r.comms.close()
	r.srv.Close()
	return cause
}

// beginStop breaks off what is being done.
func (r *relay) beginStop() {
	r.stopOnce.Do(func() {
		r.queue.close(errStopped)
		close(r.stop)
		go r.kernels.close()
	})
}

// shutdownLimit is how long the answer to a shutdown_request waits for the end
// of the cell kernel. Clients kill a kernel that takes long.
const shutdownLimit = 2 * time.Second

// shutdown answers a shutdown_request once all is over.
func (r *relay) shutdown(req request) {
	var content struct {
		Restart bool `json:"restart"`
	}
	err := req.Decode(&content) // what is wrong with it does not keep us running
	if err != nil {
		r.o.Log(err.Error())
	}
	r.status(req, "busy")
	r.beginStop()
	over := make(chan struct{})
	go func() {
		<-r.done
		r.kernels.close()
		close(over)
	}()
	select {
	case <-over:
	case <-time.After(shutdownLimit):
	}
	reply := map[string]any{"status": "ok", "restart": content.Restart}
	r.reply(req, "shutdown_reply", reply)
	r.publish(req.Header, "shutdown_reply", reply) // for the other clients
	r.status(req, "idle")
	r.endOnce.Do(func() { close(r.ended) })
}
