package browser

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"example.com/railbook/kernel/page/pagetest"
)

func TestBrowser(t *testing.T) {
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	b, err := Start(ctx)
	if errors.Is(err, pagetest.ErrNoBrowser) {
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	profile := b.profile
	defer func() {
		if err := b.Close(); err != nil {
			t.Error(err)
		}
		if _, err := os.Stat(profile); !errors.Is(err, os.ErrNotExist) {
			t.Errorf("left behind: %v", err)
		}
	}()
	path := filepath.Join(t.TempDir(), "a page.html")
	page := `<!DOCTYPE html><meta name="viewport" content="width=device-width"><title>Probe</title><input type="range" min="0" max="9" value="4">
<script>console.error('from', 'the page'); fetch('https://example.com/x').catch(() => {}); setTimeout(() => { throw new Error('thrown'); });</script>`
	if err := os.WriteFile(path, []byte(page), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := b.Look(ctx, View{Width: 400, Height: 300, Phone: true, Dark: true}); err != nil {
		t.Fatal(err)
	}
	if err := b.Open(ctx, path, "a=1"); err != nil {
		t.Fatal(err)
	}
	var seen struct {
		Hash  string
		Width int
		Dark  bool
	}
	if err := b.Eval(ctx, `Promise.resolve({hash: location.hash, width: innerWidth, dark: matchMedia('(prefers-color-scheme: dark)').matches})`, &seen); err != nil {
		t.Fatal(err)
	}
	if seen.Hash != "#a=1" || seen.Width != 400 || !seen.Dark {
		t.Errorf("the page sees %+v", seen)
	}
	if err := b.Eval(ctx, `document.querySelector('input').focus()`, nil); err != nil {
		t.Fatal(err)
	}
	if err := b.Press(ctx, "ArrowRight"); err != nil {
		t.Fatal(err)
	}
	if err := b.Wait(ctx, `document.querySelector('input').value === '5'`); err != nil {
		t.Error(err)
	}
	if err := b.Eval(ctx, `nothing.here`, nil); err == nil || !strings.Contains(err.Error(), "nothing is not defined") {
		t.Errorf("error %v", err)
	}
	if err := b.Press(ctx, "Nokey"); err == nil {
		t.Error("a key that is none was pressed")
	}
	if png, err := b.Screenshot(ctx, true); err != nil || !bytes.HasPrefix(png, []byte("\x89PNG")) {
		t.Errorf("screenshot %.8q, %v", png, err)
	}
	console := strings.Join(b.Console(), "; ")
	if !strings.Contains(console, "from the page") || !strings.Contains(console, "thrown") {
		t.Errorf("console %q", console)
	}
	if !slices.Contains(b.Requests(), "https://example.com/x") {
		t.Errorf("requests %q", b.Requests())
	}
	if err := b.Open(ctx, filepath.Join(t.TempDir(), "nosuch.html"), ""); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("error %v, want that the file does not exist", err)
	}
}

func TestNoBrowser(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	if _, err := Start(t.Context()); !errors.Is(err, pagetest.ErrNoBrowser) {
		t.Errorf("error %v", err)
	}
}
