//go:build unix

package pump

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"syscall"
	"time"

	"example.com/railbook/kernel/cellio"
	"github.com/janpfeifer/gonb/gonbui/protocol"
)

// pipeSize is how much a pipe holds that nobody has made larger. It is a bound
// for how much was written to it before something else happened.
const pipeSize = 64 << 10

// pump brings to the kernel what comes from the program.
type pump struct {
	kernel *kernel
	text   *text
	shown  *displays
	values *values // to the program

	poller poller
	stdout, stderr,
	display, // the pipe for what the program shows
	wake int // something was written to it when something else happened
	textBuf, displayBuf [pipeSize]byte

	// first says that the next display goes before all text that is not read yet:
	// the poller has told so.
	first bool
	// empty says that the pipe for displays was empty when the poller was asked
	// last. Then the next that the poller tells about it tells of its first byte.
	empty bool
}

// lateLimit is for how long text is accepted after the end of all processes.
const lateLimit = time.Second

// files is how many files the pump reads.
const files = 4

// run brings over all that comes, until ended is closed and nothing comes any
// more.
func (p *pump) run(ended <-chan struct{}) error {
	var queue []int // files that have something to read
	var late <-chan time.Time
	for idle := 0; ; {
		select {
		case <-p.kernel.gone:
			return errGone
		case <-late:
			return p.text.end()
		case <-ended:
			// Nobody is left to write, except who got away with a pipe.
			if late == nil {
				late = time.After(lateLimit)
				idle = 0
			}
			if idle > files { // each of them was looked at
				return p.text.end()
			}
		default:
		}
		ready, err := p.poller.wait(p.patience(late != nil || len(queue) > 0))
		if err != nil {
			return err
		}
		for _, fd := range ready {
			if !slices.Contains(queue, fd) {
				queue = append(queue, fd)
			}
		}
		p.order(queue)
		idle++ // looks in a row that find nothing
		if len(queue) > 0 {
			fd := queue[0]
			queue = queue[1:]
			more, err := p.read(fd)
			if err != nil {
				return err
			}
			if more {
				idle = 0
				queue = append(queue, fd)
			}
		}
		if err := p.text.flushDue(); err != nil {
			return err
		}
	}
}

// patience returns how long to wait for something to read: not at all if there
// is work, and until text has to be sent if there is some; otherwise for ever,
// which a negative duration stands for.
func (p *pump) patience(work bool) time.Duration {
	if work {
		return 0
	}
	if wait, ok := p.text.due(); ok {
		return wait
	}
	return -1
}

// order judges, from the files that have something to read, whether the next
// display goes before the text that is not read yet.
func (p *pump) order(queue []int) {
	if !p.poller.ordered() {
		return
	}
	text := slices.ContainsFunc(queue, func(fd int) bool { return fd == p.stdout || fd == p.stderr })
	switch shown := slices.Contains(queue, p.display); {
	case p.shown.begun() && !text:
		// What is written from now on comes after the display was sent.
		p.first = true
	case shown && p.empty && queue[0] == p.display:
		// It was sent when no text was waiting.
		p.first = true
	case shown:
	default:
		p.empty = true
	}
}

// read reads what came through a file. It reports whether there may be more.
func (p *pump) read(fd int) (more bool, err error) {
	switch fd {
	case p.stdout, p.stderr:
		return p.readText(fd)
	case p.display:
		return p.readDisplays()
	default:
		n, err := readNow(fd, p.textBuf[:])
		return n > 0, err
	}
}

// readText reads as much as a pipe can hold.
func (p *pump) readText(fd int) (more bool, err error) {
	stream := cellio.Stdout
	if fd == p.stderr {
		stream = cellio.Stderr
	}
	for total := 0; total < pipeSize; {
		n, err := readNow(fd, p.textBuf[:])
		if n <= 0 {
			return false, err
		}
		total += n
		if err := p.text.add(stream, p.textBuf[:n]); err != nil {
			return false, err
		}
	}
	return true, nil
}

// readDisplays reads what the program shows. Text that was written before goes
// before.
func (p *pump) readDisplays() (more bool, err error) {
	p.empty = false
	n, err := readNow(p.display, p.displayBuf[:])
	if n <= 0 {
		return false, err
	}
	bad := p.shown.add(p.displayBuf[:n], func(data *protocol.DisplayData, size int) {
		if err == nil {
			err = p.show(data, size)
		}
	})
	if bad != nil {
		p.first = false // it was said of one that is lost
	}
	if bad != nil && err == nil {
		err = p.text.add(cellio.Stderr, fmt.Appendf(nil, "a display was lost: %v\n", bad))
	}
	return true, err
}

// show passes on one display.
func (p *pump) show(data *protocol.DisplayData, size int) error {
	first := p.first
	p.first = false
	if !first {
		for _, fd := range []int{p.stdout, p.stderr} {
			if _, err := p.readText(fd); err != nil {
				return err
			}
		}
	}
	if err := p.text.flush(); err != nil {
		return err
	}
	if request, ok := syncRequest(data); ok {
		p.values.confirm(request)
		return nil
	}
	return p.kernel.display(data, size)
}

// readNow reads what is there, without waiting. It returns 0 if there is
// nothing, or will never be.
func readNow(fd int, buf []byte) (int, error) {
	for {
		n, err := syscall.Read(fd, buf)
		switch {
		case err == nil:
			return n, nil
		case errors.Is(err, syscall.EAGAIN):
			return 0, nil
		case !errors.Is(err, syscall.EINTR):
			return 0, os.NewSyscallError("read", err)
		}
	}
}
