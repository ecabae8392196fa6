package assist

import (
	"context"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"example.com/railbook/kernel/launch"
)

const head = `package main

import (
	. "example.com/railbook/kernel/display"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

var build = Open("first-build.toml")

func main() {
`

// cells is the program of a cell as a body of main.
func cells(code string) (string, func(int) int) {
	return head + code + "\n\t_, _ = fuel.Gasoline, quantity.PSI\n}\n", func(at int) int { return len(head) + at }
}

// start starts the pinned gopls on the module, which takes a minute to build where that
// has not been done before.
func start(t *testing.T) *Server {
	t.Helper()
	if testing.Short() {
		t.Skip("starts the language server")
	}
	m, err := launch.FindModule(".")
	if err != nil {
		t.Fatal(err)
	}
	gopls, err := m.BuildGopls(t.Context(), func(line string) { t.Log(line) })
	if err != nil {
		t.Skip(err)
	}
	folder := t.TempDir()
	if err := Prepare(folder, m.Root); err != nil {
		t.Fatal(err)
	}
	s, err := Start(t.Context(), Options{Gopls: gopls, Folder: folder, Program: cells})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func TestGopls(t *testing.T) {
	s := start(t)
	ask := func(t *testing.T, code string) (string, int) {
		cursor := strings.Index(code, "|")
		return strings.Replace(code, "|", "", 1), cursor
	}
	for _, tt := range []struct{ code, want, replaced string }{
		{"fuel.Bl|", "Blend", "Bl"},
		{"µ := 1; _ = µ\nquantity.PS|I", "PSI", "PSI"},
		{"build.Targ|.Power", "Target", "Targ"},
		{"Asse|", "Assess", "Asse"},
	} {
		t.Run(tt.code, func(t *testing.T) {
			code, cursor := ask(t, tt.code)
			c, err := s.Complete(t.Context(), code, cursor)
			if err != nil {
				t.Fatal(err)
			}
			at := slices.IndexFunc(c.Matches, func(m Match) bool { return m.Text == tt.want })
			if at < 0 || code[c.Start:c.End] != tt.replaced {
				t.Errorf("%q is replaced by one of %v, want %q by %s", code[c.Start:c.End], c.Matches, tt.replaced, tt.want)
			}
		})
	}
	t.Run("inspect", func(t *testing.T) {
		code, cursor := ask(t, "Assess(build|)")
		got, err := s.Inspect(t.Context(), code, cursor)
		if err != nil || !strings.Contains(got, "sizing.Build") {
			t.Errorf("build is said to be %q, %v", got, err)
		}
		code, cursor = ask(t, "Assess(|)")
		got, err = s.Inspect(t.Context(), code, cursor)
		if err != nil || !strings.Contains(got, "Assess finds what the build's fuel system can do") {
			t.Errorf("Assess is said to be %q, %v", got, err)
		}
		if got, err = s.Inspect(t.Context(), "   ", 1); err != nil || got != "" {
			t.Errorf("nothing is said to be %q, %v", got, err)
		}
	})
	t.Run("many at once", func(t *testing.T) {
		var all sync.WaitGroup
		for range 8 {
			all.Go(func() {
				if c, err := s.Complete(t.Context(), "fuel.Gas", 8); err != nil || len(c.Matches) == 0 {
					t.Errorf("%v, %v", c, err)
				}
			})
		}
		all.Wait()
	})
	t.Run("given up", func(t *testing.T) {
		ctx, cancel := context.WithTimeout(t.Context(), time.Nanosecond)
		defer cancel()
		if _, err := s.Complete(ctx, "fuel.", 5); err == nil {
			t.Error("answered in no time")
		}
		if c, err := s.Complete(t.Context(), "fuel.", 5); err != nil || len(c.Matches) == 0 {
			t.Errorf("and then: %v, %v", c, err)
		}
	})
	t.Run("ended", func(t *testing.T) {
		s.Close()
		ctx, cancel := context.WithTimeout(t.Context(), 5*time.Second)
		defer cancel()
		if _, err := s.Complete(ctx, "fuel.", 5); err == nil {
			t.Error("answered after its end")
		}
	})
}

func TestStartErrors(t *testing.T) {
	if _, err := Start(t.Context(), Options{Gopls: "/nowhere/gopls", Folder: t.TempDir(), Program: cells}); err == nil || !strings.Contains(err.Error(), "gopls does not start") {
		t.Errorf("got %v", err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 5*time.Second)
	defer cancel()
	if _, err := Start(ctx, Options{Gopls: "/bin/true", Folder: t.TempDir(), Program: cells}); err == nil {
		t.Error("a program that is no language server is taken for one")
	}
	if err := Prepare(t.TempDir(), t.TempDir()); err == nil || !strings.Contains(err.Error(), "go.mod") {
		t.Errorf("got %v", err)
	}
}
