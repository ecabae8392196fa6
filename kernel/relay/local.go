package relay

import (
	"context"
	"errors"
	"fmt"
	"os"

	"example.com/railbook/kernel/wire"
)

// Local is a kernel in this process with a client of its own. It is what package
// session runs notebooks on.
type Local struct {
	r      *relay
	dir    string
	client *wire.Client
	cancel context.CancelCauseFunc
	died   chan struct{}
	ended  error // why the kernel ended, set before died is closed
}

var errClosed = errors.New("closed")

// Start serves a kernel on Unix sockets in a folder of its own and connects to
// it. When ctx ends before that has succeeded, nothing is left of it. The end of
// ctx afterwards changes nothing: call [Local.Close].
//
// The kernel answers at once; the first cell waits for the cell kernel.
func Start(ctx context.Context, o Options) (*Local, error) {
	if o.Start == nil {
		return nil, errNoStart
	}
	if o.Log == nil {
		o.Log = func(string) {}
	}
	dir, err := os.MkdirTemp(o.Folder, "railbook-relay-")
	if err != nil {
		return nil, err
	}
	l := &Local{dir: dir, died: make(chan struct{})}
	conn, err := wire.NewConnection(dir)
	if err != nil {
		return nil, errors.Join(err, os.RemoveAll(dir))
	}
	srv, err := wire.Listen(conn, o.Log)
	if err != nil {
		return nil, errors.Join(err, os.RemoveAll(dir))
	}
	l.r = newRelay(srv, o)
	life, cancel := context.WithCancelCause(context.WithoutCancel(ctx))
	l.cancel = cancel
	go func() {
		l.ended = l.r.serve(life)
		close(l.died)
	}()
	if l.client, err = wire.Dial(ctx, conn); err == nil {
		_, err = l.client.Ready(ctx)
	}
	if err != nil {
		return nil, errors.Join(err, l.Close())
	}
	return l, nil
}

// Client returns the connection to the kernel.
func (l *Local) Client() *wire.Client { return l.client }

// Died is closed when the kernel has ended, which it does by itself only if a
// client shuts it down. The death of a cell kernel is not one of it.
func (l *Local) Died() <-chan struct{} { return l.died }

// DeathError says how the kernel ended. Call it after [Local.Died] is closed.
func (l *Local) DeathError() error {
	if l.ended == nil {
		return errors.New("the kernel was shut down")
	}
	return fmt.Errorf("the kernel ended: %w", l.ended)
}

// Source returns the Go program the cell kernel made of the last cell.
func (l *Local) Source() ([]byte, error) {
	up := l.r.kernels.alive()
	if up == nil {
		return nil, errors.New("no cell kernel is running")
	}
	return up.kernel.Source()
}

// Close ends the kernel and all it has started, and removes its files. It may be
// called again.
func (l *Local) Close() error {
	l.cancel(errClosed)
	<-l.died
	if l.client != nil {
		l.client.Close()
	}
	return os.RemoveAll(l.dir)
}
