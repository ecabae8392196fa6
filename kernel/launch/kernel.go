// Package launch builds, starts and stops the cell kernel: gonb, a Jupyter
// kernel for Go, at the version the Railbook module pins.
//
// Beside the kernel stands cellgo, which builds cells faster and reports their
// programs better than the kernel does by itself, where [Options] say so.
//
// A kernel started here compiles cells against the source tree it was started
// from, without the network. It runs in a process group of its own and keeps
// its files in a folder of its own; [Kernel.Close] ends the one and removes the
// other, whatever the cells have done. Should this process be killed, a guard
// does the same.
package launch

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"

	"example.com/railbook/kernel/cellgo/credit"
	"example.com/railbook/kernel/wire"
)

// Options says how to start a kernel.
type Options struct {
	// Dir is the working directory of the cells.
	Dir string
	// Env is added to the environment of the cells, as "NAME=value".
	Env []string
	// Direct has cells built by calling the compiler and the linker where that
	// makes the same program, which takes half the time, and has questions about
	// modules answered from what is known.
	Direct bool
	// Events has the programs of cells reported by events of package cellio among
	// their displays, instead of by streams, so that the order is kept, nothing is
	// lost, and their exit status is known. Whoever talks to the kernel has to
	// understand them.
	Events bool
}

// startTimeout is how long a kernel may take until it answers. It needs some
// 0.4 s on an idle machine.
const startTimeout = 60 * time.Second

// Kernel is a running kernel.
type Kernel struct {
	cmd    *exec.Cmd
	temp   string // folder of everything the kernel writes
	guard  *guard
	credit *credit.Writer
	client *wire.Client
	output tail
	died   chan struct{}
	ended  error // why the process ended, set before died is closed
}

// Start starts the kernel with the module's packages at hand, and waits until
// it answers. When ctx ends before that, or the kernel dies, nothing is left
// of it. The end of ctx afterwards changes nothing: call [Kernel.Close].
func Start(ctx context.Context, m Module, tools Tools, o Options) (*Kernel, error) {
	if strings.Contains(m.Root, ",") {
		return nil, fmt.Errorf("the path %q has a comma in it, which the cell kernel cannot take: move the source tree", m.Root)
	}
	temp, err := os.MkdirTemp("", "railbook-")
	if err != nil {
		return nil, err
	}
	k := &Kernel{temp: temp, died: make(chan struct{})}
	if err := k.start(ctx, m, tools, o); err != nil {
		return nil, errors.Join(err, k.Close())
	}
	return k, nil
}

func (k *Kernel) start(ctx context.Context, m Module, tools Tools, o Options) error {
	conn, err := wire.NewConnection(k.temp)
	if err != nil {
		return err
	}
	file := filepath.Join(k.temp, "kernel-0.json") // gonb expects a hexadecimal number there
	if err := conn.WriteFile(file); err != nil {
		return err
	}
	cells := filepath.Join(k.temp, "cells")
	if err := os.Mkdir(cells, 0o700); err != nil {
		return err
	}
	if k.credit, err = credit.Create(filepath.Join(k.temp, creditFile)); err != nil {
		return err
	}
	k.cmd = exec.Command(filepath.Join(tools.Kernel, "gonb"),
		"-kernel="+file, "-raw_error", "-go_work="+m.Root)
	k.cmd.Dir = o.Dir
	k.cmd.Env = environ(os.Environ(), tools, cells, k.setting(tools, o), append(o.Env, "PWD="+o.Dir))
	k.cmd.Stdout, k.cmd.Stderr = &k.output, &k.output
	k.cmd.WaitDelay = time.Second
	k.cmd.SysProcAttr = ownGroup()
	if err := k.cmd.Start(); err != nil {
		k.cmd = nil
		return fmt.Errorf("starting the cell kernel: %w", err)
	}
	go k.await()
	if k.guard, err = startGuard(k.cmd.Process.Pid, k.temp); err != nil {
		return fmt.Errorf("starting the guard of the cell kernel: %w", err)
	}

	ctx, cancel := context.WithTimeoutCause(ctx, startTimeout, fmt.Errorf("no answer within %v", startTimeout))
	defer cancel()
	ctx, stop := k.whileAlive(ctx)
	defer stop()
	if k.client, err = wire.Dial(ctx, conn); err != nil {
		return err
	}
	_, err = k.client.Ready(ctx)
	return err
}

