package scripts

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"
)

// npmMode makes the test binary behave as an npm client.
const npmMode = "RAILBOOK_TEST_NPM"

func TestMain(m *testing.M) {
	if mode := os.Getenv(npmMode); mode != "" {
		os.Exit(actAsNPM(mode))
	}
	os.Exit(m.Run())
}

func actAsNPM(mode string) int {
	switch mode {
	case "works":
		if os.Args[1] != "pack" || !slices.Contains(os.Args, "--ignore-scripts") {
			fmt.Fprintf(os.Stderr, "unexpected arguments %q\n", os.Args)
			return 2
		}
		name := strings.ReplaceAll(os.Args[2], "@", "-") + ".tgz"
		if err := os.WriteFile(name, []byte("archive"), 0o644); err != nil {
			return 1
		}
		fmt.Println("[]")
	case "says why in JSON":
		fmt.Println(`{"error": {"code": "ECONNREFUSED", "summary": "request failed, reason: connection refused\nmore", "detail": "a proxy?"}}`)
		fmt.Fprintln(os.Stderr, "npm error Log files were not written")
		return 1
	case "says why in text":
		fmt.Fprint(os.Stderr, "npm error one\nnpm error the last line\n\n")
		return 1
	case "says nothing":
		return 3
	case "hangs":
		time.Sleep(time.Minute)
	}
	return 0
}

// fakeNPM puts an npm client on PATH that is this test in the given mode.
func fakeNPM(t *testing.T, mode string) {
	t.Helper()
	if runtime.GOOS == "windows" {
		t.Skip("needs symbolic links")
	}
	exe, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	bin := t.TempDir()
	if err := os.Symlink(exe, filepath.Join(bin, "npm")); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", bin)
	t.Setenv(npmMode, mode)
}

func TestNPMPack(t *testing.T) {
	fakeNPM(t, "works")
	dir := t.TempDir()
	if err := npmPack(t.Context(), dir, "lib@1.2.3"); err != nil {
		t.Fatal(err)
	}
	if b, err := os.ReadFile(filepath.Join(dir, "lib-1.2.3.tgz")); err != nil || string(b) != "archive" {
		t.Errorf("archive = %q, %v", b, err)
	}
}

func TestNPMFailuresInOneLine(t *testing.T) {
	for mode, want := range map[string]string{
		"says why in JSON": "npm could not fetch lib@1.2.3: request failed, reason: connection refused; " + Hint,
		"says why in text": "npm could not fetch lib@1.2.3: npm error the last line; " + Hint,
		"says nothing":     "npm could not fetch lib@1.2.3: exit status 3; " + Hint,
	} {
		t.Run(mode, func(t *testing.T) {
			fakeNPM(t, mode)
			err := npmPack(t.Context(), t.TempDir(), "lib@1.2.3")
			var ne *NPMError
			if !errors.As(err, &ne) {
				t.Fatalf("error = %v, want an NPMError", err)
			}
			if err.Error() != want {
				t.Errorf("error = %q\n want  %q", err, want)
			}
			if ne.Unwrap() == nil {
				t.Error("the error does not say how npm ended")
			}
		})
	}
}

func TestNPMIsStoppedWithTheContext(t *testing.T) {
	fakeNPM(t, "hangs")
	ctx, cancel := context.WithTimeout(t.Context(), 200*time.Millisecond)
	defer cancel()
	start := time.Now()
	err := npmPack(ctx, t.TempDir(), "lib@1.2.3")
	if !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("error = %v, want the context's", err)
	}
	var ne *NPMError
	if errors.As(err, &ne) {
		t.Errorf("error = %v, but npm is not to blame", err)
	}
	if d := time.Since(start); d > 20*time.Second {
		t.Errorf("npm ran on for %v", d)
	}
}

func TestNoNPM(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	t.Setenv("RAILBOOK_CACHE", t.TempDir())
	b, err := Load(t.Context(), nil)
	if !errors.Is(err, ErrNoNPM) || b != nil {
		t.Fatalf("Load = %v, %v, want ErrNoNPM", b, err)
	}
	if !strings.Contains(err.Error(), Hint) {
		t.Errorf("error %q does not say how to get live charts", err)
	}
}
