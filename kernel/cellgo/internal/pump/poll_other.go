//go:build unix && !linux

package pump

func newPoller(fds ...int) (poller, error) { return newLooker(fds...) }
