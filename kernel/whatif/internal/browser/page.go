package browser

import (
	"context"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// Open opens the HTML file at path, with what stands behind # in its address, and waits
// until it is loaded.
func (b *Browser) Open(ctx context.Context, path, fragment string) error {
	path, err := filepath.Abs(path)
	if err != nil {
		return err
	}
	if _, err := os.Stat(path); err != nil {
		return err // the browser would show its own page on it
	}
	// An address that differs behind # only is no other page.
	if err := b.call(ctx, "Page.navigate", map[string]any{"url": "about:blank"}, nil); err != nil {
		return err
	}
	file := url.URL{Scheme: "file", Path: filepath.ToSlash(path), Fragment: fragment}
	if err := b.call(ctx, "Page.navigate", map[string]any{"url": file.String()}, nil); err != nil {
		return err
	}
	return b.Wait(ctx, `location.protocol === "file:" && document.readyState === "complete"`)
}

// Wait waits until a JavaScript expression is true.
func (b *Browser) Wait(ctx context.Context, expression string) error {
	for {
		var done bool
		if err := b.Eval(ctx, expression, &done); err == nil && done {
			return nil
		}
		select {
		case <-time.After(10 * time.Millisecond):
		case <-ctx.Done():
			return fmt.Errorf("waiting for %s: %w", expression, context.Cause(ctx))
		}
	}
}

// Eval evaluates a JavaScript expression in the page, waits for it if it is a promise, and
// decodes its value, as JSON has it, into result.
func (b *Browser) Eval(ctx context.Context, expression string, result any) error {
	var r struct {
		Result           struct{ Value json.RawMessage }
		ExceptionDetails *struct {
			Text      string
			Exception struct{ Description string }
		}
	}
	err := b.call(ctx, "Runtime.evaluate", map[string]any{"expression": expression, "awaitPromise": true, "returnByValue": true}, &r)
	switch {
	case err != nil:
		return err
	case r.ExceptionDetails != nil:
		return fmt.Errorf("%s %s", r.ExceptionDetails.Text, r.ExceptionDetails.Exception.Description)
	case result == nil || r.Result.Value == nil:
		return nil
	}
	return json.Unmarshal(r.Result.Value, result)
}

// View is how a page is looked at.
type View struct {
	Width, Height int
	Phone         bool // a touch screen, twice the pixels
	Dark          bool
	Paper         bool // as it is printed
}

// Look sets how the page is looked at.
func (b *Browser) Look(ctx context.Context, v View) error {
	scale, scheme, media := 1, "light", "screen"
	if v.Phone {
		scale = 2
	}
	if v.Dark {
		scheme = "dark"
	}
	if v.Paper {
		media = "print"
	}
	if err := b.call(ctx, "Emulation.setDeviceMetricsOverride", map[string]any{
		"width": v.Width, "height": v.Height, "deviceScaleFactor": scale, "mobile": v.Phone,
	}, nil); err != nil {
		return err
	}
	return b.call(ctx, "Emulation.setEmulatedMedia", map[string]any{
		"media": media, "features": []map[string]string{{"name": "prefers-color-scheme", "value": scheme}},
	}, nil)
}

// Screenshot returns a PNG of the page: of what is in view, or all of it.
func (b *Browser) Screenshot(ctx context.Context, all bool) ([]byte, error) {
	var r struct{ Data []byte }
	err := b.call(ctx, "Page.captureScreenshot", map[string]any{"format": "png", "captureBeyondViewport": all}, &r)
	return r.Data, err
}

// Press presses and releases a key by its name, such as "ArrowRight", "Tab" or " ".
func (b *Browser) Press(ctx context.Context, key string) error {
	code := map[string]int{"ArrowLeft": 37, "ArrowUp": 38, "ArrowRight": 39, "ArrowDown": 40, "PageUp": 33, "PageDown": 34, "End": 35, "Home": 36, "Tab": 9, " ": 32, "Enter": 13}[key]
	if code == 0 {
		return fmt.Errorf("no key %q", key)
	}
	for _, kind := range []string{"rawKeyDown", "char", "keyUp"} {
		text := ""
		if kind == "char" {
			if !strings.Contains(" Enter", key) {
				continue
			}
			text = map[string]string{" ": " ", "Enter": "\r"}[key]
		}
		if err := b.call(ctx, "Input.dispatchKeyEvent", map[string]any{
			"type": kind, "key": key, "windowsVirtualKeyCode": code, "text": text,
		}, nil); err != nil {
			return err
		}
	}
	return nil
}
