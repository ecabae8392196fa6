package wire

import (
	"bytes"
	"context"
	"fmt"
	"net"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/go-zeromq/zmq4"
	"github.com/go-zeromq/zmq4/security/null"
)

// journal gathers what a server logs.
type journal struct {
	mu    sync.Mutex
	lines []string
}

func (j *journal) log(line string) {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.lines = append(j.lines, line)
}

// await waits until a line holds the text.
func (j *journal) await(t *testing.T, text string) {
	t.Helper()
	for start := time.Now(); time.Since(start) < 10*time.Second; time.Sleep(time.Millisecond) {
		j.mu.Lock()
		all := strings.Join(j.lines, "\n")
		j.mu.Unlock()
		if strings.Contains(all, text) {
			return
		}
	}
	t.Fatalf("nothing about %q was logged, but %q", text, j.lines)
}

// serve starts a server whose clients' requests on shell are echoed as replies.
func serve(t *testing.T, conn Connection) (*Server, *journal) {
	t.Helper()
	j := &journal{}
	s, err := Listen(conn, j.log)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	go func() {
		for {
			m, err := s.Receive(t.Context(), Shell)
			if err != nil {
				return
			}
			s.Send(Shell, &Message{Identities: m.Identities, Header: Header{Type: "echo"}, Parent: m.Header, Content: m.Content})
		}
	}()
	return s, j
}

func unixConnection(t *testing.T) Connection {
	t.Helper()
	conn, err := NewConnection(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	return conn
}

// tcpConnection returns a connection over TCP: in a folder whose name is too
// long for Unix sockets there is no other way.
func tcpConnection(t *testing.T) Connection {
	t.Helper()
	conn, err := NewConnection("/tmp/" + strings.Repeat("x", maxSocketPath))
	if err != nil {
		t.Fatal(err)
	}
	return conn
}

func connect(t *testing.T, conn Connection) *Client {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
	defer cancel()
	c, err := Dial(ctx, conn)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { c.Close() })
	return c
}

// next returns the client's next message.
func next(t *testing.T, c *Client) (Channel, *Message) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
	defer cancel()
	ch, m, err := c.Receive(ctx)
	if err != nil {
		t.Fatal(err)
	}
	return ch, m
}

// checkEcho checks that the server still answers the client.
func checkEcho(t *testing.T, c *Client) {
	t.Helper()
	id, err := c.Send(Shell, &Message{Header: Header{Type: "call"}, Content: []byte(`{"λ":1}`)})
	if err != nil {
		t.Fatal(err)
	}
	ch, m := next(t, c)
	if ch != Shell || m.Header.Type != "echo" || m.Parent.ID != id || m.Parent.Type != "call" || string(m.Content) != `{"λ":1}` {
		t.Errorf("got %+v on %s, want the echo of %s", m, ch, id)
	}
}

func TestServer(t *testing.T) {
	for _, tt := range []struct {
		name string
		conn Connection
	}{{"unix", unixConnection(t)}, {"tcp", tcpConnection(t)}} {
		t.Run(tt.name, func(t *testing.T) {
			s, _ := serve(t, tt.conn)
			// What is published before the first client comes is for it.
			if err := s.Send(IOPub, &Message{Header: Header{Type: Status}}); err != nil {
				t.Fatal(err)
			}
			c := connect(t, tt.conn)
			if ch, m := next(t, c); ch != IOPub || m.Header.Type != Status {
				t.Errorf("got %s on %s, want the early status", m.Header.Type, ch)
			}
			checkEcho(t, c)
			if _, err := c.Send(Control, &Message{Header: Header{Type: "call"}, Buffers: [][]byte{{0, 255}}}); err != nil {
				t.Fatal(err)
			}
			m, err := s.Receive(t.Context(), Control)
			if err != nil || len(m.Buffers) != 1 || !bytes.Equal(m.Buffers[0], []byte{0, 255}) {
				t.Fatalf("control: got %+v, %v", m, err)
			}
			// The client's sockets have the same identity.
			for _, ch := range []Channel{Stdin, Control, Shell} {
				s.Send(ch, &Message{Identities: m.Identities, Header: Header{Type: "answer"}})
				if got, a := next(t, c); got != ch || a.Header.Type != "answer" {
					t.Errorf("got %s on %s, want the answer on %s", a.Header.Type, got, ch)
				}
			}
			other := connect(t, tt.conn)
			checkEcho(t, other)
			s.Send(IOPub, &Message{Header: Header{Type: "stream"}, Content: bytes.Repeat([]byte(" "), 1000)})
			s.Send(IOPub, &Message{Header: Header{Type: "stream"}, Content: []byte(`{"text":"` + strings.Repeat("x", 1<<20) + `"}`)})
			for _, c := range []*Client{c, other} {
				if _, m := next(t, c); len(m.Content) != 1<<20+11 {
					t.Errorf("got %d bytes of a large message", len(m.Content))
				}
			}
			for range 3 {
				if err := c.Heartbeat(t.Context()); err != nil {
					t.Fatal(err)
				}
			}
		})
	}
}

