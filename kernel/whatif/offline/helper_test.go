package offline_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"example.com/railbook/kernel/launch"
	"example.com/railbook/kernel/page/pagetest"
	"example.com/railbook/kernel/whatif/internal/browser"
	"example.com/railbook/kernel/whatif/offline"
	"example.com/railbook/kernel/whatif/program"
	"example.com/railbook/sizing"
)

func open(t testing.TB, name string) sizing.Build {
	t.Helper()
	b, err := sizing.Open("../../../testdata/sheets/" + name + ".toml")
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func write(t testing.TB, b sizing.Build, p *program.Program) string {
	t.Helper()
	var out bytes.Buffer
	if err := offline.Write(&out, b, p); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// standIn stands in for the program where nothing runs it.
var standIn = &program.Program{
	Wasm: []byte("wasm"), Runtime: "/* </script> <!-- */\r\nclass Go {}\r\n",
	Notices: []program.Notice{{Name: "Go", Text: "<owners> & others"}},
}

// compiled is the program itself.
func compiled(t testing.TB) *program.Program {
	t.Helper()
	m, err := launch.FindModule(".")
	if err != nil {
		t.Fatal(err)
	}
	p, err := program.Load(t.Context(), m, func(line string) { t.Log(line) })
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// save writes a page to a file.
func save(t testing.TB, page string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "a page.html")
	if err := os.WriteFile(path, []byte(page), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// tab is a browser for one test, which knows how to wait for a panel.
type tab struct {
	*browser.Browser
	t   testing.TB
	ctx context.Context
}

// shared is the browser of all tests, which take turns.
var shared struct {
	once sync.Once
	b    *browser.Browser
	err  error
}

func TestMain(m *testing.M) {
	code := m.Run()
	if shared.b != nil {
		if err := shared.b.Close(); err != nil {
			fmt.Fprintln(os.Stderr, err)
			code = 1
		}
	}
	os.Exit(code)
}

// start returns the browser as a desk sees it, or skips the test.
func start(t testing.TB) tab {
	t.Helper()
	shared.once.Do(func() { shared.b, shared.err = browser.Start(context.Background()) })
	if errors.Is(shared.err, pagetest.ErrNoBrowser) {
		t.Skip(shared.err)
	}
	if shared.err != nil {
		t.Fatal(shared.err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 3*time.Minute)
	t.Cleanup(cancel)
	shared.b.Forget()
	b := tab{shared.b, t, ctx}
	b.look(browser.View{Width: 1280, Height: 900})
	return b
}

// show opens a page and waits until its panel has answered.
func (b tab) show(path, fragment string) {
	b.t.Helper()
	if err := b.Open(b.ctx, path, fragment); err != nil {
		b.t.Fatal(err)
	}
	if err := b.Wait(b.ctx, `document.getElementById("what-if").dataset.state !== undefined`); err != nil {
		b.t.Fatal(err, b.Console())
	}
	b.rest()
}

// rest waits until every move is answered.
func (b tab) rest() {
	b.t.Helper()
	if err := b.Eval(b.ctx, `railbook.panel.idle()`, nil); err != nil {
		b.t.Fatal(err)
	}
}

func (b tab) look(v browser.View) {
	b.t.Helper()
	if err := b.Look(b.ctx, v); err != nil {
		b.t.Fatal(err)
	}
}

// eval evaluates an expression that has a value of type T.
func eval[T any](b tab, expression string) T {
	b.t.Helper()
	var v T
	if err := b.Eval(b.ctx, expression, &v); err != nil {
		b.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

func (b tab) press(keys ...string) {
	b.t.Helper()
	for _, key := range keys {
		if err := b.Press(b.ctx, key); err != nil {
			b.t.Fatal(err)
		}
	}
	b.rest()
}
