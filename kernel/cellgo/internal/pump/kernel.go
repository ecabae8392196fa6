//go:build unix

package pump

import (
	"encoding/gob"
	"errors"
	"fmt"
	"os"

	"example.com/railbook/kernel/cellio"
	"github.com/janpfeifer/gonb/gonbui/protocol"
)

// kernel is the side of the pump that the kernel sees: a program that shows
// things.
type kernel struct {
	out, in *os.File
	encoder *gob.Encoder
	limit   *limit
	acked   chan int
	gone    chan struct{} // closed when the kernel has closed its side
}

// open opens the pipes to and from the kernel. Each waits for the kernel.
func open(outPath, inPath string, limit *limit) (*kernel, error) {
	out, err := os.OpenFile(outPath, os.O_WRONLY, 0)
	if err != nil {
		return nil, err
	}
	in, err := os.Open(inPath)
	if err != nil {
		out.Close()
		return nil, err
	}
	return &kernel{
		out: out, in: in, encoder: gob.NewEncoder(out), limit: limit,
		acked: make(chan int, 1), gone: make(chan struct{}),
	}, nil
}

// listen receives values from the kernel until that closes its side, and calls
// deliver for those that are meant for the program.
func (k *kernel) listen(deliver func(*protocol.CommValue)) {
	defer close(k.gone)
	for decoder := gob.NewDecoder(k.in); ; {
		var v protocol.CommValue
		if err := decoder.Decode(&v); err != nil {
			return
		}
		if v.Address != protocol.GonbuiSyncAckAddress {
			deliver(&v)
		} else if n, ok := v.Value.(int); ok {
			select {
			case k.acked <- n:
			default: // nobody waits for two
			}
		}
	}
}

// event sends an event.
func (k *kernel) event(e cellio.Event) error {
	k.limit.event(len(e.Text), k.gone)
	data := map[protocol.MIMEType]any{}
	for mime, v := range e.Bundle() {
		data[protocol.MIMEType(mime)] = v
	}
	return k.encoder.Encode(&protocol.DisplayData{Data: data})
}

// display passes on what the program shows, which came as so many bytes.
func (k *kernel) display(data *protocol.DisplayData, size int) error {
	k.limit.display(size, k.gone)
	return k.encoder.Encode(data)
}

// alive reports whether the kernel still has its side open.
func (k *kernel) alive() bool {
	select {
	case <-k.gone:
		return false
	default:
		return true
	}
}

// lastSync is the number of the pump's only request for confirmation.
const lastSync = 1 << 30

// errGone says that the kernel has closed its side.
var errGone = errors.New("the kernel is gone")

// sync waits until the kernel has passed on all that was sent.
func (k *kernel) sync() error {
	err := k.encoder.Encode(&protocol.DisplayData{Data: map[protocol.MIMEType]any{
		protocol.MIMECommValue: protocol.CommValue{Address: protocol.GonbuiSyncAddress, Value: lastSync},
	}})
	if err != nil {
		return err
	}
	select {
	case n := <-k.acked:
		if n != lastSync {
			return fmt.Errorf("the kernel confirms request %d, want %d", n, lastSync)
		}
		return nil
	case <-k.gone:
		return errGone
	}
}
