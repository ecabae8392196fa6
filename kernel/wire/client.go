package wire

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"fmt"
	"io"
	"log"
	"sync"
	"time"

	"github.com/go-zeromq/zmq4"
)

// dialRetry is the pause between attempts to reach a kernel that is starting.
const dialRetry = 10 * time.Millisecond

// Client is a connection to a kernel. Its methods are for one goroutine at a
// time, except [Client.Interrupt], [Client.Heartbeat] and [Client.Close].
type Client struct {
	key     []byte
	session string

	shell, control, iopub, stdin, hb zmq4.Socket

	replies chan received // from shell, control and stdin
	outputs chan received // from iopub
	cancel  context.CancelFunc
	ctx     context.Context // ends with Close
	readers sync.WaitGroup

	sending sync.Mutex
}

// received is a message, or why a socket gives no more.
type received struct {
	msg *Message
	err error
}

// Dial connects to the kernel. It tries until the kernel listens on all five
// sockets or ctx ends.
func Dial(ctx context.Context, conn Connection) (*Client, error) {
	life, cancel := context.WithCancel(context.Background())
	identity := zmq4.WithID(zmq4.SocketIdentity(rand.Text()))
	options := []zmq4.Option{
		zmq4.WithDialerRetry(dialRetry),
		zmq4.WithDialerMaxRetries(-1),
		zmq4.WithLogger(log.New(io.Discard, "", 0)),
	}
	c := &Client{
		key:     []byte(conn.Key),
		session: rand.Text(),
		ctx:     life,
		cancel:  cancel,
		replies: make(chan received),
		outputs: make(chan received),

		shell:   zmq4.NewDealer(life, append(options, identity)...),
		control: zmq4.NewDealer(life, append(options, identity)...),
		stdin:   zmq4.NewDealer(life, append(options, identity)...), // must be the identity of shell
		iopub:   zmq4.NewSub(life, options...),
		hb:      zmq4.NewReq(life, options...),
	}
	dialed := make(chan error, 1)
	go func() { dialed <- c.dial(conn) }()
	select {
	case err := <-dialed:
		if err != nil {
			c.Close()
			return nil, fmt.Errorf("connecting to the kernel: %w", err)
		}
	case <-ctx.Done():
		c.cancel()
		<-dialed
		c.Close()
		return nil, fmt.Errorf("connecting to the kernel: %w", context.Cause(ctx))
	}
	for _, s := range []struct {
		socket zmq4.Socket
		to     chan received
	}{{c.shell, c.replies}, {c.control, c.replies}, {c.stdin, c.replies}, {c.iopub, c.outputs}} {
		c.readers.Go(func() { c.read(s.socket, s.to) })
	}
	return c, nil
}

func (c *Client) dial(conn Connection) error {
	// The subscription comes first: what a kernel publishes before it is lost.
	if err := c.iopub.SetOption(zmq4.OptionSubscribe, ""); err != nil {
		return err
	}
	for _, s := range []struct {
		socket zmq4.Socket
		port   int
	}{
		{c.iopub, conn.IOPubPort}, {c.shell, conn.ShellPort}, {c.control, conn.ControlPort},
		{c.stdin, conn.StdinPort}, {c.hb, conn.HBPort},
	} {
		if err := s.socket.Dial(conn.Endpoint(s.port)); err != nil {
			return err
		}
	}
	return nil
}

// read passes on what the socket receives until it breaks or the client is
// closed. Messages that are malformed or wrongly signed are dropped, as the
// protocol asks.
func (c *Client) read(socket zmq4.Socket, to chan<- received) {
	for {
		var r received
		raw, err := socket.Recv()
		if err != nil {
			r.err = fmt.Errorf("connection to the kernel lost: %w", err)
		} else if r.msg, err = Parse(raw.Frames, c.key); err != nil {
			continue
		}
		select {
		case to <- r:
		case <-c.ctx.Done():
			return
		}
		if r.err != nil {
			return
		}
	}
}

// Close ends the connection. The kernel is not told.
func (c *Client) Close() error {
	c.cancel()
	var first error
	for _, s := range []zmq4.Socket{c.shell, c.control, c.iopub, c.stdin, c.hb} {
		if err := s.Close(); err != nil && first == nil {
			first = err
		}
	}
	c.readers.Wait()
	return first
}

// send sends a request and returns its message ID.
func (c *Client) send(socket zmq4.Socket, typ string, content any) (id string, err error) {
	raw, err := json.Marshal(content)
	if err != nil {
		return "", fmt.Errorf("%s: %w", typ, err)
	}
	m := &Message{
		Header: Header{
			ID:       rand.Text(),
			Session:  c.session,
			Username: "railbook",
			Date:     time.Now().UTC().Format(time.RFC3339Nano),
			Type:     typ,
			Version:  Version,
		},
		Content: raw,
	}
	frames, err := m.Frames(c.key)
	if err != nil {
		return "", err
	}
	c.sending.Lock()
	defer c.sending.Unlock()
	if err := socket.SendMulti(zmq4.NewMsgFrom(frames...)); err != nil {
		return "", fmt.Errorf("sending %s: %w", typ, err)
	}
	return m.Header.ID, nil
}

// Interrupt asks the kernel to interrupt the running cell.
func (c *Client) Interrupt() error {
	_, err := c.send(c.control, InterruptRequest, struct{}{})
	return err
}

// Shutdown asks the kernel to end. It does not wait for an answer, which some
// kernels send on another socket and some not at all: watch the process.
func (c *Client) Shutdown() error {
	_, err := c.send(c.control, ShutdownRequest, map[string]bool{"restart": false})
	return err
}

// Heartbeat sends the kernel's heartbeat socket a ping and waits for its echo.
// An error means that ctx ended before it came, or the connection broke; after
// that the client's heartbeat is no longer usable.
func (c *Client) Heartbeat(ctx context.Context) error {
	echo := make(chan error, 1)
	go func() {
		err := c.hb.Send(zmq4.NewMsgString("ping"))
		if err == nil {
			_, err = c.hb.Recv()
		}
		echo <- err
	}()
	select {
	case err := <-echo:
		return err
	case <-ctx.Done():
		return context.Cause(ctx)
	}
}
