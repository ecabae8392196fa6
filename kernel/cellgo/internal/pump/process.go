//go:build unix

package pump

import (
	"errors"
	"os"
	"os/exec"
	"os/signal"
	"syscall"
	"time"

	"example.com/railbook/kernel/cellio"
)

// grace is how long an interrupted program may take to end.
const grace = 800 * time.Millisecond

// process is a running program and what it has started.
type process struct {
	cmd   *exec.Cmd
	ended chan struct{}
	exit  cellio.Exit // set before ended is closed
}

// start starts the program. When it and all that it has started have ended, done
// is called. An interrupt of this process is passed on to the program, and what
// ends this process ends the program.
func start(cmd *exec.Cmd, done func()) (*process, error) {
	adopt()
	signals := make(chan os.Signal, 4)
	signal.Notify(signals, os.Interrupt, syscall.SIGQUIT, syscall.SIGTERM, syscall.SIGHUP)
	cmd.SysProcAttr = tied()
	if err := cmd.Start(); err != nil {
		signal.Stop(signals)
		return nil, err
	}
	pr := &process{cmd: cmd, ended: make(chan struct{})}
	go pr.obey(signals)
	go func() {
		defer signal.Stop(signals)
		err := cmd.Wait()
		pr.exit = exitOf(cmd.ProcessState, err)
		endOrphans()
		close(pr.ended)
		done()
	}()
	return pr, nil
}

// obey acts on signals until the program has ended.
func (pr *process) obey(signals <-chan os.Signal) {
	var patience <-chan time.Time
	for {
		select {
		case s := <-signals:
			if s != os.Interrupt && s != syscall.SIGQUIT || patience != nil {
				pr.kill()
				continue
			}
			pr.cmd.Process.Signal(s) // it fails if the program has ended
			patience = time.After(grace)
		case <-patience:
			pr.kill()
		case <-pr.ended:
			return
		}
	}
}

// kill ends the program.
func (pr *process) kill() { pr.cmd.Process.Kill() } // it fails if the program has ended

// exitOf tells how a program ended.
func exitOf(state *os.ProcessState, err error) cellio.Exit {
	if state == nil { // the system has lost it
		return cellio.Exit{Code: -1, Signal: errors.Join(errors.New("unknown"), err).Error()}
	}
	if status, ok := state.Sys().(syscall.WaitStatus); ok && status.Signaled() {
		return cellio.Exit{Code: -1, Signal: status.Signal().String()}
	}
	return cellio.Exit{Code: state.ExitCode()}
}
