package pagetest

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

func page(t *testing.T, body string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "a page.html")
	if err := os.WriteFile(path, []byte("<!DOCTYPE html><title>Probe</title>"+body), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestCheckReports(t *testing.T) {
	r, err := Check(t.Context(), page(t, `
		<figure class="rb-chart" id="chart-a" data-state="still" data-reason="no wish"></figure>
		<figure class="rb-chart" id="chart-b" data-state="still"></figure>
		<script>
			document.getElementById('chart-b').dataset.state = 'live';
			console.error('from the page');
			fetch('https://example.com/x').catch(function () {});
			throw new Error('thrown');
		</script>`))
	if errors.Is(err, ErrNoBrowser) {
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	want := []Chart{{"chart-a", "still", "no wish"}, {"chart-b", "live", ""}}
	if r.Title != "Probe" || !slices.Equal(r.Charts, want) || r.Live() != 1 {
		t.Errorf("report = %+v, want charts %+v", r, want)
	}
	problem := r.Problem()
	if problem == nil {
		t.Fatal("no problem reported")
	}
	for _, part := range []string{"chart-a is still (no wish)", "from the page", "thrown", "request: https://example.com/x"} {
		if !strings.Contains(problem.Error(), part) {
			t.Errorf("problem %q does not tell of %q", problem, part)
		}
	}
}

func TestCheckOfAQuietPage(t *testing.T) {
	r, err := Check(t.Context(), page(t, "<p>quiet"))
	if errors.Is(err, ErrNoBrowser) {
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	if err := r.Problem(); err != nil || len(r.Charts) != 0 {
		t.Errorf("report = %+v, problem %v, want nothing", r, err)
	}
}

func TestScreenshot(t *testing.T) {
	png := filepath.Join(t.TempDir(), "shot.png")
	err := Screenshot(t.Context(), page(t, "<p>look"), png, 300, 200)
	if errors.Is(err, ErrNoBrowser) {
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	if b, err := os.ReadFile(png); err != nil || !strings.HasPrefix(string(b), "\x89PNG") {
		t.Errorf("no PNG was written: %v", err)
	}
}

func TestCheckOfNoFile(t *testing.T) {
	_, err := Check(t.Context(), filepath.Join(t.TempDir(), "nosuch.html"))
	if errors.Is(err, ErrNoBrowser) {
		t.Skip(err)
	}
	if !errors.Is(err, os.ErrNotExist) {
		t.Errorf("error = %v, want that the file does not exist", err)
	}
}

func TestNoBrowser(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	if _, err := Check(t.Context(), page(t, "")); !errors.Is(err, ErrNoBrowser) {
		t.Errorf("error = %v, want ErrNoBrowser", err)
	}
}

func TestRequestsOfABrokenLog(t *testing.T) {
	for _, log := range []string{``, `{`, `{}`, `{"constants": {"logEventTypes": {}}, "events": []}`} {
		if got, err := requests([]byte(log)); err == nil {
			t.Errorf("requests(%q) = %q, want an error", log, got)
		}
	}
}

// Lines as Chromium 156 writes them.
func TestConsole(t *testing.T) {
	got := console(`[12:12:1125/094309.569706:INFO:CONSOLE:785] "Uncaught Error: x", source: file:///tmp/t.html (785)
[12:12:1125/094309.6:ERROR:gpu/command_buffer/x.cc:12] not a console message
[12:12:1125/094309.7:INFO:CONSOLE:0] "[.WebGL-0x3b]GL Driver Message (OpenGL, Performance, GL_CLOSE_PATH_NV, High): GPU stall due to ReadPixels", source: file:///tmp/t.html (0)
[12:12:1125/094309.8:INFO:CONSOLE(3)] "older form", source: file:///tmp/t.html (3)
`)
	want := []string{
		`"Uncaught Error: x", source: file:///tmp/t.html (785)`,
		`"older form", source: file:///tmp/t.html (3)`,
	}
	if !slices.Equal(got, want) {
		t.Errorf("console = %q, want %q", got, want)
	}
}
