//go:build unix

package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"example.com/railbook/kernel/cache"
	"example.com/railbook/kernel/cellgo/internal/build"
	"example.com/railbook/kernel/cellgo/setting"
)

// TestMain lets this program play cellgo under its names.
func TestMain(m *testing.M) {
	switch filepath.Base(os.Args[0]) {
	case "go", "goimports":
		main()
		return
	}
	if len(os.Args) > 1 && os.Args[1] == build.RecordCommand {
		fmt.Fprintln(os.Stderr, build.Record(os.Args[2:]))
		os.Exit(1)
	}
	os.Exit(m.Run())
}

// kernel is the place in which the kernel builds cells, with programs that note
// how they were called where the real ones would be.
type kernel struct {
	t       *testing.T
	setting setting.Setting
	dir     string // of the cell
	binary  string
	bin     string // the folder of the real programs
	log     string
}

func newKernel(t *testing.T) *kernel {
	t.Helper()
	root := t.TempDir()
	k := &kernel{t: t, dir: filepath.Join(root, "gonb_0123abcd"), bin: filepath.Join(root, "bin"), log: filepath.Join(root, "log")}
	k.binary = filepath.Join(k.dir, "gonb_0123abcd")
	k.setting = setting.Setting{Shims: filepath.Join(root, "shims"), Program: os.Args[0], Stage: filepath.Join(root, "stage")}
	for _, dir := range []string{k.dir, k.bin, k.setting.Shims} {
		if err := os.Mkdir(dir, 0o777); err != nil {
			t.Fatal(err)
		}
	}
	t.Setenv(cache.Env, t.TempDir())
	for _, name := range []string{"go", "goimports"} {
		if err := os.Symlink(os.Args[0], filepath.Join(k.setting.Shims, name)); err != nil {
			t.Fatal(err)
		}
		k.real(name, "exit 0")
	}
	k.file("go.mod", "module gonb_0123abcd\n\ngo 1.26\n")
	return k
}

// real makes a real program that, once it has noted how it was called, runs the
// script.
func (k *kernel) real(name, script string) {
	k.t.Helper()
	text := fmt.Sprintf("#!/bin/sh\necho %s \"$@\" >>'%s'\n%s\n", name, k.log, script)
	if err := os.WriteFile(filepath.Join(k.bin, name), []byte(text), 0o777); err != nil {
		k.t.Fatal(err)
	}
}

func (k *kernel) file(name, text string) {
	k.t.Helper()
	if err := os.WriteFile(filepath.Join(k.dir, name), []byte(text), 0o666); err != nil {
		k.t.Fatal(err)
	}
}

// command returns a command as the kernel calls it.
func (k *kernel) command(name string, args ...string) *exec.Cmd {
	cmd := exec.Command(filepath.Join(k.setting.Shims, name), args...)
	cmd.Args[0] = name
	cmd.Dir = k.dir
	cmd.Env = append(os.Environ(), k.setting.Entry(), "GONB_TMP_DIR="+k.dir, "PWD="+k.dir, "GOFLAGS=-buildvcs=false", "GOENV=off",
		"PATH="+strings.Join([]string{k.setting.Shims, k.bin, os.Getenv("PATH")}, string(filepath.ListSeparator)))
	return cmd
}

// run runs a command and returns what it wrote, and how the real programs were
// called meanwhile.
func (k *kernel) run(name string, args ...string) (output string, calls []string, err error) {
	k.t.Helper()
	return k.runCommand(k.command(name, args...))
}

func (k *kernel) runCommand(cmd *exec.Cmd) (output string, calls []string, err error) {
	k.t.Helper()
	os.Remove(k.log)
	out, err := cmd.CombinedOutput()
	log, errLog := os.ReadFile(k.log)
	if errLog != nil && !os.IsNotExist(errLog) {
		k.t.Fatal(errLog)
	}
	if _, err := os.Stat(k.setting.Stage); err == nil {
		k.t.Error("the file of the stage is still there")
	}
	if len(log) == 0 {
		return string(out), nil, err
	}
	return string(out), strings.Split(strings.TrimSpace(string(log)), "\n"), err
}

// wantCalls runs a command that is to succeed.
func (k *kernel) wantCalls(want []string, name string, args ...string) {
	k.t.Helper()
	out, calls, err := k.run(name, args...)
	if err != nil || strings.Join(calls, "\n") != strings.Join(want, "\n") {
		k.t.Errorf("%s %q: called %q, %v, want %q\n%s", name, args, calls, err, want, out)
	}
}

