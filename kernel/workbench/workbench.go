// Package workbench puts the parts of Railbook's kernel together: the relay that speaks
// with front ends, the cell kernel behind it, cells that read like a notebook, and
// completion. It is what a notebook runs on, in Jupyter and without.
package workbench

import (
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"

	"example.com/railbook/kernel/cell"
	"example.com/railbook/kernel/launch"
	"example.com/railbook/kernel/relay"
)

// Options says what a workbench consists of.
type Options struct {
	Module launch.Module // whose packages cells use
	Dir    string        // the working folder of the cells
	Env    []string      // added to their environment, as "NAME=value"

	// Assist has completion and help made ready; nobody needs them where nobody types.
	Assist  bool
	Targets map[string]relay.Target // of live controls
	// Enrich adds to what is displayed; see [relay.Options].
	Enrich  map[string]func(data map[string]json.RawMessage) error
	Version string // of Railbook
	// Interrupts interrupts the running cell with each value received. It may be nil.
	Interrupts <-chan os.Signal
	// Log is told what whoever looks after the kernel may want to know. It may be nil.
	Log func(line string)
}

// Bench is a workbench that is set up.
type Bench struct {
	o       Options
	folder  string
	session *cell.Session
	helper  *helper // nil without Assist
	kernel  atomic.Pointer[launch.Kernel]
	ready   sync.WaitGroup
	stop    context.CancelFunc
	dismiss func() // the guard of the folder
}

// New sets a workbench up. Close it after use.
func New(o Options) (*Bench, error) {
	if o.Log == nil {
		o.Log = func(string) {}
	}
	folder, err := os.MkdirTemp("", "railbook-session-")
	if err != nil {
		return nil, err
	}
	b := &Bench{o: o, folder: folder}
	if b.dismiss, err = launch.GuardFolder(folder); err != nil {
		return nil, errors.Join(err, os.RemoveAll(folder))
	}
	values := filepath.Join(folder, "session")
	if err := os.Mkdir(values, 0o700); err != nil {
		b.dismiss()
		return nil, errors.Join(err, os.RemoveAll(folder))
	}
	b.session, err = cell.New(cell.Options{Folder: values, Root: o.Module.Root, Work: b.work})
	if err != nil {
		b.dismiss()
		return nil, errors.Join(err, os.RemoveAll(folder))
	}
	ctx, stop := context.WithCancel(context.Background())
	b.stop = stop
	// What most cells need is looked up while the cell kernel starts.
	b.ready.Go(func() {
		if err := b.session.Prepare(); err != nil {
			o.Log("looking up what cells need: " + err.Error())
		}
	})
	if o.Assist {
		b.helper = newHelper(ctx, o.Module, filepath.Join(folder, "assist"), b.session.Program, o.Log)
	}
	return b, nil
}

// Relay returns the options to serve or start the relay with; see [relay.Serve] and
// [relay.Start].
func (b *Bench) Relay() relay.Options {
	o := relay.Options{
		Start: b.start, Folder: b.folder, Cells: cells{b.session}, Targets: b.o.Targets, Enrich: b.o.Enrich, Interrupts: b.o.Interrupts, Log: b.o.Log,
		About: relay.About{Version: b.o.Version},
	}
	if b.helper != nil {
		o.Assist = b.helper
	}
	return o
}

// Close ends what the workbench has started and removes its files. The relay has to be
// ended before.
func (b *Bench) Close() error {
	b.stop()
	if b.helper != nil {
		b.helper.close()
	}
	b.ready.Wait()
	b.dismiss()
	return os.RemoveAll(b.folder)
}

// start starts a cell kernel, building what it needs where that has not been done.
func (b *Bench) start(ctx context.Context, progress func(string)) (relay.Kernel, error) {
	tools, err := b.o.Module.Build(ctx, progress)
	if err != nil {
		return nil, err
	}
	k, err := launch.Start(ctx, b.o.Module, tools, launch.Options{Dir: b.o.Dir, Env: b.o.Env, Direct: true, Events: true})
	if err != nil {
		return nil, err
	}
	b.kernel.Store(k)
	return k, nil
}

// work is the folder in which the cell kernel builds, empty where none runs.
func (b *Bench) work() string {
	k := b.kernel.Load()
	if k == nil {
		return ""
	}
	folder, err := k.Work()
	if err != nil {
		return ""
	}
	return folder
}
