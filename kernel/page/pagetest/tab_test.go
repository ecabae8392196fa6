package pagetest

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

func TestTab(t *testing.T) {
	tab := Open(t, page(t, `<p id="p">text</p><script>
		console.log('from', 'the page', 7);
		setTimeout(function () { document.getElementById('p').textContent = 'later'; }, 50);
		fetch('https://example.com/x').catch(function () {});
	</script>`), 600, 300)
	var got struct {
		Width int
		Dark  bool
	}
	const ask = `Promise.resolve({Width: innerWidth, Dark: matchMedia('(prefers-color-scheme: dark)').matches})`
	if tab.Eval(ask, &got); got.Width != 600 || got.Dark {
		t.Errorf("got %+v, want a width of 600 and light", got)
	}
	tab.Resize(700, 300)
	tab.Prefer("dark")
	if tab.Eval(ask, &got); got.Width != 700 || !got.Dark {
		t.Errorf("got %+v, want a width of 700 and dark", got)
	}
	tab.Wait(`p.textContent === 'later'`)
	if c := tab.Console(); !slices.Contains(c, "from the page 7") {
		t.Errorf("console = %q", c)
	}
	for start := time.Now(); len(tab.Requests()) < 2 && time.Since(start) < patience; {
		time.Sleep(10 * time.Millisecond)
	}
	if r := tab.Requests(); len(r) != 2 || !strings.HasPrefix(r[0], "file:") || r[1] != "https://example.com/x" {
		t.Errorf("requests = %q, want the page and that it made", r)
	}
	for name, start := range map[string]string{"a.png": "\x89PNG", "a.pdf": "%PDF"} {
		path := filepath.Join(t.TempDir(), name)
		if name == "a.png" {
			tab.Screenshot(path)
		} else {
			tab.PDF(path)
		}
		if b, err := os.ReadFile(path); err != nil || !strings.HasPrefix(string(b), start) {
			t.Errorf("%s: begins %.8q, %v", name, b, err)
		}
	}
}

func TestTabErrors(t *testing.T) {
	tab := Open(t, page(t, "<p>quiet"), 300, 200)
	if err := tab.eval(`nosuch()`, nil); err == nil || !strings.Contains(err.Error(), "nosuch is not defined") {
		t.Errorf("got %v, want what the browser says", err)
	}
	if err := tab.d.call(tab.ctx, tab.session, "No.such", nil, nil); err == nil || !strings.HasPrefix(err.Error(), "No.such: ") {
		t.Errorf("got %v, want an error that names the method", err)
	}
	if err := tab.d.close(); err != nil {
		t.Errorf("closing: %v", err)
	}
	if err := tab.d.call(tab.ctx, "", "Browser.getVersion", nil, nil); err == nil {
		t.Error("a browser that was closed still answers")
	}
	if _, err := os.Stat(tab.d.tmp); !os.IsNotExist(err) {
		t.Errorf("the browser's files are left: %v", err)
	}
}