// await notes the end of the kernel's process.
func (k *Kernel) await() {
	if k.ended = k.cmd.Wait(); k.ended == nil {
		k.ended = errors.New("exit status 0")
	}
	close(k.died)
}

// whileAlive returns a context that ends with ctx, or with the kernel's process
// and then has a [*DiedError] as its cause.
func (k *Kernel) whileAlive(ctx context.Context) (context.Context, context.CancelFunc) {
	ctx, cancel := context.WithCancelCause(ctx)
	go func() {
		select {
		case <-k.died:
			cancel(k.DeathError())
		case <-ctx.Done():
		}
	}()
	return ctx, func() { cancel(nil) }
}

// DiedError says that the kernel's process ended by itself.
type DiedError struct {
	Status string // such as "signal: killed"
	// LastWords are the last lines it wrote, without those that only inform.
	LastWords string
}

func (e *DiedError) Error() string {
	msg := fmt.Sprintf("the cell kernel ended by itself (%s)", e.Status)
	if e.LastWords != "" {
		msg += "; its last words:\n" + e.LastWords
	}
	return msg
}

// Client returns the connection to the kernel.
func (k *Kernel) Client() *wire.Client { return k.client }

// Died is closed when the kernel's process has ended.
func (k *Kernel) Died() <-chan struct{} { return k.died }

// DeathError says how the kernel ended. Call it after [Kernel.Died] is closed.
func (k *Kernel) DeathError() error {
	return &DiedError{Status: k.ended.Error(), LastWords: k.output.lastWords()}
}

// Work returns the folder in which gonb builds cells.
func (k *Kernel) Work() (string, error) {
	names, err := filepath.Glob(filepath.Join(k.temp, "cells", "gonb_*", "go.mod"))
	if err != nil {
		return "", err
	}
	if len(names) != 1 {
		return "", fmt.Errorf("the cell kernel keeps %d programs, want 1", len(names))
	}
	return filepath.Dir(names[0]), nil
}

// Source returns the Go program gonb made of the last cell and what earlier
// cells declared, the file that compilers and programs call main.go. It is
// replaced as soon as another cell is run.
func (k *Kernel) Source() ([]byte, error) {
	dir, err := k.Work()
	if err != nil {
		return nil, err
	}
	return os.ReadFile(filepath.Join(dir, "main.go"))
}

// How long Close waits for the kernel to end after each way of asking.
const (
	politely = 2 * time.Second
	firmly   = time.Second
	finally  = 5 * time.Second
)

// groupEnd is how long the processes of a killed group may take to disappear.
// Those that nobody collects never do.
const groupEnd = 500 * time.Millisecond

// Close ends the kernel and every process of its group, first by request, then
// by force, and removes its files. It may be called again.
func (k *Kernel) Close() error {
	if k.cmd != nil {
		if k.client != nil && k.client.Shutdown() == nil {
			k.wait(politely)
		}
		if k.alive() {
			signalGroup(k.cmd.Process.Pid, terminate)
			k.wait(firmly)
		}
		// What the cells started may outlive the kernel.
		signalGroup(k.cmd.Process.Pid, kill)
		k.wait(finally)
		for deadline := time.Now().Add(groupEnd); signalGroup(k.cmd.Process.Pid, kill) && time.Now().Before(deadline); {
			time.Sleep(5 * time.Millisecond)
		}
	}
	if k.guard != nil {
		k.guard.dismiss()
		k.guard = nil
	}
	if k.client != nil {
		k.client.Close()
	}
	if k.credit != nil {
		k.credit.Close() // a second time it fails, which is all right
	}
	if err := os.RemoveAll(k.temp); err != nil {
		return fmt.Errorf("removing the cell kernel's files: %w", err)
	}
	return nil
}

func (k *Kernel) alive() bool {
	select {
	case <-k.died:
		return false
	default:
		return true
	}
}

func (k *Kernel) wait(limit time.Duration) {
	select {
	case <-k.died:
	case <-time.After(limit):
	}
}
