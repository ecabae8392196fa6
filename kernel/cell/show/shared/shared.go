// Package shared has package show send displays through the connection that the
// cell kernel's own library holds. It is for programs that link that library:
// two speakers on one pipe would talk at the same time.
package shared

import (
	"errors"
	"fmt"
	"time"

	"github.com/janpfeifer/gonb/gonbui"
	"github.com/janpfeifer/gonb/gonbui/protocol"

	"example.com/railbook/kernel/cell/show"
)

func init() { show.Send = send }

const patience = 20 * time.Second

func send(b show.Bundle, metadata map[string]bool) error {
	d := &protocol.DisplayData{Data: map[protocol.MIMEType]any{}, Metadata: map[string]any{}}
	for mime, v := range b {
		d.Data[protocol.MIMEType(mime)] = v
	}
	for key, v := range metadata {
		d.Metadata[key] = v
	}
	gonbui.SendData(d)
	if err := gonbui.Error(); err != nil {
		return fmt.Errorf("the kernel cannot be reached: %v", err)
	}
	done := make(chan struct{})
	go func() {
		gonbui.Sync()
		close(done)
	}()
	select {
	case <-done:
		return nil
	case <-time.After(patience):
		return errors.New("the kernel does not answer")
	}
}
