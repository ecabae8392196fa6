package show

import (
	"bytes"
	"errors"
	"os"
	"sort"
	"time"
)

// The environment variables that name the pipes to and from the kernel.
const (
	pipeVariable = "GONB_PIPE"
	backVariable = "GONB_PIPE_BACK"
)

// The kernel reads displays in the encoding of package encoding/gob, as structs
//
//	DisplayData{Data map[string]any, Metadata map[string]any, DisplayID string}
//
// The format is that of gob's documentation. Linking gob itself takes longer
// than everything else that this package needs.
const (
	// definitions tell gob's reader of the types; they are sent once.
	definitions = ">\x7f\x03\x01\x01\vDisplayData\x01\xff\x80\x00\x01\x03\x01\x04Data\x01\xff\x82\x00\x01\bMetadata\x01\xff\x84\x00\x01\tDisplayID\x01\f\x00\x00\x00" +
		"2\xff\x81\x04\x01\x01\"map[protocol.MIMEType]interface {}\x01\xff\x82\x00\x01\f\x01\x10\x00\x00" +
		"'\xff\x83\x04\x01\x01\x17map[string]interface {}\x01\xff\x84\x00\x01\f\x01\x10\x00\x00"
	// request asks the kernel to say when it has passed on what came before.
	request = "\xff\x82\xff\x80\x01\x01\x0fgonb/comm_value4github.com/janpfeifer/gonb/gonbui/protocol.CommValue" +
		"\xff\x85\x03\x01\x01\tCommValue\x01\xff\x86\x00\x01\x03\x01\aAddress\x01\f\x00\x01\aRequest\x01\x02\x00\x01\x05Value\x01\x10\x00\x00\x00" +
		"\x1c\xff\x86\x18\x01\f#gonbui/sync\x02\x03int\x04\x02\x00\x02\x00\x00"
	// again is the same, once CommValue is known.
	again = "e\xff\x80\x01\x01\x0fgonb/comm_value4github.com/janpfeifer/gonb/gonbui/protocol.CommValue" +
		"\xff\x86\x18\x01\f#gonbui/sync\x02\x03int\x04\x02\x00\x02\x00\x00"
	// answer is in what the kernel says then.
	answer = "#gonbui/sync_ack"
)

// gobs appends values in gob's encoding.
type gobs []byte

func (g *gobs) uint(n int) {
	if n < 128 {
		*g = append(*g, byte(n))
		return
	}
	var digits []byte
	for ; n > 0; n >>= 8 {
		digits = append([]byte{byte(n)}, digits...)
	}
	*g = append(append(*g, byte(-len(digits))), digits...)
}

func (g *gobs) text(s string) {
	g.uint(len(s))
	*g = append(*g, s...)
}

// held writes a value in an interface: its type's name and number, and how long
// it is.
func (g *gobs) held(name string, number int, value gobs) {
	g.text(name)
	g.uint(2 * number)
	g.uint(len(value) + 1)
	*g = append(append(*g, 0), value...)
}

// The numbers of gob's own types.
const (
	gobBool  = 1
	gobBytes = 5
	gobText  = 6
)

// message returns a display as gob writes it.
func message(b Bundle, metadata map[string]bool) []byte {
	body := gobs("\xff\x80") // the number of DisplayData
	body.uint(1)             // its first field
	body.uint(len(b))
	keys := make([]string, 0, len(b))
	for mime := range b {
		keys = append(keys, mime)
	}
	sort.Strings(keys)
	for _, mime := range keys {
		body.text(mime)
		var value gobs
		switch v := b[mime].(type) {
		case string:
			value.text(v)
			body.held("string", gobText, value)
		case []byte:
			value.text(string(v))
			body.held("[]uint8", gobBytes, value)
		}
	}
	if len(metadata) > 0 {
		body.uint(1) // the next field
		body.uint(len(metadata))
		for key, v := range metadata {
			body.text(key)
			var value gobs
			if v {
				value.uint(1)
			} else {
				value.uint(0)
			}
			body.held("bool", gobBool, value)
		}
	}
	body.uint(0) // the end of the struct
	var out gobs
	out.uint(len(body))
	return append(out, body...)
}

// speaker is the connection to the kernel.
type speaker struct {
	to, from *os.File
	heard    []byte // of the next answer
}

var one *speaker

func send(b Bundle, metadata map[string]bool) error {
	out, ask := message(b, metadata), again
	if one == nil {
		var err error
		if one, err = open(); err != nil {
			return err
		}
		out, ask = append([]byte(definitions), out...), request
	}
	if _, err := one.to.Write(append(out, ask...)); err != nil {
		return err
	}
	return one.await()
}

func open() (*speaker, error) {
	to, err := os.OpenFile(os.Getenv(pipeVariable), os.O_WRONLY, 0)
	if err != nil {
		return nil, err
	}
	from, err := os.Open(os.Getenv(backVariable))
	if err != nil {
		return nil, err
	}
	return &speaker{to: to, from: from}, nil
}

const patience = 20 * time.Second

// await waits until the kernel has passed on what was sent. Without that a
// display may arrive late or, at the end of a program, not at all.
func (s *speaker) await() error {
	done := make(chan error, 1)
	go func() {
		buf := make([]byte, 4096)
		for {
			if _, after, ok := bytes.Cut(s.heard, []byte(answer)); ok {
				s.heard = after
				done <- nil
				return
			}
			n, err := s.from.Read(buf)
			if err != nil {
				done <- err
				return
			}
			s.heard = append(s.heard, buf[:n]...)
		}
	}()
	select {
	case err := <-done:
		return err
	case <-time.After(patience):
		return errors.New("the kernel does not answer")
	}
}