// TestPassedOn has calls that are none of our business.
func TestPassedOn(t *testing.T) {
	k := newKernel(t)
	program := "package main\n\nfunc main() {}\n"
	k.file("main.go", program)
	for _, s := range []setting.Setting{{}, {Direct: true, Events: true}} {
		k.setting.Direct, k.setting.Events = s.Direct, s.Events
		for _, args := range []string{
			"version", "mod init x", "work use a b", "get example.com/x", "build", "build -o other", "test ./...", "list -m all",
		} {
			k.wantCalls([]string{"go " + args}, "go", strings.Fields(args)...)
		}
		k.wantCalls([]string{"go"}, "go")
		// Elsewhere it is not the kernel that calls.
		cmd := k.command("go", "get")
		cmd.Dir = t.TempDir()
		cmd.Env = append(cmd.Env, "PWD="+cmd.Dir)
		if _, calls, err := k.runCommand(cmd); err != nil || len(calls) != 1 || calls[0] != "go get" {
			t.Errorf("elsewhere: called %q, %v", calls, err)
		}
	}
	k.setting.Direct, k.setting.Events = false, false
	k.wantCalls([]string{"go get"}, "go", "get")
	k.wantCalls([]string{"go build -o " + k.binary}, "go", "build", "-o", k.binary)
	k.wantCalls([]string{"goimports -w " + filepath.Join(k.dir, "main.go")}, "goimports", "-w", filepath.Join(k.dir, "main.go"))
}

// TestOwnEnvironment has a real program find no trace of the shims.
func TestOwnEnvironment(t *testing.T) {
	k := newKernel(t)
	k.real("go", `echo "$PATH"; env | grep -c `+setting.Env)
	for _, args := range [][]string{{"version"}, {"get"}} {
		cmd := k.command("go", args...)
		out, _ := cmd.Output() // grep's status is that it found nothing
		path, count, _ := strings.Cut(strings.TrimSpace(string(out)), "\n")
		if count != "0" || strings.Contains(path, k.setting.Shims) || !strings.HasPrefix(path, k.bin) {
			t.Errorf("go %q: %s entries, PATH=%s", args, count, path)
		}
	}
}

func TestExitCode(t *testing.T) {
	k := newKernel(t)
	k.real("go", "echo said; echo so >&2; exit 7")
	for _, args := range [][]string{{"version"}, {"get"}, {"build", "-o", k.binary}} {
		out, _, err := k.run("go", args...)
		if exit, ok := err.(*exec.ExitError); !ok || exit.ExitCode() != 7 || !strings.Contains(out, "said\n") || !strings.Contains(out, "so\n") {
			t.Errorf("go %q: %v, %q", args, err, out)
		}
	}
}

func TestNoRealProgram(t *testing.T) {
	k := newKernel(t)
	cmd := k.command("goimports", "-l")
	cmd.Env = append(cmd.Env, "PATH="+k.setting.Shims)
	if out, err := cmd.CombinedOutput(); err == nil || !strings.Contains(string(out), "goimports is not on PATH") {
		t.Errorf("got %v, %q", err, out)
	}
}

// TestProgramPlaced wants the pump in the place of the program, however that is
// built.
func TestProgramPlaced(t *testing.T) {
	k := newKernel(t)
	k.setting.Events = true
	k.file("main.go", "package main\n\nfunc main() {}\n")
	program := k.binary + setting.ProgramSuffix
	for _, args := range [][]string{
		{"build", "-o", k.binary}, {"build", "-o", k.binary, "-race"}, {"test", "-c", "-o", k.binary}, {"test", "-c", "-o", k.binary, "-cover"},
	} {
		want := "go " + strings.ReplaceAll(strings.Join(args, " "), k.binary, program)
		k.wantCalls([]string{want}, "go", args...)
		if target, err := os.Readlink(k.binary); err != nil || target != k.setting.Program {
			t.Errorf("go %q: the program is a link to %q, %v", args, target, err)
		}
	}
	// What stands in its place already makes way.
	os.Remove(k.binary)
	k.file("gonb_0123abcd", "an old program")
	k.wantCalls([]string{"go build -o " + program}, "go", "build", "-o", k.binary)
	if target, err := os.Readlink(k.binary); err != nil || target != k.setting.Program {
		t.Errorf("the program is a link to %q, %v", target, err)
	}
	// A failed build places nothing.
	os.Remove(k.binary)
	k.real("go", "exit 1")
	k.run("go", "build", "-o", k.binary)
	if _, err := os.Lstat(k.binary); err == nil {
		t.Error("a failed build placed a program")
	}
}

