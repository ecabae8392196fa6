// Package pagetest opens pages in a real browser, without a window, and says
// what became of their charts. It is for tests, and needs a Chromium on PATH.
package pagetest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

// ErrNoBrowser is returned where there is no Chromium on PATH.
var ErrNoBrowser = errors.New("no Chromium on PATH (looked for chromium, chromium-browser, google-chrome, google-chrome-stable)")

// limit bounds one run of the browser.
const limit = 3 * time.Minute

// find returns the path of the browser.
func find() (string, error) {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable"} {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", ErrNoBrowser
}

// printed is what a run of the browser leaves.
type printed struct {
	stdout, stderr string
	netLog         []byte
}

// run opens the file at path with the arguments added. Every name is kept from
// resolving, so that a page can get nothing from a network.
func run(ctx context.Context, path string, args ...string) (printed, error) {
	browser, err := find()
	if err != nil {
		return printed{}, err
	}
	path, err = filepath.Abs(path)
	if err != nil {
		return printed{}, err
	}
	if _, err := os.Stat(path); err != nil {
		return printed{}, err // the browser would show its own page on it
	}
	tmp, err := os.MkdirTemp("", "railbook-browser-")
	if err != nil {
		return printed{}, err
	}
	defer removeAll(tmp)
	netLog := filepath.Join(tmp, "net-log.json")

	ctx, cancel := context.WithTimeout(ctx, limit)
	defer cancel()
	all := append(flags(tmp),
		"--log-net-log="+netLog,
		// Time in the page runs as fast as its work allows.
		"--virtual-time-budget=10000",
		"--enable-logging=stderr",
	)
	file := url.URL{Scheme: "file", Path: filepath.ToSlash(path)}
	cmd := exec.CommandContext(ctx, browser, append(append(all, args...), file.String())...)
	cmd.WaitDelay = 5 * time.Second
	var out, messages bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &messages
	if err := cmd.Run(); err != nil {
		if ctx.Err() != nil {
			err = ctx.Err()
		}
		return printed{}, fmt.Errorf("%s: %w; its last words: %s", filepath.Base(browser), err, lastLine(messages.String()))
	}
	log, err := os.ReadFile(netLog)
	if err != nil {
		return printed{}, err
	}
	return printed{out.String(), messages.String(), log}, nil
}

// removeAll removes the folder of a browser's profile, in which its last process may still
// be writing for a moment.
func removeAll(dir string) {
	for range 20 {
		if os.RemoveAll(dir) == nil {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
}

func lastLine(s string) string {
	lines := strings.Split(strings.TrimSpace(s), "\n")
	return lines[len(lines)-1]
}
