package wire

import (
	"crypto/rand"
	"errors"
	"fmt"
	"net"
	"os"
	"slices"
	"strconv"
	"sync"
	"syscall"
	"time"

	"github.com/go-zeromq/zmq4"
)

// endpoint is a socket that listens, with its peers.
type endpoint struct {
	typ      zmq4.SocketType
	listener net.Listener
	// handle is called with every message, by the goroutine of its peer.
	handle func(p *peer, frames [][]byte)
	log    func(string)
	limit  limits // of its peers

	mu    sync.Mutex
	conns map[net.Conn]bool // of peers, and of those that may become one
	peers map[*peer]bool
	byID  map[string]*peer
	early [][]byte // broadcast before the first peer came
	met   bool     // that it has come
	mail  []letter // sent to peers that were not there
	ended bool

	accepting, readers, writers sync.WaitGroup
}

// letter is a message for a peer that may be about to come: a client that has
// all its sockets connected can be heard on one before it is known on another.
type letter struct {
	id   string
	text []byte
}

const (
	earlyLimit = 64 // how many broadcasts are kept for the first peer
	mailLimit  = 16 // how many letters are kept
)

// listen opens the socket at the connection's port.
func listen(conn Connection, port int, typ zmq4.SocketType, log func(string), handle func(*peer, [][]byte)) (*endpoint, error) {
	l, err := listenAt(conn, port)
	if err != nil {
		return nil, err
	}
	e := &endpoint{
		typ: typ, listener: l, handle: handle, log: log, limit: usual,
		conns: map[net.Conn]bool{}, peers: map[*peer]bool{}, byID: map[string]*peer{},
	}
	e.accepting.Go(e.accept)
	return e, nil
}

func listenAt(conn Connection, port int) (net.Listener, error) {
	if conn.Transport != "ipc" {
		host := conn.IP
		if host == "*" {
			host = ""
		}
		return net.Listen("tcp", net.JoinHostPort(host, strconv.Itoa(port)))
	}
	path := fmt.Sprintf("%s-%d", conn.IP, port)
	l, err := net.Listen("unix", path)
	if errors.Is(err, syscall.EADDRINUSE) && !answers(path) {
		// A kernel that was killed leaves its sockets behind.
		if err = os.Remove(path); err == nil {
			l, err = net.Listen("unix", path)
		}
	}
	if err != nil {
		return nil, err
	}
	return l, os.Chmod(path, 0o600)
}

func answers(path string) bool {
	c, err := net.DialTimeout("unix", path, time.Second)
	if err == nil {
		c.Close()
	}
	return err == nil
}

func (e *endpoint) accept() {
	for {
		raw, err := e.listener.Accept()
		switch {
		case errors.Is(err, net.ErrClosed):
			return
		case err != nil: // such as too many open files
			e.log(fmt.Sprintf("accepting a connection: %v", err))
			time.Sleep(50 * time.Millisecond)
		default:
			e.readers.Go(func() { e.serve(raw) })
		}
	}
}

// serve reads what the peer sends until it leaves.
func (e *endpoint) serve(raw net.Conn) {
	e.mu.Lock()
	e.conns[raw] = true
	e.mu.Unlock()
	defer func() {
		raw.Close()
		e.mu.Lock()
		delete(e.conns, raw)
		e.mu.Unlock()
	}()
	conn, err := greet(raw, e.typ)
	if err != nil {
		e.log(fmt.Sprintf("a connection failed: %v", err))
		return
	}
	id := conn.Peer.Meta["Identity"]
	if id == "" {
		id = rand.Text()
	}
	p := newPeer(id, raw, e.limit)
	if !e.add(p) {
		return
	}
	defer e.remove(p)
	for {
		frames, err := receive(conn)
		if err != nil {
			return
		}
		e.handle(p, frames)
	}
}

// add makes the peer one to send to. Of several with the same identity the last
// counts: the others are about to find out that they are gone.
func (e *endpoint) add(p *peer) bool {
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.ended {
		return false
	}
	e.peers[p] = true
	e.byID[p.id] = p
	for _, b := range e.early {
		p.put(b)
	}
	e.early, e.met = nil, true
	e.mail = slices.DeleteFunc(e.mail, func(l letter) bool {
		if l.id == p.id {
			p.put(l.text)
		}
		return l.id == p.id
	})
	e.writers.Go(func() {
		p.write()
		select {
		case <-p.drain:
			p.finish()
		default:
		}
	})
	return true
}

func (e *endpoint) remove(p *peer) {
	p.cut()
	e.mu.Lock()
	defer e.mu.Unlock()
	delete(e.peers, p)
	if e.byID[p.id] == p {
		delete(e.byID, p.id)
	}
}

// send sends the frames to the peer with the identity, if it is there or comes
// soon.
func (e *endpoint) send(id string, frames [][]byte) error {
	b := encode(frames)
	e.mu.Lock()
	p := e.byID[id]
	if p == nil {
		e.mail = append(e.mail, letter{id, b})
		e.mail = slices.Delete(e.mail, 0, max(0, len(e.mail)-mailLimit))
		e.mu.Unlock()
		return nil
	}
	e.mu.Unlock()
	return p.send(b)
}

// broadcast sends the frames to all peers. What is broadcast before the first
// peer has come is kept for it.
func (e *endpoint) broadcast(frames [][]byte) error {
	b := encode(frames)
	e.mu.Lock()
	peers := make([]*peer, 0, len(e.peers))
	for p := range e.peers {
		peers = append(peers, p)
	}
	if !e.met && len(e.early) < earlyLimit {
		e.early = append(e.early, b)
	}
	e.mu.Unlock()
	var errs []error
	for _, p := range peers {
		errs = append(errs, p.send(b))
	}
	return errors.Join(errs...)
}

// close sends what is queued, as far as that goes within the limit, and ends all
// connections.
func (e *endpoint) close(limit time.Duration) {
	e.listener.Close()
	e.accepting.Wait()
	e.mu.Lock()
	e.ended = true
	for p := range e.peers {
		close(p.drain)
	}
	e.mu.Unlock()
	within(limit, &e.writers)
	within(2*goodbyeLimit, &e.readers)
	e.mu.Lock()
	for raw := range e.conns {
		raw.Close()
	}
	e.mu.Unlock()
	e.writers.Wait()
	e.readers.Wait()
}

// within waits for the group, but no longer than the limit.
func within(limit time.Duration, group *sync.WaitGroup) {
	done := make(chan struct{})
	go func() {
		group.Wait()
		close(done)
	}()
	select {
	case <-done:
	case <-time.After(limit):
	}
}
