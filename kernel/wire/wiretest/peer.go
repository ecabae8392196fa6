// Package wiretest is the kernel's side of the Jupyter protocol for tests: a
// peer that answers as a script tells it to, well or badly.
package wiretest

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"sync"
	"testing"
	"time"

	"example.com/railbook/kernel/wire"
	"github.com/go-zeromq/zmq4"
)

// Peer plays a kernel. It answers requests for the kernel's info by itself and
// hands every other request of the shell and control sockets to its script.
type Peer struct {
	// Conn is how to reach the peer.
	Conn wire.Connection

	t      testing.TB
	script func(p *Peer, request *wire.Message)

	shell, control, iopub, stdin, hb zmq4.Socket

	mu      sync.Mutex
	closing bool
	unheard int
}

// Start starts a peer, which the end of the test closes. The script runs in a
// goroutine of the socket the request came on.
func Start(t testing.TB, script func(p *Peer, request *wire.Message)) *Peer {
	return StartDeaf(t, 0, script)
}

// StartDeaf is like [Start], but for the first requests for the kernel's info,
// unheard of them, nothing appears on the output socket, as happens while a
// subscription is under way.
func StartDeaf(t testing.TB, unheard int, script func(p *Peer, request *wire.Message)) *Peer {
	t.Helper()
	conn, err := wire.NewConnection(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	p := &Peer{
		Conn: conn, t: t, script: script, unheard: unheard,
		shell: zmq4.NewRouter(ctx), control: zmq4.NewRouter(ctx), stdin: zmq4.NewRouter(ctx),
		iopub: zmq4.NewPub(ctx), hb: zmq4.NewRep(ctx),
	}
	for _, s := range []struct {
		socket zmq4.Socket
		port   int
	}{
		{p.shell, conn.ShellPort}, {p.control, conn.ControlPort}, {p.stdin, conn.StdinPort},
		{p.iopub, conn.IOPubPort}, {p.hb, conn.HBPort},
	} {
		if err := s.socket.Listen(conn.Endpoint(s.port)); err != nil {
			t.Fatal(err)
		}
	}
	go p.serve(p.shell)
	go p.serve(p.control)
	go p.echo()
	t.Cleanup(p.Close)
	return p
}

// Close breaks all connections, as the death of a kernel does.
func (p *Peer) Close() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.closing {
		return
	}
	p.closing = true
	for _, s := range []zmq4.Socket{p.shell, p.control, p.stdin, p.iopub, p.hb} {
		s.Close()
	}
}

func (p *Peer) serve(socket zmq4.Socket) {
	for {
		raw, err := socket.Recv()
		if err != nil {
			return
		}
		request, err := wire.Parse(raw.Frames, []byte(p.Conn.Key))
		if err != nil {
			p.t.Errorf("the client sent a bad message: %v", err)
			return
		}
		if request.Header.Type != wire.KernelInfoRequest {
			p.script(p, request)
			continue
		}
		p.mu.Lock()
		heard := p.unheard <= 0
		p.unheard--
		p.mu.Unlock()
		if heard {
			p.Status(request, "busy")
		}
		p.Reply(request, wire.KernelInfoReply, map[string]any{
			"status": "ok", "protocol_version": wire.Version, "implementation": "peer",
			"language_info": map[string]string{"name": "go"},
		})
		if heard {
			p.Status(request, "idle")
		}
	}
}

func (p *Peer) echo() {
	for {
		msg, err := p.hb.Recv()
		if err != nil {
			return
		}
		if p.hb.Send(msg) != nil {
			return
		}
	}
}

// Reply answers the request on the shell socket.
func (p *Peer) Reply(request *wire.Message, typ string, content any) {
	p.send(p.shell, request.Identities, request, typ, content, p.Conn.Key)
}

// OK answers an execute_request with success.
func (p *Peer) OK(request *wire.Message, count int) {
	p.Reply(request, wire.ExecuteReply, map[string]any{
		"status": "ok", "execution_count": count, "user_expressions": map[string]any{},
	})
}

// Ask sends a request for input on the stdin socket.
func (p *Peer) Ask(request *wire.Message, prompt string) {
	p.send(p.stdin, request.Identities, request, wire.InputRequest, map[string]any{"prompt": prompt, "password": false}, p.Conn.Key)
}

// Publish sends a message on the output socket.
func (p *Peer) Publish(request *wire.Message, typ string, content any) {
	p.send(p.iopub, [][]byte{[]byte(typ)}, request, typ, content, p.Conn.Key)
}

// PublishForged is Publish with a signature of another key.
func (p *Peer) PublishForged(request *wire.Message, typ string, content any) {
	p.send(p.iopub, nil, request, typ, content, "another key")
}

// PublishFrames sends frames that need not be a message.
func (p *Peer) PublishFrames(frames ...string) {
	raw := make([][]byte, len(frames))
	for i, f := range frames {
		raw[i] = []byte(f)
	}
	if err := p.iopub.SendMulti(zmq4.NewMsgFrom(raw...)); err != nil {
		p.t.Error(err)
	}
}

// Status publishes the kernel's state: "busy" or "idle".
func (p *Peer) Status(request *wire.Message, state string) {
	p.Publish(request, wire.Status, map[string]string{"execution_state": state})
}

// Stream publishes output of the program: name is "stdout" or "stderr".
func (p *Peer) Stream(request *wire.Message, name, text string) {
	p.Publish(request, "stream", map[string]string{"name": name, "text": text})
}

func (p *Peer) send(socket zmq4.Socket, to [][]byte, request *wire.Message, typ string, content any, key string) {
	raw, err := json.Marshal(content)
	if err != nil {
		p.t.Error(err)
		return
	}
	m := wire.Message{
		Identities: to,
		Header: wire.Header{
			ID: rand.Text(), Session: "peer", Username: "kernel", Type: typ, Version: wire.Version,
			Date: time.Now().UTC().Format(time.RFC3339),
		},
		Parent:  request.Header,
		Content: raw,
	}
	frames, err := m.Frames([]byte(key))
	if err != nil {
		p.t.Error(err)
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.closing {
		return
	}
	if err := socket.SendMulti(zmq4.NewMsgFrom(frames...)); err != nil {
		p.t.Errorf("peer: sending %s: %v", typ, err)
	}
}
