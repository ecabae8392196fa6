package wire

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
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
// time, except those that only send, [Client.Heartbeat] and [Client.Close].
type Client struct {
	key     []byte
	session string

	shell, control, iopub, stdin, hb zmq4.Socket

	replies chan received // from shell, control and stdin
	outputs chan received // from iopub
	cancel  context.CancelFunc
	ctx     context.Context // ends with Close
	readers sync.WaitGroup

	sending [IOPub + 1]sync.Mutex // by channel
}

// received is a message, or why a socket gives no more.
type received struct {
	from Channel
	msg  *Message
	err  error
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
	for from, to := range []chan received{Shell: c.replies, Control: c.replies, Stdin: c.replies, IOPub: c.outputs} {
		c.readers.Go(func() { c.read(Channel(from), to) })
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
func (c *Client) read(from Channel, to chan<- received) {
	socket := c.socket(from)
	for {
		r := received{from: from}
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

func (c *Client) socket(ch Channel) zmq4.Socket {
	return []zmq4.Socket{Shell: c.shell, Control: c.control, Stdin: c.stdin, IOPub: c.iopub}[ch]
}

// Send sends a message and returns its ID. It fills in what is empty of the
// header, save the type.
func (c *Client) Send(ch Channel, m *Message) (id string, err error) {
	m.Header.complete(c.session, "railbook")
	frames, err := m.Frames(c.key)
	if err != nil {
		return "", err
	}
	c.sending[ch].Lock()
	defer c.sending[ch].Unlock()
	if err := c.socket(ch).SendMulti(zmq4.NewMsgFrom(frames...)); err != nil {
		return "", fmt.Errorf("sending %s: %w", m.Header.Type, err)
	}
	return m.Header.ID, nil
}

// send sends a request and returns its message ID.
func (c *Client) send(ch Channel, typ string, content any) (id string, err error) {
	raw, err := json.Marshal(content)
	if err != nil {
		return "", fmt.Errorf("%s: %w", typ, err)
	}
	return c.Send(ch, &Message{Header: Header{Type: typ}, Content: raw})
}

// Receive returns the next message of any channel. After an error for a broken
// channel there may still be messages of the others; each channel gives such an
// error once. When ctx ends, its cause is in the error.
func (c *Client) Receive(ctx context.Context) (Channel, *Message, error) {
	select {
	case r := <-c.replies:
		return r.from, r.msg, r.err
	case r := <-c.outputs:
		return r.from, r.msg, r.err
	case <-c.ctx.Done():
		return 0, nil, errors.New("the connection to the kernel is closed")
	case <-ctx.Done():
		return 0, nil, fmt.Errorf("waiting for a message: %w", context.Cause(ctx))
	}
}

// Interrupt asks the kernel to interrupt the running cell.
func (c *Client) Interrupt() error {
	_, err := c.send(Control, InterruptRequest, struct{}{})
	return err
}

// Shutdown asks the kernel to end. It does not wait for an answer, which some
// kernels send on another socket and some not at all: watch the process.
func (c *Client) Shutdown() error {
	_, err := c.send(Control, ShutdownRequest, map[string]bool{"restart": false})
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
