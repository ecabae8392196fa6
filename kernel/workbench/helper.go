package workbench

import (
	"context"
	"errors"
	"os"
	"sync"

	"example.com/railbook/kernel/assist"
	"example.com/railbook/kernel/launch"
	"example.com/railbook/kernel/relay"
)

// helper completes and explains as soon as gopls is there, which takes a while where it
// has to be built first.
type helper struct {
	log     func(string)
	stop    context.CancelFunc
	started sync.WaitGroup

	mu     sync.Mutex
	server *assist.Server
	err    error // why there is none
	told   bool
}

var errPreparing = errors.New("completion and help are being made ready")

func newHelper(ctx context.Context, m launch.Module, folder string, program assist.Program, log func(string)) *helper {
	ctx, stop := context.WithCancel(ctx)
	h := &helper{log: log, stop: stop, err: errPreparing}
	h.started.Go(func() {
		server, err := startAssist(ctx, m, folder, program, log)
		h.mu.Lock()
		h.server, h.err = server, err
		h.mu.Unlock()
		if err != nil && ctx.Err() == nil {
			log("no completion and help: " + err.Error())
		}
	})
	return h
}

func startAssist(ctx context.Context, m launch.Module, folder string, program assist.Program, log func(string)) (*assist.Server, error) {
	gopls, err := m.BuildGopls(ctx, log)
	if err != nil {
		return nil, err
	}
	if err := os.Mkdir(folder, 0o700); err != nil {
		return nil, err
	}
	if err := assist.Prepare(folder, m.Root); err != nil {
		return nil, err
	}
	// Nothing is fetched for what is typed.
	env := append(os.Environ(), "GOFLAGS=-mod=mod", "GOPROXY=off", "GOWORK=off")
	return assist.Start(ctx, assist.Options{Gopls: gopls, Folder: folder, Env: env, Program: program})
}

// get returns the running gopls. The error says once, in words for the user, why there is
// none, and is nil after that.
func (h *helper) get() (*assist.Server, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.server != nil || h.told {
		return h.server, nil
	}
	h.told = h.err != errPreparing
	return nil, h.err
}

func (h *helper) Complete(ctx context.Context, code string, cursor int) (relay.Completion, error) {
	none := relay.Completion{Start: cursor, End: cursor}
	server, err := h.get()
	if server == nil {
		return none, err
	}
	c, err := server.Complete(ctx, code, cursor)
	if err != nil {
		return none, err
	}
	out := relay.Completion{Start: c.Start, End: c.End}
	for _, m := range c.Matches {
		out.Matches = append(out.Matches, relay.Match{Text: m.Text, Kind: m.Kind, Signature: m.Signature})
	}
	return out, nil
}

func (h *helper) Inspect(ctx context.Context, code string, cursor, _ int) (relay.Inspection, error) {
	server, err := h.get()
	if server == nil {
		if err == nil {
			return nil, nil
		}
		return relay.Inspection{"text/plain": "no help: " + err.Error()}, nil
	}
	text, err := server.Inspect(ctx, code, cursor)
	if text == "" || err != nil {
		return nil, err
	}
	return relay.Inspection{"text/markdown": text, "text/plain": assist.Plain(text)}, nil
}

func (h *helper) close() {
	h.stop()
	h.started.Wait()
	if h.server != nil {
		h.server.Close()
	}
}
