package wire

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"net"
	"sync"
	"time"

	"github.com/go-zeromq/zmq4"
	"github.com/go-zeromq/zmq4/security/null"
)

// limits is what is put up with from a peer that does not keep up.
type limits struct {
	queue int           // bytes that may wait for it before senders wait too
	stall time.Duration // how long it may take no message while there are some
}

var usual = limits{queue: 32 << 20, stall: 10 * time.Second}

const (
	// handshakeLimit is how long a peer may take to say what it is.
	handshakeLimit = 10 * time.Second
	// goodbyeLimit is how long a peer may take, when all is said, to notice.
	goodbyeLimit = 200 * time.Millisecond
)

// peer is a connection of a socket that listens.
//
// The ZeroMQ library's own listening sockets are not used: there a peer that
// connects and says nothing keeps all others from connecting, one that reads
// nothing keeps all others from receiving while messages pile up without limit,
// what is queued is lost on closing, and a malformed frame ends the process.
// Here each peer has a reader, a writer and a queue of its own, and what does
// not keep up is cut off; of the library there is the ZMTP protocol.
type peer struct {
	id    string
	raw   net.Conn
	limit limits

	mu    sync.Mutex
	queue [][]byte
	bytes int           // in the queue
	some  chan struct{} // holds a value after something was queued
	space chan struct{} // holds a value after something was taken

	drain chan struct{} // closed when nothing more will be sent
	gone  chan struct{} // closed when the peer is cut off
	once  sync.Once
}

func newPeer(id string, raw net.Conn, limit limits) *peer {
	return &peer{
		id: id, raw: raw, limit: limit,
		some: make(chan struct{}, 1), space: make(chan struct{}, 1),
		drain: make(chan struct{}), gone: make(chan struct{}),
	}
}

// buffered is a connection that is read in large pieces.
type buffered struct {
	net.Conn
	r *bufio.Reader
}

func (b buffered) Read(p []byte) (int, error) { return b.r.Read(p) }

// greet exchanges greetings as a socket of the type.
func greet(raw net.Conn, typ zmq4.SocketType) (conn *zmq4.Conn, err error) {
	defer recoverTo(&err)
	raw.SetDeadline(time.Now().Add(handshakeLimit))
	conn, err = zmq4.Open(buffered{raw, bufio.NewReader(raw)}, null.Security(), typ, nil, true, nil)
	if err != nil {
		return nil, err
	}
	return conn, raw.SetDeadline(time.Time{})
}

// receive returns the frames of the next message.
func receive(conn *zmq4.Conn) (frames [][]byte, err error) {
	defer recoverTo(&err)
	for {
		msg, err := conn.RecvMsg()
		if err != nil {
			return nil, err
		}
		if msg.Type == zmq4.UsrMsg {
			return msg.Frames, nil
		}
	}
}

// recoverTo makes an error of a panic, which is how the library takes some
// malformed frames.
func recoverTo(err *error) {
	if p := recover(); p != nil {
		*err = fmt.Errorf("malformed frame: %v", p)
	}
}

// encode returns the message in the form of ZMTP 3.0, section "Framing", to be
// written in one go.
func encode(frames [][]byte) []byte {
	size := 0
	for _, f := range frames {
		size += 9 + len(f)
	}
	const more, long = 1, 2
	b := make([]byte, 0, size)
	for i, f := range frames {
		flags := byte(0)
		if i < len(frames)-1 {
			flags = more
		}
		if len(f) > 255 {
			b = binary.BigEndian.AppendUint64(append(b, flags|long), uint64(len(f)))
		} else {
			b = append(b, flags, byte(len(f)))
		}
		b = append(b, f...)
	}
	return b
}

// write sends what is queued until the peer is cut off or, after drain, nothing
// is left.
func (p *peer) write() {
	for {
		b := p.take()
		if b == nil {
			select {
			case <-p.some:
				continue
			case <-p.gone:
				return
			case <-p.drain:
			}
			if b = p.take(); b == nil {
				return
			}
		}
		p.raw.SetWriteDeadline(time.Now().Add(p.limit.stall))
		if _, err := p.raw.Write(b); err != nil {
			p.cut()
			return
		}
	}
}

// take returns the next message in the queue, or nil.
func (p *peer) take() []byte {
	p.mu.Lock()
	defer p.mu.Unlock()
	if len(p.queue) == 0 {
		return nil
	}
	b := p.queue[0]
	p.queue[0] = nil
	p.queue = p.queue[1:]
	p.bytes -= len(b)
	signal(p.space)
	return b
}

// put queues a message, unless the queue is full.
func (p *peer) put(b []byte) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.bytes >= p.limit.queue {
		return false
	}
	p.queue = append(p.queue, b)
	p.bytes += len(b)
	signal(p.some)
	if p.bytes < p.limit.queue {
		signal(p.space) // for another sender
	}
	return true
}

func signal(ch chan struct{}) {
	select {
	case ch <- struct{}{}:
	default:
	}
}

var errStalled = errors.New("it took no message for too long and was cut off")

// send queues a message. It waits while the queue is full, and cuts the peer off
// if it stays so.
func (p *peer) send(b []byte) error {
	var late <-chan time.Time
	for !p.put(b) {
		if late == nil {
			late = time.After(p.limit.stall)
		}
		select {
		case <-p.space:
		case <-p.gone:
			return nil // as good as never been there
		case <-late:
			p.cut()
			return errStalled
		}
	}
	return nil
}

// cut ends the connection without ado.
func (p *peer) cut() {
	p.once.Do(func() { close(p.gone) })
	p.raw.Close()
}

// finish tells the peer that nothing more will come. Closing the connection
// while it still sends could lose what has been sent to it.
func (p *peer) finish() {
	if half, ok := p.raw.(interface{ CloseWrite() error }); ok && half.CloseWrite() == nil {
		p.raw.SetReadDeadline(time.Now().Add(goodbyeLimit))
		return
	}
	p.cut()
}
