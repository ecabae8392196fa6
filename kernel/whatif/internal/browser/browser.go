// Package browser drives a Chromium without a window, for tests that do with a page what
// a person does: press keys, move sliders, look, at any size, in the dark and on paper. It
// speaks the browser's debugging protocol over a pipe.
package browser

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"time"

	"example.com/railbook/kernel/page/pagetest"
)

// Browser is a running Chromium with one page open.
type Browser struct {
	cmd     *exec.Cmd
	profile string
	pipe    *pipe
	session string

	mu       sync.Mutex
	console  []string
	requests []string
}

// Start starts a Chromium, which [Browser.Close] ends. The error is
// [pagetest.ErrNoBrowser] where there is none on PATH. Every name is kept from resolving,
// so that a page can get nothing from a network.
func Start(ctx context.Context) (*Browser, error) {
	path, err := find()
	if err != nil {
		return nil, err
	}
	profile, err := os.MkdirTemp("", "railbook-browser-")
	if err != nil {
		return nil, err
	}
	b := &Browser{profile: profile}
	b.cmd = exec.CommandContext(ctx, path,
		"--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
		"--disable-component-update", "--disable-sync", "--disable-default-apps", "--disable-extensions",
		"--host-resolver-rules=MAP * ~NOTFOUND", "--user-data-dir="+filepath.Join(profile, "profile"),
		"--remote-debugging-pipe", "about:blank")
	b.cmd.WaitDelay = 5 * time.Second
	if b.pipe, err = newPipe(b.cmd, b.event); err == nil {
		err = b.open(ctx)
	}
	if err != nil {
		b.Close()
		return nil, fmt.Errorf("%s: %w", filepath.Base(path), err)
	}
	return b, nil
}

func find() (string, error) {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable"} {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", pagetest.ErrNoBrowser
}

// open attaches to a page of its own.
func (b *Browser) open(ctx context.Context) error {
	var target struct{ TargetID string }
	if err := b.pipe.call(ctx, "", "Target.createTarget", map[string]any{"url": "about:blank"}, &target); err != nil {
		return err
	}
	var attached struct{ SessionID string }
	if err := b.pipe.call(ctx, "", "Target.attachToTarget", map[string]any{"targetId": target.TargetID, "flatten": true}, &attached); err != nil {
		return err
	}
	b.session = attached.SessionID
	for _, domain := range []string{"Page", "Runtime", "Log", "Network"} {
		if err := b.call(ctx, domain+".enable", nil, nil); err != nil {
			return err
		}
	}
	return nil
}

// Close ends the browser and removes what it left.
func (b *Browser) Close() error {
	if b.pipe != nil {
		ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
		_ = b.pipe.call(ctx, "", "Browser.close", nil, nil)
		cancel()
		b.pipe.close()
		_ = b.cmd.Process.Kill() // it may have ended by itself
		_ = b.cmd.Wait()
	}
	var err error
	for range 20 { // its last process may write for a moment
		if err = os.RemoveAll(b.profile); err == nil {
			return nil
		}
		time.Sleep(50 * time.Millisecond)
	}
	return err
}

func (b *Browser) call(ctx context.Context, method string, params, result any) error {
	return b.pipe.call(ctx, b.session, method, params, result)
}

// event keeps what the page writes to the console and asks a network for.
func (b *Browser) event(method string, params json.RawMessage) {
	var p struct {
		Args             []struct{ Value any }
		Entry            struct{ Text string }
		ExceptionDetails struct {
			Text      string
			Exception struct{ Description string }
		}
		Request struct{ URL string }
	}
	if json.Unmarshal(params, &p) != nil {
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	switch method {
	case "Runtime.consoleAPICalled":
		text := ""
		for _, a := range p.Args {
			text += fmt.Sprint(a.Value, " ")
		}
		b.console = append(b.console, text)
	case "Log.entryAdded":
		b.console = append(b.console, p.Entry.Text)
	case "Runtime.exceptionThrown":
		b.console = append(b.console, p.ExceptionDetails.Text+" "+p.ExceptionDetails.Exception.Description)
	case "Network.requestWillBeSent":
		b.requests = append(b.requests, p.Request.URL)
	}
}

// Console returns what pages have written to the console, and what the browser says of
// their mistakes.
func (b *Browser) Console() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return append([]string(nil), b.console...)
}

// Requests returns the addresses that have been asked for, those of the pages opened
// themselves included.
func (b *Browser) Requests() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return append([]string(nil), b.requests...)
}

// Forget forgets what [Browser.Console] and [Browser.Requests] have.
func (b *Browser) Forget() {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.console, b.requests = nil, nil
}

// errEnded is the end of the browser.
var errEnded = errors.New("the browser has ended")
