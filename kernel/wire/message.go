// Package wire speaks the Jupyter messaging protocol, version 5: the signed
// multipart messages, the connection file, a [Client] that sends a kernel
// requests and gathers what belongs to each, and a [Server], the kernel's side
// of a connection.
//
// It knows nothing of notebooks, nor of any kernel in particular. The protocol
// is described at
// https://jupyter-client.readthedocs.io/en/stable/messaging.html.
package wire

import (
	"bytes"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
)

// Version is the protocol version announced in the headers of our messages.
const Version = "5.4"

// The message types this package acts on or sends.
const (
	KernelInfoRequest = "kernel_info_request"
	KernelInfoReply   = "kernel_info_reply"
	ExecuteRequest    = "execute_request"
	ExecuteReply      = "execute_reply"
	InterruptRequest  = "interrupt_request"
	ShutdownRequest   = "shutdown_request"
	InputRequest      = "input_request"
	Status            = "status"
)

// Header says what a message is and which session sent it.
type Header struct {
	ID       string `json:"msg_id"`
	Session  string `json:"session"`
	Username string `json:"username"`
	Date     string `json:"date"` // ISO 8601 with zone
	Type     string `json:"msg_type"`
	Version  string `json:"version"`
}

// Message is one message of the protocol.
type Message struct {
	// Identities are the routing frames before the delimiter.
	Identities [][]byte
	Header     Header
	// Parent is the header of the request this message answers; its zero
	// value, written as {}, means there is none.
	Parent   Header
	Metadata json.RawMessage
	Content  json.RawMessage
	// Buffers are the binary frames after the content.
	Buffers [][]byte
}

// Decode decodes the message's content into v, a pointer. The error names the
// message's type.
func (m *Message) Decode(v any) error {
	if err := json.Unmarshal(m.Content, v); err != nil {
		return fmt.Errorf("content of %s: %w", m.Header.Type, err)
	}
	return nil
}

// delimiter ends the routing frames.
var delimiter = []byte("<IDS|MSG>")

// ErrSignature is the error for a message signed with another key, or altered.
var ErrSignature = errors.New("wrong signature")

// Frames returns the message as the frames of a multipart message: the
// identities, the delimiter, the hexadecimal HMAC-SHA256 of the next four under
// key, header, parent header, metadata, content, and the buffers. An empty key
// means no signature. The error is for metadata or content that is no JSON.
func (m *Message) Frames(key []byte) ([][]byte, error) {
	header, err := json.Marshal(m.Header)
	if err != nil {
		return nil, err
	}
	parent := []byte("{}")
	if m.Parent != (Header{}) {
		if parent, err = json.Marshal(m.Parent); err != nil {
			return nil, err
		}
	}
	signed := [][]byte{header, parent, orEmpty(m.Metadata), orEmpty(m.Content)}
	for i, name := range []string{"metadata", "content"} {
		if !json.Valid(signed[2+i]) {
			return nil, fmt.Errorf("%s of %s: not JSON", name, m.Header.Type)
		}
	}
	frames := append([][]byte{}, m.Identities...)
	frames = append(frames, delimiter, sign(key, signed))
	frames = append(frames, signed...)
	return append(frames, m.Buffers...), nil
}

func orEmpty(raw json.RawMessage) []byte {
	if len(raw) == 0 {
		return []byte("{}")
	}
	return raw
}

// Parse reads a multipart message and checks its signature under key; with an
// empty key the signature is not looked at. A wrong one gives [ErrSignature].
// The message refers to the frames' memory.
func Parse(frames [][]byte, key []byte) (*Message, error) {
	start := -1
	for i, f := range frames {
		if bytes.Equal(f, delimiter) {
			start = i
			break
		}
	}
	if start < 0 {
		return nil, fmt.Errorf("message of %d frames has no delimiter %s", len(frames), delimiter)
	}
	rest := frames[start+1:]
	if len(rest) < 5 {
		return nil, fmt.Errorf("message has %d frames after the delimiter, want at least 5", len(rest))
	}
	signature, signed := rest[0], rest[1:5]
	if len(key) > 0 && !hmac.Equal(signature, sign(key, signed)) {
		return nil, ErrSignature
	}
	m := &Message{
		Identities: frames[:start:start],
		Metadata:   signed[2],
		Content:    signed[3],
		Buffers:    rest[5:],
	}
	if err := json.Unmarshal(signed[0], &m.Header); err != nil {
		return nil, fmt.Errorf("message header: %w", err)
	}
	if err := json.Unmarshal(signed[1], &m.Parent); err != nil {
		return nil, fmt.Errorf("parent header of %s: %w", m.Header.Type, err)
	}
	for i, name := range []string{"metadata", "content"} {
		if !json.Valid(signed[2+i]) {
			return nil, fmt.Errorf("%s of %s: not JSON", name, m.Header.Type)
		}
	}
	return m, nil
}

// sign returns the hexadecimal HMAC-SHA256 of the frames, which is empty for an
// empty key.
func sign(key []byte, frames [][]byte) []byte {
	if len(key) == 0 {
		return nil
	}
	mac := hmac.New(sha256.New, key)
	for _, f := range frames {
		mac.Write(f)
	}
	return hex.AppendEncode(nil, mac.Sum(nil))
}
