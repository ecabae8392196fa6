package pagetest

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"time"
)

// driver speaks the Chrome DevTools protocol with a browser over a pair of
// pipes: JSON messages, each ended by a zero byte.
type driver struct {
	cmd    *exec.Cmd
	tmp    string
	to     io.WriteCloser
	stderr bytes.Buffer

	mu      sync.Mutex
	last    int
	waiting map[int]chan answer
	events  func(method string, params json.RawMessage)
	ended   error // why the browser says no more
	done    chan struct{}
}

type answer struct {
	Result json.RawMessage
	Error  *struct{ Message string }
}

// drive starts a browser with one empty tab.
func drive(events func(string, json.RawMessage)) (*driver, error) {
	browser, err := find()
	if err != nil {
		return nil, err
	}
	tmp, err := os.MkdirTemp("", "railbook-browser-")
	if err != nil {
		return nil, err
	}
	fromUs, toBrowser, err := os.Pipe()
	if err != nil {
		return nil, err
	}
	fromBrowser, toUs, err := os.Pipe()
	if err != nil {
		return nil, err
	}
	d := &driver{tmp: tmp, to: toBrowser, waiting: map[int]chan answer{}, events: events, done: make(chan struct{})}
	d.cmd = exec.Command(browser, append(flags(tmp), "--remote-debugging-pipe", "about:blank")...)
	d.cmd.ExtraFiles = []*os.File{fromUs, toUs} // the browser's 3 and 4
	d.cmd.Stderr = &d.stderr
	d.cmd.WaitDelay = 5 * time.Second
	err = d.cmd.Start()
	fromUs.Close()
	toUs.Close()
	if err != nil {
		toBrowser.Close()
		fromBrowser.Close()
		removeAll(tmp)
		return nil, err
	}
	go d.read(fromBrowser)
	return d, nil
}

// flags are those that every run of the browser has: no window, no graphics
// card, and no name that resolves but this machine's own.
func flags(tmp string) []string {
	return []string{
		"--headless", "--no-sandbox",
		// WebGL in software, with no graphics card.
		"--disable-gpu", "--enable-unsafe-swiftshader",
		"--no-first-run", "--disable-background-networking", "--disable-component-update",
		"--disable-sync", "--disable-default-apps", "--disable-extensions",
		"--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
		"--user-data-dir=" + filepath.Join(tmp, "profile"),
	}
}

// read passes on what the browser says until it ends.
func (d *driver) read(from io.ReadCloser) {
	defer from.Close()
	r := bufio.NewReader(from)
	for {
		raw, err := r.ReadBytes(0)
		if err != nil {
			d.mu.Lock()
			d.ended = fmt.Errorf("the browser ended: %w", err)
			d.mu.Unlock()
			close(d.done)
			return
		}
		var m struct {
			ID     int
			Method string
			Params json.RawMessage
			answer
		}
		if json.Unmarshal(raw[:len(raw)-1], &m) != nil {
			continue
		}
		if m.Method != "" {
			d.events(m.Method, m.Params)
			continue
		}
		d.mu.Lock()
		reply := d.waiting[m.ID]
		delete(d.waiting, m.ID)
		d.mu.Unlock()
		if reply != nil {
			reply <- m.answer
		}
	}
}

// call asks the browser, in a session if one is named, and decodes its answer
// into result unless that is nil.
func (d *driver) call(ctx context.Context, session, method string, params, result any) error {
	reply := make(chan answer, 1)
	d.mu.Lock()
	d.last++
	id := d.last
	d.waiting[id] = reply
	request := map[string]any{"id": id, "method": method, "params": params}
	if params == nil {
		request["params"] = struct{}{}
	}
	if session != "" {
		request["sessionId"] = session
	}
	raw, err := json.Marshal(request)
	if err == nil {
		_, err = d.to.Write(append(raw, 0))
	}
	d.mu.Unlock()
	if err != nil {
		return fmt.Errorf("%s: %w", method, err)
	}
	select {
	case a := <-reply:
		if a.Error != nil {
			return fmt.Errorf("%s: %s", method, a.Error.Message)
		}
		if result == nil {
			return nil
		}
		return json.Unmarshal(a.Result, result)
	case <-d.done:
		return fmt.Errorf("%s: %w", method, d.ended)
	case <-ctx.Done():
		return fmt.Errorf("%s: %w", method, context.Cause(ctx))
	}
}

// close ends the browser and removes its files.
func (d *driver) close() error {
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
	defer cancel()
	polite := d.call(ctx, "", "Browser.close", nil, nil)
	d.to.Close()
	if polite != nil {
		d.cmd.Process.Kill()
	}
	err := d.cmd.Wait()
	removeAll(d.tmp)
	if polite != nil {
		return errors.Join(polite, err)
	}
	return nil
}
