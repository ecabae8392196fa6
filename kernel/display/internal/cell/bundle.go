// Package cell is the side of a notebook cell that its program sees: it sends
// displays to the kernel, finds the place for files, and ends the program over a
// mistake.
package cell

import (
	"encoding/gob"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/janpfeifer/gonb/gonbui"
	"github.com/janpfeifer/gonb/gonbui/protocol"
)

// Bundle is one display: the same thing in several formats, by MIME type. Values
// of types that end in +json are encoded as JSON; all others are texts. Every
// bundle has [Text].
type Bundle map[string]any

// The formats of texts.
const (
	Text     = string(protocol.MIMETextPlain)
	HTML     = string(protocol.MIMETextHTML)
	Markdown = string(protocol.MIMETextMarkdown)
)

// Send shows the bundle in the notebook, or prints its text where there is none.
// It returns when the kernel has passed the display on.
func Send(b Bundle) error {
	if !gonbui.IsNotebook {
		_, err := fmt.Println(strings.TrimRight(fmt.Sprint(b[Text]), "\n"))
		return err
	}
	data := &protocol.DisplayData{Data: map[protocol.MIMEType]any{}}
	for mime, v := range b {
		if strings.HasSuffix(mime, "+json") {
			plain, err := plainJSON(v)
			if err != nil {
				return fmt.Errorf("%s: %w", mime, err)
			}
			v = plain
		}
		data.Data[protocol.MIMEType(mime)] = v
	}
	// What the cell has printed goes another way to the kernel, which takes it
	// up as it comes; a moment keeps the order.
	time.Sleep(printDelay)
	gonbui.SendData(data)
	return synchronise()
}

const (
	printDelay = 5 * time.Millisecond
	syncLimit  = 20 * time.Second
)

// synchronise waits until the kernel has passed on what was sent. Without it
// displays may arrive late or, at the end of a program, not at all.
func synchronise() error {
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
	case <-time.After(syncLimit):
		return errors.New("the kernel does not answer")
	}
}

// The types that JSON is made of, for the encoding in which gonb takes displays
// to the kernel. The kernel knows them by the same names.
func init() {
	gob.Register(map[string]any{})
	gob.Register([]any{})
}

// plainJSON turns v into maps, slices, texts, numbers and truth values.
func plainJSON(v any) (any, error) {
	raw, err := json.Marshal(v)
	if err != nil {
		return nil, err
	}
	var plain any
	err = json.Unmarshal(raw, &plain)
	return plain, err
}
