package pump

import (
	"syscall"
	"time"
)

// epoller has the system queue a file when something is written to it, behind
// those that are queued already.
type epoller struct {
	fd     int
	events []syscall.EpollEvent
}

func newPoller(fds ...int) (poller, error) {
	fd, err := syscall.EpollCreate1(syscall.EPOLL_CLOEXEC)
	if err != nil {
		return nil, err
	}
	p := &epoller{fd: fd, events: make([]syscall.EpollEvent, len(fds))}
	for _, file := range fds {
		// A file is told once for each time something is written to it, so that the
		// order is that of writing, not of looking.
		const edge = 1 << 31 // EPOLLET
		event := syscall.EpollEvent{Events: syscall.EPOLLIN | edge, Fd: int32(file)}
		if err := syscall.EpollCtl(fd, syscall.EPOLL_CTL_ADD, file, &event); err != nil {
			p.close()
			return nil, err
		}
	}
	return p, nil
}

func (p *epoller) wait(limit time.Duration) ([]int, error) {
	ms := -1
	if limit >= 0 {
		ms = int((limit + time.Millisecond - 1) / time.Millisecond)
	}
	n, err := syscall.EpollWait(p.fd, p.events, ms)
	if err == syscall.EINTR {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var ready []int
	for _, event := range p.events[:n] {
		ready = append(ready, int(event.Fd))
	}
	return ready, nil
}

func (p *epoller) ordered() bool { return true }

func (p *epoller) close() { syscall.Close(p.fd) }