// TestServerSurvives sends what is no message, or no frame, or not signed, and
// checks after each that the server still serves.
func TestServerSurvives(t *testing.T) {
	good := func(key string) [][]byte {
		frames, err := (&Message{Header: Header{ID: "1", Type: "call"}}).Frames([]byte(key))
		if err != nil {
			t.Fatal(err)
		}
		return frames
	}
	for _, tt := range []struct {
		name   string
		frames [][]byte
		log    string
	}{
		{"another key", good("another"), "dropped a message on shell: wrong signature"},
		{"no signature", good(""), "wrong signature"},
		{"no delimiter", [][]byte{[]byte("x")}, "no delimiter"},
		{"cut short", [][]byte{delimiter, nil}, "want at least 5"},
		{"no JSON", append([][]byte{delimiter, sign([]byte("key"), [][]byte{{'{'}, {}, {}, {}})}, []byte("{"), nil, nil, nil), "message header"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			conn := unixConnection(t)
			conn.Key = "key"
			_, j := serve(t, conn)
			c := connect(t, conn)
			if err := c.shell.SendMulti(zmq4.NewMsgFrom(tt.frames...)); err != nil {
				t.Fatal(err)
			}
			j.await(t, tt.log)
			checkEcho(t, c)
		})
	}
}

// TestServerSurvivesStrangers has somebody connect who does not speak as a
// ZeroMQ socket should.
func TestServerSurvivesStrangers(t *testing.T) {
	for _, tt := range []struct {
		name string
		act  func(t *testing.T, raw net.Conn)
		log  string
	}{
		{"silent", func(*testing.T, net.Conn) {}, ""},
		{"another protocol", func(t *testing.T, raw net.Conn) {
			raw.Write([]byte("GET / HTTP/1.1\r\nHost: localhost\r\nAccept: text/html, text/plain, */*\r\n\r\n"))
		}, "a connection failed"},
		{"another socket", func(t *testing.T, raw net.Conn) {
			zmq4.Open(raw, null.Security(), zmq4.Pub, nil, false, nil)
		}, "a connection failed"},
		{"frame without end", func(t *testing.T, raw net.Conn) {
			if _, err := zmq4.Open(raw, null.Security(), zmq4.Dealer, nil, false, nil); err != nil {
				t.Fatal(err)
			}
			raw.Write([]byte{2, 0x3f, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff})
		}, ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			conn := unixConnection(t)
			_, j := serve(t, conn)
			raw, err := net.Dial("unix", strings.TrimPrefix(conn.Endpoint(conn.ShellPort), "ipc://"))
			if err != nil {
				t.Fatal(err)
			}
			defer raw.Close()
			tt.act(t, raw)
			j.await(t, tt.log)
			checkEcho(t, connect(t, conn))
		})
	}
}

