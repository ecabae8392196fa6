// Package serve shows pages in a browser of the same machine while they are
// being written: each page loads itself again when there is a newer one.
//
// The server listens on 127.0.0.1 alone, at a port the system chooses, and
// answers only requests that name it so: a page of the web that has its own
// name resolve to this machine gets nothing.
package serve

import (
	"context"
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"net"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
)

// Server shows pages. Its methods may be called from any goroutine.
type Server struct {
	listener net.Listener
	http     http.Server
	files    http.Handler
	done     chan struct{}
	end      sync.Once

	mu      sync.Mutex
	pages   map[string]*content
	state   string
	changed chan struct{} // closed when a page or the state changes
}

// content is a page as it is now.
type content struct {
	version int
	html    []byte
}

// Listen starts a server. What the pages link to beside them is taken from
// files; nil means nothing.
func Listen(files fs.FS) (*Server, error) {
	l, err := net.Listen("tcp4", "127.0.0.1:0")
	if err != nil {
		return nil, fmt.Errorf("listening for a browser: %w", err)
	}
	s := &Server{listener: l, done: make(chan struct{}), pages: map[string]*content{}, changed: make(chan struct{})}
	if files != nil {
		s.files = http.FileServerFS(files)
	}
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", s.index)
	mux.HandleFunc("GET "+eventsPath, s.events)
	mux.HandleFunc("GET /", s.page)
	s.http = http.Server{Handler: s.guarded(mux), ReadHeaderTimeout: 5 * time.Second}
	go s.http.Serve(l) // it ends with Close
	return s, nil
}

// URL returns the address at which the pages are.
func (s *Server) URL() string { return "http://" + s.listener.Addr().String() + "/" }

// Close ends the server and every connection to it. It may be called again.
func (s *Server) Close() error {
	s.end.Do(func() { close(s.done) })
	err := s.http.Close()
	if errors.Is(err, net.ErrClosed) {
		return nil
	}
	return err
}

// Put shows a page under the name, "first-build.html", in place of what is there.
// The page is made by render, which is given the address of the stream of events
// the page has to listen to.
func (s *Server) Put(name string, render func(events string) ([]byte, error)) error {
	s.mu.Lock()
	version := 1
	if old := s.pages[name]; old != nil {
		version = old.version + 1
	}
	s.mu.Unlock()
	query := url.Values{"page": {name}, "seen": {strconv.Itoa(version)}}
	html, err := render(eventsPath + "?" + query.Encode())
	if err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.pages[name] = &content{version, html}
	s.tell()
	return nil
}

// Say tells the readers of all pages in a line what goes on; an empty line that
// nothing does.
func (s *Server) Say(state string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if state != s.state {
		s.state = state
		s.tell()
	}
}

// tell wakes whoever waits for a change.
func (s *Server) tell() {
	close(s.changed)
	s.changed = make(chan struct{})
}

// guarded refuses what does not name the server by its address.
func (s *Server) guarded(next http.Handler) http.Handler {
	port := s.listener.Addr().(*net.TCPAddr).Port
	hosts := []string{fmt.Sprintf("127.0.0.1:%d", port), fmt.Sprintf("localhost:%d", port)}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !slices.Contains(hosts, r.Host) {
			http.Error(w, "this server is for this machine alone", http.StatusForbidden)
			return
		}
		h := w.Header()
		h.Set("Cache-Control", "no-store")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		next.ServeHTTP(w, r)
	})
}

// page answers with a page, or else with the file of that name.
func (s *Server) page(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	p := s.pages[r.URL.Path[1:]]
	s.mu.Unlock()
	switch {
	case p != nil:
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.Write(p.html)
	case s.files != nil:
		s.files.ServeHTTP(w, r)
	default:
		http.NotFound(w, r)
	}
}

var indexTemplate = template.Must(template.New("").Parse(`<!DOCTYPE html>
<html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width"><meta name="color-scheme" content="light dark">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'">
{{if not .}}<meta http-equiv="refresh" content="1">{{end}}<title>Notebooks</title><h1>Notebooks</h1>
<ul>{{range .}}<li><a href="/{{.}}">{{.}}</a></li>{{else}}<li>None has been run yet.</li>{{end}}</ul></html>
`))

// index lists the pages, or leads to the only one.
func (s *Server) index(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	var names []string
	for name := range s.pages {
		names = append(names, name)
	}
	s.mu.Unlock()
	if len(names) == 1 {
		http.Redirect(w, r, "/"+url.PathEscape(names[0]), http.StatusFound)
		return
	}
	slices.Sort(names)
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	indexTemplate.Execute(w, names) // the reader has gone if this fails
}

const eventsPath = "/events"

// pulse is how often a silent stream is written to, so that both ends notice when
// the other is gone.
const pulse = 15 * time.Second

// events sends the reader of a page what changes: "state" with a line on what
// goes on, and "page" when there is a newer page than the one seen.
func (s *Server) events(w http.ResponseWriter, r *http.Request) {
	name := r.FormValue("page")
	seen, err := strconv.Atoi(r.FormValue("seen"))
	if err != nil {
		http.Error(w, "seen: want the version of the page", http.StatusBadRequest)
		return
	}
	w.Header().Set("Content-Type", "text/event-stream")
	out := http.NewResponseController(w)
	said, first := "", true
	for {
		s.mu.Lock()
		changed, state := s.changed, s.state
		newer := s.pages[name] != nil && s.pages[name].version > seen
		s.mu.Unlock()
		if state != said || first {
			fmt.Fprintf(w, "event: state\ndata: %s\n\n", oneLine(state))
			said, first = state, false
		}
		if newer {
			fmt.Fprint(w, "event: page\ndata: newer\n\n")
		}
		if out.Flush() != nil || newer {
			return
		}
		if !s.wait(r.Context(), changed, w) {
			return
		}
	}
}

// wait waits for a change and writes a comment now and then. It returns false
// when the reader has gone or the server ends.
func (s *Server) wait(ctx context.Context, changed <-chan struct{}, w http.ResponseWriter) bool {
	tick := time.NewTicker(pulse)
	defer tick.Stop()
	for {
		select {
		case <-changed:
			return true
		case <-tick.C:
			fmt.Fprint(w, ": still here\n\n")
			if http.NewResponseController(w).Flush() != nil {
				return false
			}
		case <-ctx.Done():
			return false
		case <-s.done:
			return false
		}
	}
}

// oneLine makes a text fit to be the data of an event.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
