// Package stream prepares what a program writes for a front end: small pieces
// are joined, and the Go runtime's account of a panic is told from the rest.
package stream

import "time"

// Interval is the time within which pieces of one stream are joined, and so how
// late a piece can be. The first after a pause is not delayed.
const Interval = 20 * time.Millisecond

// maxJoined is how long a joined text gets.
const maxJoined = 32 << 10

// Joiner joins pieces of text of one stream. Its zero value is ready for use, by
// one goroutine at a time.
type Joiner struct {
	// Emit is called with the joined texts, in order.
	Emit func(name, text string)

	name string
	text []byte
	last time.Time // when a text was emitted
}

// Add takes a piece written at the time now. Until [Joiner.Flush] is called, at
// the latest at [Joiner.Due], it may be kept.
func (j *Joiner) Add(now time.Time, name, text string) {
	if text == "" {
		return
	}
	if name != j.name {
		j.Flush(now)
		j.name = name
	}
	j.text = append(j.text, text...)
	if len(j.text) >= maxJoined || now.Sub(j.last) >= Interval {
		j.Flush(now)
	}
}

// Flush emits what is kept.
func (j *Joiner) Flush(now time.Time) {
	if len(j.text) == 0 {
		return
	}
	j.Emit(j.name, string(j.text))
	j.text = j.text[:0]
	j.last = now
}

// Due returns when Flush has to be called. It is false if nothing is kept.
func (j *Joiner) Due() (time.Time, bool) {
	return j.last.Add(Interval), len(j.text) > 0
}
