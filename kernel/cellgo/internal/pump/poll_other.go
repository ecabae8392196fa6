//go:build unix && !linux

package pump

import "time"

// ordered tells whether wait returns the files in the order of writing.
const ordered = false

// poller has the files looked at from time to time, in the order in which they
// were given.
type poller struct{ fds []int }

func newPoller(fds ...int) (*poller, error) { return &poller{fds}, nil }

// pollStep is how often the files are looked at.
const pollStep = 2 * time.Millisecond

// wait waits for a moment, at most for limit unless that is negative, and
// returns all files.
func (p *poller) wait(limit time.Duration) ([]int, error) {
	if limit < 0 || limit > pollStep {
		limit = pollStep
	}
	time.Sleep(limit)
	return p.fds, nil
}

func (p *poller) close() {}