// TestBuildsDirectly builds a cell with the real go command, and another one
// without.
func TestBuildsDirectly(t *testing.T) {
	real, err := exec.LookPath("go")
	if err != nil {
		t.Skip(err)
	}
	k := newKernel(t)
	k.real("go", "exec '"+real+"' \"$@\"")
	k.setting.Direct = true
	for i, events := range []bool{false, false, true} {
		k.setting.Events = events
		program := k.binary
		if events {
			program += setting.ProgramSuffix
		}
		k.file("main.go", fmt.Sprintf("package main\n\nfunc main() { println(%d) }\n", i))
		time.Sleep(time.Second / 4) // for the file system's clock
		out, calls, err := k.run("go", "build", "-o", k.binary)
		if err != nil || out != "" || (len(calls) > 0) != (i == 0) {
			t.Errorf("build %d: called %q, %v, %q", i, calls, err, out)
		}
		if out, err := exec.Command(program).CombinedOutput(); err != nil || string(out) != fmt.Sprintln(i) {
			t.Errorf("build %d: the program prints %q, %v", i, out, err)
		}
	}
	k.file("main.go", "package main\n\nfunc main() { undefined() }\n")
	out, _, err := k.run("go", "build", "-o", k.binary)
	if exit, ok := err.(*exec.ExitError); !ok || exit.ExitCode() != 1 || out != "# gonb_0123abcd\n./main.go:3:15: undefined: undefined\n" {
		t.Errorf("a mistake: %v, %q", err, out)
	}
}

func TestGet(t *testing.T) {
	k := newKernel(t)
	// Where the standard library is, is seen from where the go command is.
	real, err := exec.LookPath("go")
	if err != nil {
		t.Skip(err)
	}
	root, err := exec.Command(real, "env", "GOROOT").Output()
	if err != nil {
		t.Skip(err)
	}
	t.Setenv("GOROOT", strings.TrimSpace(string(root)))
	k.setting.Direct = true
	cell := func(path string) {
		k.file("main.go", fmt.Sprintf("package main\n\nimport _ %q\n\nfunc main() {}\n", path))
	}
	cell("encoding/json")
	k.wantCalls(nil, "go", "get")
	cell("example.com/x")
	k.wantCalls([]string{"go list -find -- example.com/x"}, "go", "get")
	k.real("go", `test "$1" != list`)
	k.wantCalls([]string{"go list -find -- example.com/x", "go get"}, "go", "get")
}

func TestCompletesImports(t *testing.T) {
	k := newKernel(t)
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Skip(err)
	}
	t.Setenv("GOROOT", strings.TrimSpace(string(root)))
	k.setting.Direct = true
	main := filepath.Join(k.dir, "main.go")
	k.file("main.go", "package main\n\nimport \"os\"\n\nfunc main() { fmt.Println() }\n")
	k.wantCalls(nil, "goimports", "-w", main)
	got, err := os.ReadFile(main)
	if want := "package main; import \"fmt\"\n\n           \n\nfunc main() { fmt.Println() }\n"; err != nil || string(got) != want {
		t.Errorf("got %q, %v, want %q", got, err, want)
	}
	k.file("main.go", "package main\n\nfunc main() { unknown.Println() }\n")
	k.wantCalls([]string{"goimports -w " + main}, "goimports", "-w", main)
	k.file("main.go", "package main\n\nfunc main() { fmt.Println() }\n")
	k.wantCalls([]string{"goimports -l " + main}, "goimports", "-l", main)
}

// TestInterrupted interrupts a stage, which names its process while it runs.
func TestInterrupted(t *testing.T) {
	k := newKernel(t)
	k.real("go", "trap '' INT; sleep 15 & wait; sleep 15")
	cmd := k.command("go", "get")
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &out
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	for {
		// The stage runs, and so does what it called.
		_, err := os.Stat(k.log)
		text, errStage := os.ReadFile(k.setting.Stage)
		if err == nil && errStage == nil {
			if string(text) != strconv.Itoa(cmd.Process.Pid) {
				t.Errorf("the file of the stage names %q, want %d", text, cmd.Process.Pid)
			}
			break
		}
		time.Sleep(5 * time.Millisecond)
	}
	if err := cmd.Process.Signal(syscall.SIGINT); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); err == nil || !strings.Contains(out.String(), "interrupted") {
		t.Errorf("the stage ended with %v and said %q", err, out.String())
	}
	if _, err := os.Stat(k.setting.Stage); err == nil {
		t.Error("the file of the stage is still there")
	}
}
