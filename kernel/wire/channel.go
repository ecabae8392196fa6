package wire

import (
	"crypto/rand"
	"time"
)

// Channel names one of the sockets of a connection that carry messages.
type Channel int

// The channels: of requests and replies, of those that must not wait behind
// others, of requests for input, and of what all clients hear.
const (
	Shell Channel = iota
	Control
	Stdin
	IOPub
)

func (c Channel) String() string {
	switch c {
	case Shell:
		return "shell"
	case Control:
		return "control"
	case Stdin:
		return "stdin"
	case IOPub:
		return "iopub"
	}
	return "unknown channel"
}

// dateForm is ISO 8601 with microseconds, the finest that clients in Python
// read as a time.
const dateForm = "2006-01-02T15:04:05.000000Z"

// complete fills in what is empty of a header that is about to be sent.
func (h *Header) complete(session, username string) {
	if h.ID == "" {
		h.ID = rand.Text()
	}
	if h.Session == "" {
		h.Session = session
	}
	if h.Username == "" {
		h.Username = username
	}
	if h.Date == "" {
		h.Date = time.Now().UTC().Format(dateForm)
	}
	if h.Version == "" {
		h.Version = Version
	}
}