// TestServerCutsOffWhoStalls checks that a client that reads nothing does not
// keep others from receiving for good.
func TestServerCutsOffWhoStalls(t *testing.T) {
	conn := unixConnection(t)
	s, _ := serve(t, conn)
	s.channels[IOPub].limit = limits{queue: 1 << 20, stall: time.Second}
	raw, err := net.Dial("unix", strings.TrimPrefix(conn.Endpoint(conn.IOPubPort), "ipc://"))
	if err != nil {
		t.Fatal(err)
	}
	defer raw.Close()
	if _, err := zmq4.Open(raw, null.Security(), zmq4.Sub, nil, false, nil); err != nil {
		t.Fatal(err)
	}
	c := connect(t, conn)
	checkEcho(t, c)
	text := []byte(`"` + strings.Repeat("x", 64<<10) + `"`)
	const count = 1<<20>>16 + 8
	go func() {
		for range count {
			s.Send(IOPub, &Message{Header: Header{Type: "stream"}, Content: text})
		}
	}()
	for range count {
		next(t, c)
	}
	s.channels[IOPub].mu.Lock()
	defer s.channels[IOPub].mu.Unlock()
	if n := len(s.channels[IOPub].peers); n != 1 {
		t.Errorf("%d clients are left, want the one that reads", n)
	}
}

// TestServerCloseSends checks that nothing queued is lost on closing.
func TestServerCloseSends(t *testing.T) {
	for _, conn := range []Connection{unixConnection(t), tcpConnection(t)} {
		s, _ := serve(t, conn)
		c := connect(t, conn)
		checkEcho(t, c)
		const count = 200
		for i := range count {
			s.Send(IOPub, &Message{Header: Header{Type: "stream"}, Content: fmt.Append(nil, i)})
		}
		closed := make(chan error)
		go func() { closed <- s.Close() }()
		for i := 0; i < count; {
			ch, m, err := c.Receive(t.Context())
			if err != nil && ch != IOPub {
				continue // the other channels are closed sooner
			}
			if err != nil || string(m.Content) != fmt.Sprint(i) {
				t.Fatalf("message %d: got %+v, %v", i, m, err)
			}
			i++
		}
		c.Close()
		if err := <-closed; err != nil {
			t.Error(err)
		}
		if _, err := s.Receive(t.Context(), Shell); err == nil {
			t.Error("a closed server still receives")
		}
	}
}

// TestServerQueues checks that a client may send many requests before it reads
// the first reply.
func TestServerQueues(t *testing.T) {
	conn := unixConnection(t)
	s, _ := serve(t, conn)
	c := connect(t, conn)
	checkEcho(t, c)
	const count = 2000
	for range count {
		if _, err := c.Send(Shell, &Message{Header: Header{Type: "call"}}); err != nil {
			t.Fatal(err)
		}
	}
	for range count {
		next(t, c)
	}
	for p := range s.channels[Shell].peers {
		p.mu.Lock()
		if p.bytes != 0 || len(p.queue) != 0 {
			t.Errorf("%d bytes in %d messages are left", p.bytes, len(p.queue))
		}
		p.mu.Unlock()
	}
}

// TestServerIdentity has a client come again before the server has noticed that
// it left.
func TestServerIdentity(t *testing.T) {
	conn := unixConnection(t)
	s, _ := serve(t, conn)
	dealer := func() zmq4.Socket {
		d := zmq4.NewDealer(t.Context(), zmq4.WithID(zmq4.SocketIdentity("same")))
		t.Cleanup(func() { d.Close() })
		if err := d.Dial(conn.Endpoint(conn.ControlPort)); err != nil {
			t.Fatal(err)
		}
		return d
	}
	dealer()
	second := dealer()
	frames, err := (&Message{Header: Header{Type: "call"}}).Frames([]byte(conn.Key))
	if err != nil {
		t.Fatal(err)
	}
	if err := second.SendMulti(zmq4.NewMsgFrom(frames...)); err != nil {
		t.Fatal(err)
	}
	m, err := s.Receive(t.Context(), Control)
	if err != nil || len(m.Identities) != 1 || string(m.Identities[0]) != "same" {
		t.Fatalf("got %+v, %v", m, err)
	}
	s.Send(Control, &Message{Identities: m.Identities, Header: Header{Type: "answer"}})
	raw, err := second.Recv()
	if err != nil {
		t.Fatal(err)
	}
	if a, err := Parse(raw.Frames, []byte(conn.Key)); err != nil || a.Header.Type != "answer" {
		t.Errorf("the later of two got %+v, %v", a, err)
	}
}

