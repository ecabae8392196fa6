package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.com/railbook/kernel/cache"
	"example.com/railbook/kernel/launch"
	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"railbook": main})
}

// TestScripts runs the scripts of testdata/script, one for each topic. They
// call railbook as a user does; $MODULE is the root of the source tree, from
// which it has to be called to find its packages.
//
// Commands beyond those of testscript:
//
//	await FILE  wait until the file exists; FILE may be a pattern
//	clean       check that, perhaps in a moment, no process of the script's
//	            folder runs and its temporary folder is empty
func TestScripts(t *testing.T) {
	scripts, err := filepath.Glob("testdata/script/*.txt")
	if err != nil || len(scripts) == 0 {
		t.Fatalf("no scripts: %v", err)
	}
	env := environment(t)
	testscript.Run(t, testscript.Params{
		Files:               scripts,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			e.Vars = append(e.Vars, env...)
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"await": await,
			"clean": clean,
		},
	})
}

// environment returns the variables with which a script finds what this user
// has built and downloaded, and builds the cell kernel if that is not among it.
func environment(t *testing.T) []string {
	t.Helper()
	module, err := launch.FindModule(".")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := module.Build(t.Context(), func(line string) { t.Log(line) }); err != nil {
		t.Fatal(err)
	}
	dir, err := cache.Dir()
	if err != nil {
		t.Fatal(err)
	}
	env := []string{
		"MODULE=" + module.Root,
		cache.Env + "=" + dir,
		"GOTRACEBACK=", // testscript asks for more than users see
	}
	for _, name := range []string{"GOCACHE", "GOMODCACHE", "GOPATH"} {
		value, err := exec.Command("go", "env", name).Output()
		if err != nil {
			t.Fatal(err)
		}
		env = append(env, name+"="+strings.TrimSpace(string(value)))
	}
	return env
}

// patience is how long a script waits for something to happen, on a machine
// that is busy with other tests.
const patience = time.Minute

func await(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: await FILE")
	}
	for start := time.Now(); time.Since(start) < patience; time.Sleep(20 * time.Millisecond) {
		if found, err := filepath.Glob(ts.MkAbs(args[0])); err == nil && found != nil {
			return
		}
	}
	ts.Fatalf("%s did not appear", args[0])
}

func clean(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) > 0 {
		ts.Fatalf("usage: clean")
	}
	var left []string
	for start := time.Now(); time.Since(start) < patience; time.Sleep(20 * time.Millisecond) {
		left = processes(ts.Getenv("WORK"))
		files, err := os.ReadDir(ts.Getenv("TMPDIR"))
		ts.Check(err)
		for _, f := range files {
			left = append(left, filepath.Join(ts.Getenv("TMPDIR"), f.Name()))
		}
		if len(left) == 0 {
			return
		}
	}
	ts.Fatalf("left behind: %q", left)
}

// processes lists the running processes whose command line names the folder.
// On systems without /proc it finds none.
func processes(dir string) []string {
	var found []string
	files, _ := filepath.Glob("/proc/[0-9]*/cmdline")
	for _, file := range files {
		line, err := os.ReadFile(file) // empty for one that has ended
		if err == nil && strings.Contains(string(line), dir) {
			found = append(found, strings.ReplaceAll(string(line), "\x00", " "))
		}
	}
	return found
}
