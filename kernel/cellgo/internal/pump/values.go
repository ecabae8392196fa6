//go:build unix

package pump

import (
	"encoding/gob"
	"io"
	"sync"

	"github.com/janpfeifer/gonb/gonbui/protocol"
)

// valuesKept is how many values wait for a program that does not read them, as
// many as the kernel itself would keep.
const valuesKept = 128

// values are on their way to the program.
type values struct {
	mu     sync.Mutex
	more   sync.Cond
	queue  []*protocol.CommValue
	closed bool
}

func newValues() *values {
	v := &values{}
	v.more.L = &v.mu
	return v
}

// add puts a value into the queue. If that is full it is dropped, except for the
// answer to a request for confirmation, which the program waits for.
func (q *values) add(v *protocol.CommValue) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if len(q.queue) < valuesKept || v.Address == protocol.GonbuiSyncAckAddress {
		q.queue = append(q.queue, v)
		q.more.Signal()
	}
}

// confirm answers the program's request.
func (q *values) confirm(request int) {
	q.add(&protocol.CommValue{Address: protocol.GonbuiSyncAckAddress, Value: request})
}

// close ends send.
func (q *values) close() {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.closed = true
	q.more.Signal()
}

// send writes the values to w as they come.
func (q *values) send(w io.Writer) error {
	for encoder := gob.NewEncoder(w); ; {
		q.mu.Lock()
		for len(q.queue) == 0 && !q.closed {
			q.more.Wait()
		}
		if q.closed {
			q.mu.Unlock()
			return nil
		}
		v := q.queue[0]
		q.queue = q.queue[1:]
		q.mu.Unlock()
		if err := encoder.Encode(v); err != nil {
			return err
		}
	}
}
