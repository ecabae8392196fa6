package pagetest

import (
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// Tab is a page in a browser that a test leads: it runs in real time, can be
// resized, printed and asked. Its methods fail the test.
type Tab struct {
	t       testing.TB
	ctx     context.Context
	d       *driver
	session string

	mu       sync.Mutex
	console  []string
	requests []string
}

// Open opens the page at an address, or in the file at a path, in a browser of
// its own, which the end of the test closes. Where there is no browser the test
// is skipped. The size is that of the window.
func Open(t testing.TB, address string, width, height int) *Tab {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), limit)
	t.Cleanup(cancel)
	tab := &Tab{t: t, ctx: ctx}
	d, err := drive(tab.event)
	if errors.Is(err, ErrNoBrowser) {
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	tab.d = d
	t.Cleanup(func() {
		if err := d.close(); err != nil {
			t.Logf("closing the browser: %v", err)
		}
	})
	var targets struct {
		TargetInfos []struct{ TargetID, Type string }
	}
	for {
		tab.must(d.call(ctx, "", "Target.getTargets", nil, &targets))
		if len(targets.TargetInfos) > 0 && targets.TargetInfos[0].Type == "page" {
			break
		}
		time.Sleep(20 * time.Millisecond)
	}
	var attached struct{ SessionID string }
	tab.must(d.call(ctx, "", "Target.attachToTarget",
		map[string]any{"targetId": targets.TargetInfos[0].TargetID, "flatten": true}, &attached))
	tab.session = attached.SessionID
	for _, domain := range []string{"Page", "Runtime", "Log", "Network"} {
		tab.Call(domain+".enable", nil, nil)
	}
	tab.Resize(width, height)
	tab.Go(address)
	return tab
}

func (tab *Tab) must(err error) {
	tab.t.Helper()
	if err != nil {
		tab.t.Fatalf("browser: %v", err)
	}
}

// Call calls a method of the Chrome DevTools protocol.
func (tab *Tab) Call(method string, params, result any) {
	tab.t.Helper()
	tab.must(tab.d.call(tab.ctx, tab.session, method, params, result))
}

// event takes note of what the browser tells by itself.
func (tab *Tab) event(method string, params json.RawMessage) {
	var p struct {
		Args []struct {
			Value       any
			Description string
		}
		ExceptionDetails struct {
			Text      string
			Exception struct{ Description string }
		}
		Entry   struct{ Level, Text string }
		Request struct{ URL string }
	}
	if json.Unmarshal(params, &p) != nil {
		return
	}
	tab.mu.Lock()
	defer tab.mu.Unlock()
	switch method {
	case "Runtime.consoleAPICalled":
		var words []string
		for _, a := range p.Args {
			if a.Value != nil {
				words = append(words, fmt.Sprint(a.Value))
			} else {
				words = append(words, a.Description)
			}
		}
		tab.console = append(tab.console, strings.Join(words, " "))
	case "Runtime.exceptionThrown":
		tab.console = append(tab.console, p.ExceptionDetails.Text+" "+p.ExceptionDetails.Exception.Description)
	case "Log.entryAdded":
		if !strings.Contains(p.Entry.Text, driverTalk) {
			tab.console = append(tab.console, p.Entry.Level+": "+p.Entry.Text)
		}
	case "Network.requestWillBeSent":
		if !strings.HasPrefix(p.Request.URL, "data:") {
			tab.requests = append(tab.requests, p.Request.URL)
		}
	}
}

// Console returns what the page, or the browser about it, wrote to the console.
func (tab *Tab) Console() []string {
	tab.mu.Lock()
	defer tab.mu.Unlock()
	return tab.console
}

// Requests returns the addresses asked for, that of the page among them.
func (tab *Tab) Requests() []string {
	tab.mu.Lock()
	defer tab.mu.Unlock()
	return tab.requests
}

// Go opens another page and waits until it is complete.
func (tab *Tab) Go(address string) {
	tab.t.Helper()
	if !strings.Contains(address, "://") {
		path, err := filepath.Abs(address)
		tab.must(err)
		_, err = os.Stat(path)
		tab.must(err) // the browser would show its own page on it
		file := url.URL{Scheme: "file", Path: filepath.ToSlash(path)}
		address = file.String()
	}
	var result struct{ ErrorText string }
	tab.Call("Page.navigate", map[string]any{"url": address}, &result)
	if result.ErrorText != "" {
		tab.t.Fatalf("browser: %s: %s", address, result.ErrorText)
	}
	tab.Wait("document.readyState === 'complete' && location.href !== 'about:blank'")
}

// Eval evaluates JavaScript, waits for it if it is a promise, and decodes its
// value into v unless that is nil.
func (tab *Tab) Eval(script string, v any) {
	tab.t.Helper()
	tab.must(tab.eval(script, v))
}

func (tab *Tab) eval(script string, v any) error {
	var result struct {
		Result           struct{ Value json.RawMessage }
		ExceptionDetails *struct {
			Text      string
			Exception struct{ Description string }
		}
	}
	err := tab.d.call(tab.ctx, tab.session, "Runtime.evaluate",
		map[string]any{"expression": script, "awaitPromise": true, "returnByValue": true}, &result)
	if err != nil {
		return err
	}
	if e := result.ExceptionDetails; e != nil {
		return fmt.Errorf("%s %s", e.Text, e.Exception.Description)
	}
	if v == nil || len(result.Result.Value) == 0 {
		return nil
	}
	return json.Unmarshal(result.Result.Value, v)
}

// patience is how long a page may take to come to a state, on a machine that is
// busy with other things.
const patience = time.Minute

// Wait waits until the JavaScript is true. It asks again where the page is being
// replaced.
func (tab *Tab) Wait(script string) {
	tab.t.Helper()
	var err error
	for start := time.Now(); time.Since(start) < patience; time.Sleep(50 * time.Millisecond) {
		var is bool
		if err = tab.eval("Boolean("+script+")", &is); err == nil && is {
			return
		}
	}
	tab.t.Fatalf("browser: never became true: %s; last error %v; console %q", script, err, tab.Console())
}

// Resize gives the window another size in CSS pixels.
func (tab *Tab) Resize(width, height int) {
	tab.t.Helper()
	tab.Call("Emulation.setDeviceMetricsOverride",
		map[string]any{"width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 500}, nil)
}

// Prefer sets what the reader is said to prefer: "light" or "dark".
func (tab *Tab) Prefer(scheme string) {
	tab.t.Helper()
	tab.Call("Emulation.setEmulatedMedia",
		map[string]any{"features": []map[string]string{{"name": "prefers-color-scheme", "value": scheme}}}, nil)
}

// Screenshot writes a picture of what the window shows to the PNG file.
func (tab *Tab) Screenshot(path string) {
	tab.t.Helper()
	tab.keep("Page.captureScreenshot", map[string]any{"format": "png"}, path)
}

// PDF prints the page on A4 to the file.
func (tab *Tab) PDF(path string) {
	tab.t.Helper()
	tab.keep("Page.printToPDF", map[string]any{
		"paperWidth": 8.27, "paperHeight": 11.69, "preferCSSPageSize": true, "printBackground": true,
	}, path)
}

func (tab *Tab) keep(method string, params any, path string) {
	tab.t.Helper()
	var result struct{ Data string }
	tab.Call(method, params, &result)
	raw, err := base64.StdEncoding.DecodeString(result.Data)
	tab.must(err)
	tab.must(os.WriteFile(path, raw, 0o644))
}
