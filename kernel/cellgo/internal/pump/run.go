//go:build unix

package pump

import (
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"slices"
	"strings"
	"time"

	"example.com/railbook/kernel/cellgo/internal/tool"
	"example.com/railbook/kernel/cellgo/setting"
	"example.com/railbook/kernel/cellio"
	"github.com/janpfeifer/gonb/gonbui/protocol"
)

// Run runs the program of a cell, argv[0] with [setting.ProgramSuffix], with the
// arguments argv, and returns when it has ended and the kernel has all of it. An
// error means that the kernel could not be reached.
//
// It changes how this process treats signals and its children, so there is to be
// nothing else in it.
func Run(s setting.Setting, argv []string) error { return runWith(s, argv, newPoller) }

// runWith is Run with a way to poll.
func runWith(s setting.Setting, argv []string, poll func(fds ...int) (poller, error)) error {
	program := argv[0] + setting.ProgramSuffix
	out, in := os.Getenv(protocol.GONB_PIPE_ENV), os.Getenv(protocol.GONB_PIPE_BACK_ENV)
	env := s.Without(os.Environ())
	if out == "" || in == "" {
		return tool.Exec(program, argv, env) // there is nobody to tell anything
	}
	k, err := open(out, in, newLimit(time.Now, s.Credit))
	if err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "cell-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	// The system ends the program with the thread that started it.
	runtime.LockOSThread()
	values := newValues()
	defer values.close()
	go k.listen(values.add)
	exit, err := follow(k, values, dir, &exec.Cmd{Path: program, Args: argv, Env: env, Stdin: os.Stdin}, poll)
	if err != nil && !k.alive() {
		return err
	}
	if err != nil {
		exit = cellio.Exit{Code: cannotRun}
		text := fmt.Sprintf("the cell's program cannot be run: %v\n", err)
		if err := k.event(cellio.Event{Stream: cellio.Stderr, Text: text}); err != nil {
			return err
		}
	}
	if err := k.event(cellio.Event{Exit: &exit}); err != nil {
		return err
	}
	return k.sync()
}

// cannotRun is the exit code of a program that could not be started, as in
// shells.
const cannotRun = 127

// follow starts the program, with pipes in the folder dir, brings to the kernel
// what comes from it until its end, and returns how it ended.
func follow(k *kernel, values *values, dir string, cmd *exec.Cmd, poll func(fds ...int) (poller, error)) (cellio.Exit, error) {
	pipes, err := makePipes(dir)
	if err != nil {
		return cellio.Exit{}, err
	}
	defer pipes.close()
	cmd.Stdout, cmd.Stderr = pipes.stdoutEnd, pipes.stderrEnd
	cmd.Env = slices.DeleteFunc(slices.Clone(cmd.Env), func(entry string) bool {
		return strings.HasPrefix(entry, protocol.GONB_PIPE_ENV+"=") || strings.HasPrefix(entry, protocol.GONB_PIPE_BACK_ENV+"=")
	})
	cmd.Env = append(cmd.Env, protocol.GONB_PIPE_ENV+"="+pipes.displayPath, protocol.GONB_PIPE_BACK_ENV+"="+pipes.valuesPath)
	pr, err := start(cmd, pipes.wakeUp)
	if err != nil {
		return cellio.Exit{}, err
	}
	pipes.started()
	go values.send(pipes.values) // an error means that nobody reads them
	go func() {
		select {
		case <-k.gone:
			pipes.wakeUp()
			pr.kill()
		case <-pr.ended:
		}
	}()
	p := &pump{
		kernel: k, values: values, text: &text{send: k.event, now: time.Now}, shown: newDisplays(),
		stdout: pipes.stdout, stderr: pipes.stderr, display: pipes.display, wake: pipes.wake,
	}
	if p.poller, err = poll(p.stdout, p.stderr, p.display, p.wake); err == nil {
		defer p.poller.close()
		err = p.run(pr.ended)
	}
	pr.kill() // it has ended unless there was an error
	<-pr.ended
	return pr.exit, err
}
