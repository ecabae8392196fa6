package relay

import (
	"context"
	"strings"
	"time"

	"example.com/railbook/kernel/relay/internal/history"
	"example.com/railbook/kernel/wire"
)

// enqueue has an execute_request run once those before it are done.
func (r *relay) enqueue(req request) {
	j, err := decodeJob(req)
	if err != nil {
		r.answer(req, func(*relay, request) (any, error) { return nil, err })
		return
	}
	if !r.queue.add(j) {
		r.abortJob(j)
	}
}

// executeLoop runs jobs until the relay is shutting down and all have been
// answered.
func (r *relay) executeLoop() {
	for {
		j, aborted, more := r.queue.next()
		switch {
		case j == nil && !more:
			return
		case j == nil:
			<-r.queue.added
		case aborted:
			r.abortJob(j)
		default:
			r.execute(j)
			j.cancel(nil)
		}
	}
}

// abortJob answers a job that is not run.
func (r *relay) abortJob(j *job) {
	r.mu.Lock()
	count := r.count
	r.mu.Unlock()
	r.status(j.request, "busy")
	r.reply(j.request, wire.ExecuteReply, map[string]any{"status": "aborted", "execution_count": count})
	r.status(j.request, "idle")
}

// interrupt breaks off the cell that is run and aborts those that wait.
func (r *relay) interrupt() { r.queue.interrupt(errInterrupted) }

// interruptLoop interrupts when asked by other means than a message.
func (r *relay) interruptLoop(ctx context.Context) {
	for {
		select {
		case _, ok := <-r.o.Interrupts:
			if !ok {
				return
			}
			r.interrupt()
		case <-ctx.Done():
			return
		}
	}
}

// arrivalTime is how long requests that were sent together may take to arrive
// one after the other. A cell that fails sooner waits that long before it aborts
// those behind it.
const arrivalTime = 10 * time.Millisecond

// execute runs a job and answers it.
func (r *relay) execute(j *job) {
	r.status(j.request, "busy")
	defer r.status(j.request, "idle")
	begun := time.Now()
	blank := strings.TrimSpace(*j.Code) == ""
	stores := j.stores() && !blank
	r.mu.Lock()
	if stores {
		r.count++
	}
	c := newCell(r, j, r.count)
	r.mu.Unlock()
	if !j.Silent {
		r.publish(j.Header, "execute_input", map[string]any{"code": *j.Code, "execution_count": c.count})
	}

	var failed *Explanation
	if !blank {
		failed = c.run()
	}
	var content any
	if failed == nil {
		content = map[string]any{
			"status": "ok", "execution_count": c.count,
			"payload": []any{}, "user_expressions": c.expressions(),
		}
	} else {
		content = r.fail(c, failed, begun)
	}

	r.mu.Lock()
	r.asking = nil
	if stores {
		r.history.Add(history.Entry{Line: c.count, Input: *j.Code, Run: c.code, Output: c.out.value})
	}
	r.mu.Unlock()
	result := "ok"
	if failed != nil {
		result = "error"
	}
	r.replyWith(j.request, wire.ExecuteReply, content, map[string]any{
		"started": begun.UTC().Format(time.RFC3339Nano), "status": result,
	})
}

// fail tells clients of a failure and returns the content of the reply.
func (r *relay) fail(c *cell, failed *Explanation, begun time.Time) any {
	j := c.job
	if !j.Silent && orTrue(j.StopOnError) {
		// Whoever sends a request after having seen the failure wants it run. So
		// those behind are aborted before anybody can see it.
		time.Sleep(arrivalTime - time.Since(begun))
		r.queue.abort()
	}
	e := errorOf(failed)
	if !j.Silent {
		r.publish(j.Header, "error", e)
	}
	e.Status, e.Count = "error", &c.count
	return e
}
