package wire

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"time"

	"github.com/go-zeromq/zmq4"
)

// Server is the kernel's side of a connection. Its methods may be called from
// any goroutine.
//
// Nothing a client sends ends it: what is no message or is wrongly signed is
// logged and dropped. A client that does not read what it is sent is cut off
// after ten seconds, during which it may hold up others.
type Server struct {
	conn    Connection
	key     []byte
	session string
	log     func(string)

	channels [IOPub + 1]*endpoint
	hb       *endpoint
	incoming [Stdin + 1]chan *Message
	closing  chan struct{}
	once     sync.Once
}

// flushLimit is how long Close tries to send what is queued.
const flushLimit = 2 * time.Second

// errServerClosed is what Receive returns in the end.
var errServerClosed = errors.New("the server is closed")

// Listen opens the five sockets of the connection and answers heartbeats from
// then on. Log, which may be nil, is called with a line for whatever was
// dropped, from any goroutine.
func Listen(conn Connection, log func(string)) (*Server, error) {
	if log == nil {
		log = func(string) {}
	}
	s := &Server{
		conn:    conn,
		key:     []byte(conn.Key),
		log:     log,
		closing: make(chan struct{}),
	}
	var h Header
	h.complete("", "")
	s.session = h.ID
	for i := range s.incoming {
		s.incoming[i] = make(chan *Message)
	}
	var err error
	open := func(name string, port int, typ zmq4.SocketType, handle func(*peer, [][]byte)) *endpoint {
		if err != nil {
			return nil
		}
		var e *endpoint
		if e, err = listen(conn, port, typ, log, handle); err != nil {
			err = fmt.Errorf("%s socket: %w", name, err)
		}
		return e
	}
	for ch, port := range []int{Shell: conn.ShellPort, Control: conn.ControlPort, Stdin: conn.StdinPort} {
		ch := Channel(ch)
		s.channels[ch] = open(ch.String(), port, zmq4.Router, func(p *peer, frames [][]byte) { s.parse(ch, p, frames) })
	}
	// What a client sends here are subscriptions. All clients subscribe to
	// everything, and pick what they want themselves if they do not.
	s.channels[IOPub] = open("iopub", conn.IOPubPort, zmq4.XPub, func(*peer, [][]byte) {})
	s.hb = open("heartbeat", conn.HBPort, zmq4.Rep, func(p *peer, frames [][]byte) { p.send(encode(frames)) })
	if err != nil {
		s.Close()
		return nil, err
	}
	return s, nil
}

// Connection returns what the server was opened with.
func (s *Server) Connection() Connection { return s.conn }

// parse passes on what the peer sent, if it is a message.
func (s *Server) parse(ch Channel, p *peer, frames [][]byte) {
	m, err := Parse(append([][]byte{[]byte(p.id)}, frames...), s.key)
	if err != nil {
		s.log(fmt.Sprintf("dropped a message on %s: %v", ch, err))
		return
	}
	select {
	case s.incoming[ch] <- m:
	case <-s.closing:
	}
}

// Receive returns the next message of the channel, which is [Shell], [Control]
// or [Stdin]. The error says that ctx has ended, whose cause is then in it, or
// the server was closed.
func (s *Server) Receive(ctx context.Context, ch Channel) (*Message, error) {
	select {
	case m := <-s.incoming[ch]:
		return m, nil
	case <-s.closing:
		return nil, errServerClosed
	case <-ctx.Done():
		return nil, context.Cause(ctx)
	}
}

// Send sends a message: on [IOPub] to all clients, else to the one that the
// message's identities name. If that is not there, it may get the message when
// it comes. Send fills in what is empty of
// the header, save the type. The error is for content or metadata that is no
// JSON.
func (s *Server) Send(ch Channel, m *Message) error {
	m.Header.complete(s.session, "kernel")
	if ch == IOPub && len(m.Identities) == 0 {
		topic := *m
		topic.Identities = [][]byte{[]byte(m.Header.Type)}
		m = &topic
	}
	frames, err := m.Frames(s.key)
	if err != nil {
		return err
	}
	if ch == IOPub {
		err = s.channels[IOPub].broadcast(frames)
	} else if len(m.Identities) > 0 {
		err = s.channels[ch].send(string(frames[0]), frames[1:])
	}
	if err != nil {
		s.log(fmt.Sprintf("a client on %s: %s", ch, strings.ReplaceAll(err.Error(), "\n", "; ")))
	}
	return nil
}

// Close sends what has been given to [Server.Send], as far as that goes within
// two seconds, and closes all sockets. Nothing may be sent any more.
func (s *Server) Close() error {
	s.once.Do(func() {
		close(s.closing)
		var all sync.WaitGroup
		for _, e := range append(s.channels[:], s.hb) {
			if e != nil {
				all.Go(func() { e.close(flushLimit) })
			}
		}
		all.Wait()
	})
	return nil
}
