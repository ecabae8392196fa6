//go:build unix

package build

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// Job is the program of a cell that is to be built.
type Job struct {
	// Dir is the folder of the cell's package, Out the file to make.
	Dir, Out string
	// Go is the path of the go command, Self that of this program.
	Go, Self string
	// Env is the environment of the go command and its tools.
	Env []string
	// Stdout and Stderr take the go command's words.
	Stdout, Stderr io.Writer
}

// Run builds the program, directly if a recipe covers it, and otherwise by the
// go command, from which it then learns. The error is that of the go command's
// end, after it has said why.
func (j Job) Run(ctx context.Context) error {
	work, err := os.MkdirTemp("", "cellgo-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	c, plain := readCell(j.Dir)
	key, known := keyOf(j.Dir, j.Go, j.Env)
	if !plain || !known {
		return j.goBuild(ctx)
	}
	old, err := load(key)
	tried := false
	if err == nil {
		if packages, ok := old.usable(c); ok {
			tried = true
			program, err := old.follow(ctx, names{j.Dir, work}, c, packages, j.Env)
			if err == nil {
				err = os.Rename(program, j.Out)
			}
			if err == nil || ctx.Err() != nil {
				return err
			}
		}
	}
	made, err := j.goBuildAndLearn(ctx, c, old, filepath.Join(work, "notes"), !tried)
	if err != nil || made == nil {
		return err
	}
	if old != nil && !tried {
		made.merge(old)
	}
	// The program is there; without its recipe only the next one takes longer.
	_ = made.store(key)
	return nil
}

// goBuild has the go command build the program.
func (j Job) goBuild(ctx context.Context, flags ...string) error {
	cmd := command(ctx, j.Go, append(append([]string{"build"}, flags...), "-o", j.Out)...)
	cmd.Dir, cmd.Env = j.Dir, j.Env
	cmd.Stdout, cmd.Stderr = j.Stdout, j.Stderr
	return cmd.Run()
}

// goBuildAndLearn has the go command build the program and returns the recipe,
// or nil if there is nothing to be learnt from this build. The packages are
// listed meanwhile, if the build is likely to succeed.
func (j Job) goBuildAndLearn(ctx context.Context, c cell, old *recipe, notes string, likely bool) (*recipe, error) {
	self, errSelf := quoteFlag(j.Self)
	dir, errDir := quoteFlag(notes)
	if errSelf != nil || errDir != nil {
		return nil, j.goBuild(ctx)
	}
	if err := os.Mkdir(notes, 0o700); err != nil {
		return nil, err
	}
	// What is up to date would not be linked, and then there is nothing to see.
	if err := os.Remove(j.Out); err != nil && !os.IsNotExist(err) {
		return nil, err
	}
	listCtx, cancel := context.WithCancel(ctx)
	defer cancel()
	var packages []listed
	var listErr error
	done := make(chan struct{})
	doList := func() {
		defer close(done)
		packages, listErr = list(listCtx, j.Go, j.Dir, j.Env)
	}
	start := time.Now()
	if likely {
		go doList()
	}
	if err := j.goBuild(ctx, "-toolexec="+strings.Join([]string{self, RecordCommand, dir}, " ")); err != nil {
		if cancel(); likely {
			<-done
		}
		return nil, err
	}
	if !likely {
		doList()
	}
	if <-done; listErr != nil {
		return nil, nil
	}
	l := lesson{names: names{dir: j.Dir}, cell: c, env: j.Env, root: j.Root(), packages: packages, start: start, before: old}
	l.exported = func(paths []string) (map[string]string, error) { return exported(ctx, j.Go, j.Dir, j.Env, paths) }
	r, err := l.learn(notes)
	if err != nil {
		return nil, nil // the next build will go through the go command, too
	}
	return r, nil
}

// quoteFlag quotes a word of -toolexec.
func quoteFlag(word string) (string, error) {
	switch {
	case !strings.ContainsAny(word, " \t\n\r'\""):
		return word, nil
	case !strings.Contains(word, "'"):
		return "'" + word + "'", nil
	case !strings.Contains(word, `"`):
		return `"` + word + `"`, nil
	}
	return "", fmt.Errorf("the path %q has both kinds of quotes", word)
}
