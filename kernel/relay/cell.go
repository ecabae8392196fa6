package relay

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"strings"
	"time"

	"example.com/railbook/kernel/cellio"
	"example.com/railbook/kernel/wire"
)

// cell is a job being run.
type cell struct {
	r     *relay
	job   *job
	count int
	code  string // as it is run
	out   *output
	asked string // the prompt that nobody may answer
}

func newCell(r *relay, j *job, count int) *cell {
	c := &cell{r: r, job: j, count: count, code: *j.Code}
	c.out = newOutput(count, r.o.Log, func(typ string, content, metadata any, buffers [][]byte) {
		if j.Silent && !strings.HasPrefix(typ, "comm_") {
			return
		}
		m := &wire.Message{
			Header: wire.Header{Type: typ}, Parent: j.Header,
			Content: r.encode(r.enriched(typ, content)), Metadata: r.encode(metadata), Buffers: buffers,
		}
		r.comms.note(m)
		r.send(wire.IOPub, m)
	})
	return c
}

// run runs the cell and returns how it failed, or nil.
func (c *cell) run() (failed *Explanation) {
	defer func() { c.out.settle(time.Now()) }()
	defer c.recoverTo(&failed)
	up, failed := c.kernel()
	if failed != nil {
		return failed
	}
	prepared, err := c.r.cells.Rewrite(*c.job.Code)
	if err != nil {
		return explanationOf(err)
	}
	c.code = prepared.Code
	failure := c.runOn(up, prepared.Code, c.out, orTrue(c.job.AllowStdin))
	if failure != nil {
		failed = explain(prepared, *failure)
	}
	c.commit(prepared, failure == nil)
	return failed
}

func (c *cell) commit(p Prepared, ok bool) {
	if p.Commit == nil {
		return
	}
	number := 0
	if c.job.stores() {
		number = c.count
	}
	if remark := p.Commit(ok, number); remark != "" {
		c.tell(remark)
	}
}

// tell shows the user a line.
func (c *cell) tell(line string) {
	c.out.write(time.Now(), cellio.Stderr, line+"\n")
	c.out.settle(time.Now())
}

// recoverTo makes a failure of a panic in what was handed in, such as the Cells.
// It must be called by a deferred function or be one.
func (c *cell) recoverTo(failed **Explanation) {
	if p := recover(); p != nil {
		c.r.o.Log(fmt.Sprintf("panic while a cell was run: %v\n%s", p, debug.Stack()))
		*failed = &Explanation{Name: "internal error", Value: fmt.Sprint(p)}
	}
}

// explanationOf returns the explanation that err is, or one of its text.
func explanationOf(err error) *Explanation {
	if e, ok := errors.AsType[*Explanation](err); ok {
		return e
	}
	return &Explanation{Name: "error", Value: err.Error()}
}

// kernel returns a cell kernel on which the cell can be run.
func (c *cell) kernel() (*upstream, *Explanation) {
	up, err := c.r.kernels.get(c.job.ctx, c.tell)
	switch {
	case errors.Is(err, errInterrupted):
		return nil, explain(Prepared{}, Failure{Kind: Interrupted})
	case errors.Is(err, errStopped):
		return nil, explain(Prepared{}, Failure{Kind: Interrupted, Words: shutDown})
	case err != nil:
		return nil, noKernel(err)
	}
	if up.used {
		return up, nil
	}
	setup, err := c.r.cells.Reset()
	if err != nil {
		return nil, badSetup(explanationOf(err))
	}
	out := newOutput(c.count, c.r.o.Log, func(string, any, any, [][]byte) {})
	if failure := c.runOn(up, setup, out, false); failure != nil {
		if failure.Kind == Refused || failure.Kind == Exited {
			return nil, badSetup(plainly(*failure))
		}
		return nil, plainly(*failure)
	}
	up.used = true
	return up, nil
}

// shutDown is said of a cell that was run when the kernel was shut down.
const shutDown = "the kernel was shut down during the cell"

// runOn runs code on the cell kernel and returns how it failed, or nil.
func (c *cell) runOn(up *upstream, code string, out *output, allowStdin bool) *Failure {
	if strings.TrimSpace(code) == "" {
		return nil
	}
	t, err := up.begin(wire.Request{
		Code: code, StoreHistory: true, UserExpressions: map[string]string{}, AllowStdin: allowStdin, StopOnError: true,
	})
	if err != nil {
		return c.deathOf(up, err)
	}
	w := &running{
		t: t, out: out, unwanted: c.job.ctx.Done(), stop: c.r.stop,
		ask: func(m *wire.Message) { c.ask(up, m, allowStdin) },
	}
	how := w.wait()
	f := &Failure{Trace: out.finish(time.Now()), Stderr: out.tail.String()}
	unwanted := context.Cause(c.job.ctx)
	switch {
	case how == stopped || unwanted == errStopped:
		f.Kind, f.Words = Interrupted, shutDown
	case how == died && unwanted == nil:
		return c.deathOf(up, errors.New("the connection to the cell kernel broke"))
	case unwanted != nil:
		f.Kind = Interrupted
		if unwanted == errAsked {
			f.Kind, f.Words = Asked, c.asked
		}
	case w.reply.Status != "ok":
		f.Kind, f.Words, f.Remarks = Refused, w.reply.EValue, w.reply.Traceback
	case out.exit != "":
		f.Kind, f.Status = Exited, out.exit
	default:
		return nil
	}
	if how == died || how == abandoned {
		f.Lost = true
		c.r.kernels.discard(up)
	}
	return f
}

// deathOf notes that the cell kernel has died.
func (c *cell) deathOf(up *upstream, err error) *Failure {
	select {
	case <-up.kernel.Died():
		err = up.kernel.DeathError()
	default:
	}
	c.r.kernels.discard(up)
	return &Failure{Kind: Died, Words: err.Error(), Lost: true}
}
