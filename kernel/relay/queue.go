package relay

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"

	"example.com/railbook/kernel/wire"
)

// job is an execute_request.
type job struct {
	request
	executeContent
	// ctx ends when the cell is not wanted any more, with one of the errors
	// below as its cause.
	ctx     context.Context
	cancel  context.CancelCauseFunc
	aborted bool // guarded by the queue
}

// Why a cell is not wanted any more.
var (
	errInterrupted = errors.New("interrupted")
	errAsked       = errors.New("input is asked for that nobody can give")
	errStopped     = errors.New("the kernel is shutting down")
)

// executeContent is the content of an execute_request. What is missing has the
// protocol's defaults.
type executeContent struct {
	Code            *string           `json:"code"`
	Silent          bool              `json:"silent"`
	StoreHistory    *bool             `json:"store_history"`
	UserExpressions map[string]string `json:"user_expressions"`
	AllowStdin      *bool             `json:"allow_stdin"`
	StopOnError     *bool             `json:"stop_on_error"`
}

// stores reports whether the cell counts and is remembered.
func (c *executeContent) stores() bool { return !c.Silent && orTrue(c.StoreHistory) }

func orTrue(b *bool) bool { return b == nil || *b }

// decodeJob reads an execute_request. The error says what is wrong with it.
func decodeJob(req request) (*job, error) {
	j := &job{request: req}
	if err := req.Decode(&j.executeContent); err != nil {
		return nil, err
	}
	if j.Code == nil {
		return nil, fmt.Errorf("content of %s: code is missing", wire.ExecuteRequest)
	}
	j.ctx, j.cancel = context.WithCancelCause(context.Background())
	return j, nil
}

// queue holds the jobs that wait, and the one that is run.
type queue struct {
	added chan struct{} // holds a value after something has changed

	mu      sync.Mutex
	waiting []*job
	running *job // nil between jobs
	closed  bool
}

// add adds a job, unless the queue is closed.
func (q *queue) add(j *job) bool {
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.closed {
		return false
	}
	q.waiting = append(q.waiting, j)
	q.signal()
	return true
}

func (q *queue) signal() {
	select {
	case q.added <- struct{}{}:
	default:
	}
}

// next makes the next job the one that is run, unless it was aborted. Without a
// job it returns nil, and whether there may be one later.
func (q *queue) next() (j *job, aborted, more bool) {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.running = nil
	if len(q.waiting) == 0 {
		return nil, false, !q.closed
	}
	j = q.waiting[0]
	q.waiting = slices.Delete(q.waiting, 0, 1)
	if !j.aborted {
		q.running = j
	}
	return j, j.aborted, true
}

// abort aborts all jobs that wait now.
func (q *queue) abort() {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.abortLocked()
}

func (q *queue) abortLocked() {
	for _, j := range q.waiting {
		j.aborted = true
	}
}

// interrupt aborts all jobs that wait now and tells the one that is run why it
// is not wanted any more.
func (q *queue) interrupt(cause error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.abortLocked()
	if q.running != nil {
		q.running.cancel(cause)
	}
}

// close interrupts the queue, and no more jobs are added.
func (q *queue) close(cause error) {
	q.interrupt(cause)
	q.mu.Lock()
	defer q.mu.Unlock()
	q.closed = true
	q.abortLocked()
	q.signal()
}
