package serve

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/page"
	"example.com/railbook/kernel/page/pagetest"
)

// listen starts a server that the end of the test closes.
func listen(t *testing.T) *Server {
	t.Helper()
	s, err := Listen(fstest.MapFS{"report.pdf": {Data: []byte("%PDF")}, "old.html": {Data: []byte("old")}})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

// put shows a page of the text.
func put(t *testing.T, s *Server, name, text string) (events string) {
	t.Helper()
	err := s.Put(name, func(e string) ([]byte, error) {
		events = e
		return []byte(text), nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return events
}

func get(t *testing.T, address string) (status int, body string, header http.Header) {
	t.Helper()
	r, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	b, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return r.StatusCode, string(b), r.Header
}

func TestPages(t *testing.T) {
	s := listen(t)
	if !strings.HasPrefix(s.URL(), "http://127.0.0.1:") {
		t.Errorf("address %s", s.URL())
	}
	if _, body, _ := get(t, s.URL()); !strings.Contains(body, "None has been run yet") {
		t.Errorf("index without pages: %s", body)
	}
	put(t, s, "a b.html", "one")
	if _, body, h := get(t, s.URL()); body != "one" || !strings.HasPrefix(h.Get("Content-Type"), "text/html") || h.Get("Cache-Control") != "no-store" {
		t.Errorf("the only page: %q, %v", body, h)
	}
	put(t, s, "c.html", "two")
	if _, body, _ := get(t, s.URL()); !strings.Contains(body, `<a href="/a%20b.html">a b.html</a>`) || !strings.Contains(body, "c.html") {
		t.Errorf("index of two: %s", body)
	}
	put(t, s, "c.html", "three")
	for path, want := range map[string]string{"a%20b.html": "one", "c.html": "three", "report.pdf": "%PDF", "old.html": "old"} {
		if _, body, _ := get(t, s.URL()+path); body != want {
			t.Errorf("%s: got %q, want %q", path, body, want)
		}
	}
	if status, _, _ := get(t, s.URL()+"nosuch"); status != http.StatusNotFound {
		t.Errorf("status %d for a file that is not there", status)
	}
}

func TestPutKeepsThePageThatWas(t *testing.T) {
	s := listen(t)
	put(t, s, "a.html", "one")
	bad := errors.New("bad")
	if err := s.Put("a.html", func(string) ([]byte, error) { return nil, bad }); err != bad {
		t.Errorf("got %v, want the error of what makes the page", err)
	}
	if _, body, _ := get(t, s.URL()+"a.html"); body != "one" {
		t.Errorf("got %q", body)
	}
}

// A page of the web whose name was made to mean this machine gets nothing.
func TestOtherNamesAreRefused(t *testing.T) {
	s := listen(t)
	put(t, s, "a.html", "secret")
	for _, host := range []string{"example.com", "127.0.0.1", "127.0.0.1:1", "[::1]"} {
		r, err := http.NewRequest("GET", s.URL()+"a.html", nil)
		if err != nil {
			t.Fatal(err)
		}
		r.Host = host
		resp, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		body, _ := io.ReadAll(resp.Body)
		resp.Body.Close()
		if resp.StatusCode != http.StatusForbidden || bytes.Contains(body, []byte("secret")) {
			t.Errorf("asked as %s: status %d, %q", host, resp.StatusCode, body)
		}
	}
}

func TestMethods(t *testing.T) {
	s := listen(t)
	put(t, s, "a.html", "one")
	r, err := http.Post(s.URL()+"a.html", "text/plain", strings.NewReader("x"))
	if err != nil {
		t.Fatal(err)
	}
	r.Body.Close()
	if r.StatusCode != http.StatusMethodNotAllowed {
		t.Errorf("status %d for a POST", r.StatusCode)
	}
}

// follow reads the stream of events, a line for each.
func follow(t *testing.T, address string) <-chan string {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	r, err := http.NewRequestWithContext(ctx, "GET", address, nil)
	if err != nil {
		t.Fatal(err)
	}
	jar, _ := cookiejar.New(nil) // a client of its own
	resp, err := (&http.Client{Jar: jar}).Do(r)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		cancel()
		resp.Body.Close()
	})
	lines := make(chan string)
	go func() {
		defer close(lines)
		for in := bufio.NewScanner(resp.Body); in.Scan(); {
			if kind, ok := strings.CutPrefix(in.Text(), "event: "); ok {
				in.Scan()
				lines <- kind + " " + strings.TrimPrefix(in.Text(), "data: ")
			}
		}
	}()
	return lines
}

func expect(t *testing.T, lines <-chan string, want ...string) {
	t.Helper()
	for _, w := range want {
		if got, ok := <-lines; got != w || !ok {
			t.Fatalf("got %q, %v, want %q", got, ok, w)
		}
	}
}

func TestEvents(t *testing.T) {
	s := listen(t)
	first := put(t, s, "a b.html", "one")
	lines := follow(t, s.URL()+first[1:])
	expect(t, lines, "state ")
	s.Say("cell 1\nof 2")
	expect(t, lines, "state cell 1 of 2")
	put(t, s, "other.html", "x") // is no news for a reader of another page
	s.Say("cell 2 of 2")
	expect(t, lines, "state cell 2 of 2")
	second := put(t, s, "a b.html", "two")
	expect(t, lines, "page newer")
	if got, ok := <-lines; ok {
		t.Errorf("the stream goes on with %q after the page has become old", got)
	}
	// Who comes with an old page is told at once, who has the new one is not.
	expect(t, follow(t, s.URL()+first[1:]), "state cell 2 of 2", "page newer")
	lines = follow(t, s.URL()+second[1:])
	expect(t, lines, "state cell 2 of 2")
	s.Say("")
	expect(t, lines, "state ")
	s.Close()
	if got, ok := <-lines; ok {
		t.Errorf("got %q after the end of the server", got)
	}
}

func TestEventsOfNoVersion(t *testing.T) {
	s := listen(t)
	if status, body, _ := get(t, s.URL()+"events?page=a"); status != http.StatusBadRequest || !strings.Contains(body, "want the version") {
		t.Errorf("got %d, %q", status, body)
	}
}

// A browser shows the newer page by itself, where it was, and what goes on.
func TestBrowserReloads(t *testing.T) {
	s := listen(t)
	show := func(text string) {
		t.Helper()
		long := strings.Repeat("paragraph\n\n", 200)
		nb := &nbformat.Notebook{Cells: []*nbformat.Cell{{Type: nbformat.Markdown, Source: "# " + text + "\n\n" + long}}}
		err := s.Put("note.html", func(events string) ([]byte, error) {
			var b bytes.Buffer
			err := page.Render(&b, nb, page.Options{Events: events})
			return b.Bytes(), err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	show("First")
	tab := pagetest.Open(t, s.URL(), 800, 600)
	tab.Wait(`document.title === 'First'`)
	tab.Eval(`scrollTo(0, 1234)`, nil)
	s.Say("cell 3 of 34")
	tab.Wait(`document.querySelector('.rb-state').textContent === 'cell 3 of 34'`)
	for i := range 3 {
		title := fmt.Sprintf("Next %d", i)
		show(title)
		tab.Wait(`document.title === '` + title + `' && scrollY === 1234`)
	}
	for _, r := range tab.Requests() {
		if !strings.HasPrefix(r, s.URL()) {
			t.Errorf("request to %s", r)
		}
	}
	if c := tab.Console(); len(c) > 0 {
		t.Errorf("on the console: %q", c)
	}
	s.Close()
	tab.Wait(`document.querySelector('.rb-state').textContent.includes('has ended')`)
}
