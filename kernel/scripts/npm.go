package scripts

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os/exec"
	"strings"
	"time"
)

// npmLimit bounds one package's download; 12 MB need this on a slow line.
const npmLimit = 4 * time.Minute

// npmPack fetches a package with the npm client found on PATH, under whatever
// registry and proxy the user has set for it. It runs no script of the
// package and prints nothing.
func npmPack(ctx context.Context, dir, id string) error {
	npm, err := exec.LookPath("npm")
	if err != nil {
		return ErrNoNPM
	}
	limited, cancel := context.WithTimeout(ctx, npmLimit)
	defer cancel()
	cmd := exec.CommandContext(limited, npm, "pack", id,
		"--json", "--ignore-scripts", "--prefer-offline",
		"--loglevel=error", "--logs-max=0", "--no-update-notifier",
		// Give up on a dead network after seconds, not minutes.
		"--fetch-retries=1", "--fetch-retry-mintimeout=1000")
	cmd.Dir = dir // npm leaves the archive in its working folder
	cmd.WaitDelay = 5 * time.Second
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	err = cmd.Run()
	switch {
	case err == nil:
		return nil
	case ctx.Err() != nil:
		return ctx.Err()
	case errors.Is(limited.Err(), context.DeadlineExceeded):
		return &NPMError{Package: id, Line: fmt.Sprintf("no answer within %s", npmLimit), Err: limited.Err()}
	}
	return &NPMError{Package: id, Line: npmSaid(stdout.Bytes(), stderr.String(), err), Err: err}
}

// npmSaid reduces npm's output to the one line that tells most: the summary in
// its JSON, else the last line of its error output, else how it ended.
func npmSaid(stdout []byte, stderr string, err error) string {
	var reply struct {
		Error struct{ Summary string }
	}
	if json.Unmarshal(stdout, &reply) == nil {
		line, _, _ := strings.Cut(strings.TrimSpace(reply.Error.Summary), "\n")
		if line != "" {
			return line
		}
	}
	lines := strings.Split(strings.TrimSpace(stderr), "\n")
	if last := strings.TrimSpace(lines[len(lines)-1]); last != "" {
		return last
	}
	return err.Error()
}
