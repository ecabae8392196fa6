package main

import (
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
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
//	await FILE [TEXT]  wait until the file exists, and holds what the regular
//	                   expression TEXT matches; FILE may be a pattern
//	fetch URL FILE     wait until the address answers, and keep what it does; URL
//	                   may be a file whose first address it is to be
//	clean              check that, perhaps in a moment, no process of the script's
//	                   folder runs and its temporary folder is empty
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
			railbook, err := exec.LookPath("railbook")
			if err != nil {
				return err
			}
			e.Vars = append(e.Vars, env...)
			e.Vars = append(e.Vars, "RAILBOOK="+railbook) // for a script without a PATH
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"await": awaitFile,
			"fetch": fetch,
			"clean": clean,
		},
		Condition: func(name string) (bool, error) {
			if name == "root" {
				return os.Getuid() == 0, nil
			}
			return false, fmt.Errorf("unknown condition %q", name)
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
const patience = 3 * time.Minute

func awaitFile(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 || len(args) > 2 {
		ts.Fatalf("usage: await FILE [TEXT]")
	}
	text := regexp.MustCompile("(?m)" + strings.Join(args[1:], ""))
	for start := time.Now(); time.Since(start) < patience; time.Sleep(20 * time.Millisecond) {
		found, err := filepath.Glob(ts.MkAbs(args[0]))
		if err != nil || found == nil {
			continue
		}
		if content, err := os.ReadFile(found[0]); err == nil && text.Match(content) {
			return
		}
	}
	ts.Fatalf("%s did not appear", strings.Join(args, " with "))
}

// address is where a server of this machine is.
var address = regexp.MustCompile(`http://127\.0\.0\.1:\d+/`)

func fetch(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: fetch URL FILE")
	}
	url := args[0]
	if !strings.HasPrefix(url, "http:") {
		url = address.FindString(ts.ReadFile(url))
	}
	for start := time.Now(); time.Since(start) < patience; time.Sleep(20 * time.Millisecond) {
		r, err := http.Get(url)
		if err != nil {
			continue
		}
		body, err := io.ReadAll(r.Body)
		r.Body.Close()
		if err == nil && r.StatusCode == http.StatusOK {
			ts.Check(os.WriteFile(ts.MkAbs(args[1]), body, 0o666))
			return
		}
	}
	ts.Fatalf("%s did not answer", url)
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