// TestServerKeepsMail sends messages to clients before they come.
func TestServerKeepsMail(t *testing.T) {
	conn := unixConnection(t)
	s, _ := serve(t, conn)
	for i := range 100 {
		who := []string{"late", "nobody"}[i%2]
		if err := s.Send(Stdin, &Message{Identities: [][]byte{[]byte(who)}, Content: fmt.Append(nil, i)}); err != nil {
			t.Error(err)
		}
	}
	d := zmq4.NewDealer(t.Context(), zmq4.WithID(zmq4.SocketIdentity("late")))
	defer d.Close()
	if err := d.Dial(conn.Endpoint(conn.StdinPort)); err != nil {
		t.Fatal(err)
	}
	for i := 100 - mailLimit; i < 100; i += 2 {
		raw, err := d.Recv()
		if err != nil {
			t.Fatal(err)
		}
		if m, err := Parse(raw.Frames, []byte(conn.Key)); err != nil || string(m.Content) != fmt.Sprint(i) {
			t.Errorf("got %+v, %v, want %d", m, err, i)
		}
	}
	s.channels[Stdin].mu.Lock()
	defer s.channels[Stdin].mu.Unlock()
	if n := len(s.channels[Stdin].mail); n != mailLimit/2 {
		t.Errorf("keeps %d messages for nobody", n)
	}
}

func TestListenErrors(t *testing.T) {
	for _, conn := range []Connection{unixConnection(t), tcpConnection(t)} {
		serve(t, conn)
		if _, err := Listen(conn, nil); err == nil || !strings.HasPrefix(err.Error(), "shell socket: ") {
			t.Errorf("%s in use: got %v", conn.Transport, err)
		}
	}
}

// TestListenAfterKill listens where a process that was killed has left its
// sockets behind.
func TestListenAfterKill(t *testing.T) {
	conn := unixConnection(t)
	path := strings.TrimPrefix(conn.Endpoint(conn.IOPubPort), "ipc://")
	l, err := net.Listen("unix", path)
	if err != nil {
		t.Fatal(err)
	}
	l.(*net.UnixListener).SetUnlinkOnClose(false)
	l.Close()
	s, _ := serve(t, conn)
	checkEcho(t, connect(t, conn))
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the socket's mode: got %v, %v, want 0600", info, err)
	}
	s.Close()
	if _, err := os.Stat(path); !os.IsNotExist(err) {
		t.Errorf("a closed server leaves its socket: %v", err)
	}
}

// TestEncode checks the framing of ZMTP 3.0 against its text: flag 1 for more
// frames to come, flag 2 for a length of 8 bytes instead of 1.
func TestEncode(t *testing.T) {
	long := bytes.Repeat([]byte("y"), 256)
	got := encode([][]byte{[]byte("ab"), nil, long})
	want := append([]byte{1, 2, 'a', 'b', 1, 0, 2, 0, 0, 0, 0, 0, 0, 1, 0}, long...)
	if !bytes.Equal(got, want) {
		t.Errorf("got % x", got[:20])
	}
}

// BenchmarkRoundTrip measures a request and its reply over a Unix socket.
func BenchmarkRoundTrip(b *testing.B) {
	conn, err := NewConnection(b.TempDir())
	if err != nil {
		b.Fatal(err)
	}
	s, err := Listen(conn, nil)
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	go func() {
		for {
			m, err := s.Receive(b.Context(), Shell)
			if err != nil {
				return
			}
			s.Send(Shell, &Message{Identities: m.Identities, Parent: m.Header, Content: m.Content})
		}
	}()
	c, err := Dial(b.Context(), conn)
	if err != nil {
		b.Fatal(err)
	}
	defer c.Close()
	for b.Loop() {
		if _, err := c.Send(Shell, &Message{Header: Header{Type: "call"}}); err != nil {
			b.Fatal(err)
		}
		if _, _, err := c.Receive(b.Context()); err != nil {
			b.Fatal(err)
		}
	}
}
