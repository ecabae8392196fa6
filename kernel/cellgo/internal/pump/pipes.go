//go:build unix

package pump

import (
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"syscall"
)

// pipes are the pipes between pump and program, and one by which the pump wakes
// itself up. Those that the pump reads are file descriptors that do not block.
type pipes struct {
	stdout, stderr, display, wake int

	// The program's ends.
	stdoutEnd, stderrEnd    *os.File
	displayPath, valuesPath string

	values *os.File // the pump's end

	mu      sync.Mutex
	wakeEnd *os.File // nil once closed
}

// makePipes makes the pipes. Those that have names are in dir.
func makePipes(dir string) (*pipes, error) {
	p := &pipes{
		stdout: -1, stderr: -1, display: -1, wake: -1,
		displayPath: filepath.Join(dir, "display"),
		valuesPath:  filepath.Join(dir, "values"),
	}
	err := p.make()
	if err != nil {
		p.close()
		return nil, fmt.Errorf("making pipes: %w", err)
	}
	return p, nil
}

func (p *pipes) make() (err error) {
	if p.stdout, p.stdoutEnd, err = pipe(); err != nil {
		return err
	}
	if p.stderr, p.stderrEnd, err = pipe(); err != nil {
		return err
	}
	if p.wake, p.wakeEnd, err = pipe(); err != nil {
		return err
	}
	for _, path := range []string{p.displayPath, p.valuesPath} {
		if err := syscall.Mkfifo(path, 0o600); err != nil {
			return os.NewSyscallError("mkfifo", err)
		}
	}
	// Opened for both directions, so that nothing waits for a program that does
	// not open its end, and nothing ends with one that closes it.
	if p.display, err = syscall.Open(p.displayPath, syscall.O_RDWR|syscall.O_NONBLOCK|syscall.O_CLOEXEC, 0); err != nil {
		return os.NewSyscallError("open", err)
	}
	p.values, err = os.OpenFile(p.valuesPath, os.O_RDWR, 0)
	return err
}

// pipe makes a pipe.
func pipe() (read int, write *os.File, err error) {
	var fds [2]int
	syscall.ForkLock.RLock()
	err = syscall.Pipe(fds[:])
	if err == nil {
		syscall.CloseOnExec(fds[0])
		syscall.CloseOnExec(fds[1])
	}
	syscall.ForkLock.RUnlock()
	if err != nil {
		return -1, nil, os.NewSyscallError("pipe", err)
	}
	write = os.NewFile(uintptr(fds[1]), "|1")
	if err := syscall.SetNonblock(fds[0], true); err != nil {
		write.Close()
		syscall.Close(fds[0])
		return -1, nil, os.NewSyscallError("setnonblock", err)
	}
	return fds[0], write, nil
}

// started leaves the program's ends to the program.
func (p *pipes) started() {
	p.stdoutEnd.Close()
	p.stderrEnd.Close()
}

// wakeUp gives the pump something to read.
func (p *pipes) wakeUp() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.wakeEnd != nil {
		p.wakeEnd.Write([]byte{0}) // it holds as many as are ever written
	}
}

func (p *pipes) close() {
	for _, fd := range []int{p.stdout, p.stderr, p.display, p.wake} {
		if fd >= 0 {
			syscall.Close(fd)
		}
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, f := range []*os.File{p.stdoutEnd, p.stderrEnd, p.values, p.wakeEnd} {
		f.Close() // that of a nil file is an error
	}
	p.wakeEnd = nil
}
