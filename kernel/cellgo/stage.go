//go:build unix

package main

import (
	"context"
	"errors"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"time"

	"example.com/railbook/kernel/cellgo/internal/build"
	"example.com/railbook/kernel/cellgo/internal/imports"
	"example.com/railbook/kernel/cellgo/internal/tool"
	"example.com/railbook/kernel/cellgo/setting"
)

// errInterrupted ends a stage that was interrupted.
var errInterrupted = errors.New("interrupted")

// toolEnd is how long a tool may take to end after an interrupt.
const toolEnd = 300 * time.Millisecond

// stage is one of the steps by which the kernel builds a cell. It can be
// interrupted.
type stage struct {
	setting setting.Setting
	dir     string // the folder of the cell
	binary  string // the file that the kernel will run
}

// cellFolder returns the folder in which the kernel builds cells, if this is the
// working folder.
func cellFolder() (string, bool) {
	dir := os.Getenv("GONB_TMP_DIR")
	if dir == "" || !strings.HasPrefix(filepath.Base(dir), "gonb_") {
		return "", false
	}
	here, err := os.Getwd()
	if err != nil {
		return "", false
	}
	if here != dir {
		a, errA := os.Stat(here)
		b, errB := os.Stat(dir)
		if errA != nil || errB != nil || !os.SameFile(a, b) {
			return "", false
		}
	}
	return dir, true
}

// runGo plays the go command.
func runGo(s setting.Setting, args []string) error {
	dir, ok := cellFolder()
	if !ok || len(args) == 0 {
		return tool.Become(s, "go", args)
	}
	st := stage{setting: s, dir: dir, binary: filepath.Join(dir, filepath.Base(dir))}
	switch {
	case slices.Equal(args, []string{"get"}):
		return st.run(func(ctx context.Context) error {
			if s.Direct {
				job, err := st.job()
				if err != nil {
					return err
				}
				if job.Resolved(ctx, st.packages(job).Dir) {
					return nil
				}
			}
			return st.real(ctx, "go", args)
		})
	case st.makes(args):
		return st.run(func(ctx context.Context) error { return st.build(ctx, args) })
	default:
		return tool.Become(s, "go", args)
	}
}

// makes reports whether the arguments have the go command make the program of
// the cell.
func (st stage) makes(args []string) bool {
	command := slices.Equal(args[:1], []string{"build"}) || len(args) > 1 && slices.Equal(args[:2], []string{"test", "-c"})
	i := slices.Index(args, "-o")
	return command && i >= 0 && i+1 < len(args) && args[i+1] == st.binary
}

// build makes the cell's program and, if there is to be one, puts the pump in
// front of it.
func (st stage) build(ctx context.Context, args []string) error {
	out := st.binary
	if st.setting.Events {
		out += setting.ProgramSuffix
	}
	var err error
	if st.setting.Direct && slices.Equal(args, []string{"build", "-o", st.binary}) {
		var job build.Job
		if job, err = st.job(); err == nil {
			job.Out = out
			err = job.Run(ctx)
		}
	} else {
		args = slices.Clone(args)
		args[slices.Index(args, "-o")+1] = out
		err = st.real(ctx, "go", args)
	}
	if err != nil || !st.setting.Events {
		return err
	}
	if target, err := os.Readlink(st.binary); err == nil && target == st.setting.Program {
		return nil
	}
	if err := os.Remove(st.binary); err != nil && !os.IsNotExist(err) {
		return err
	}
	return os.Symlink(st.setting.Program, st.binary)
}

// job returns what package build has to know.
func (st stage) job() (build.Job, error) {
	goCommand, err := tool.Find(st.setting, "go")
	if err != nil {
		return build.Job{}, err
	}
	return build.Job{
		Dir: st.dir, Go: goCommand, Self: st.setting.Program,
		Env:    st.setting.Without(os.Environ()),
		Stdout: plain{os.Stdout}, Stderr: plain{os.Stderr},
	}, nil
}

// runGoimports plays goimports.
func runGoimports(s setting.Setting, args []string) error {
	dir, ok := cellFolder()
	main := filepath.Join(dir, "main.go")
	if !ok {
		return tool.Become(s, "goimports", args)
	}
	st := stage{setting: s, dir: dir}
	return st.run(func(ctx context.Context) error {
		if s.Direct && slices.Equal(args, []string{"-w", main}) && st.completeImports(main) {
			return nil
		}
		return st.real(ctx, "goimports", args)
	})
}

// completeImports completes the imports of the cell. It reports false if that
// is left to goimports.
func (st stage) completeImports(path string) bool {
	job, err := st.job()
	if err != nil {
		return false
	}
	src, err := os.ReadFile(path)
	if err != nil {
		return false
	}
	done, ok := imports.Complete(src, st.packages(job))
	if !ok {
		return false
	}
	return slices.Equal(done, src) || os.WriteFile(path, done, 0o600) == nil
}

// packages returns where the cell's packages are.
func (st stage) packages(job build.Job) imports.Workspace {
	return imports.Workspace{
		Root: job.Root(), Modules: imports.ReadModules(st.dir), Known: sync.OnceValue(job.Known),
	}
}

// run does the work of the stage. Meanwhile the stage's file names this process,
// for the one who may interrupt it.
func (st stage) run(work func(context.Context) error) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if path := st.setting.Stage; path != "" {
		// Written under another name first, as it may be read at any time.
		temp := path + "." + strconv.Itoa(os.Getpid())
		if err := os.WriteFile(temp, []byte(strconv.Itoa(os.Getpid())), 0o600); err != nil {
			return err
		}
		if err := os.Rename(temp, path); err != nil {
			return err
		}
		defer os.Remove(path)
	}
	err := work(ctx)
	if ctx.Err() != nil {
		return errInterrupted
	}
	return err
}

// real runs the program that bears the name by right.
func (st stage) real(ctx context.Context, name string, args []string) error {
	path, err := tool.Find(st.setting, name)
	if err != nil {
		return err
	}
	cmd := exec.CommandContext(ctx, path, args...)
	cmd.Args[0] = name
	cmd.Env = st.setting.Without(os.Environ())
	cmd.Stdin, cmd.Stdout, cmd.Stderr = os.Stdin, plain{os.Stdout}, plain{os.Stderr}
	cmd.Cancel = func() error { return cmd.Process.Signal(os.Interrupt) }
	cmd.WaitDelay = toolEnd
	return cmd.Run()
}

// plain is a writer and nothing else: a program that writes to it does so
// through a pipe, and what it leaves running does not keep the kernel waiting.
type plain struct{ io.Writer }
