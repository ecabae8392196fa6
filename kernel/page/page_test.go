package page_test

import (
	"errors"
	"strings"
	"testing"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/page"
	"example.com/railbook/kernel/page/chart"
	"example.com/railbook/kernel/scripts"
)

// render returns the notebook's page.
func render(t testing.TB, nb *nbformat.Notebook, o page.Options) string {
	t.Helper()
	var b strings.Builder
	if err := page.Render(&b, nb, o); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// notebook makes a notebook of markdown cells.
func notebook(markdown ...string) *nbformat.Notebook {
	nb := &nbformat.Notebook{}
	for _, text := range markdown {
		nb.Cells = append(nb.Cells, &nbformat.Cell{Type: nbformat.Markdown, Source: text})
	}
	return nb
}

func wants(t *testing.T, text string, parts ...string) {
	t.Helper()
	for _, part := range parts {
		if !strings.Contains(text, part) {
			t.Errorf("the page does not contain %q", part)
		}
	}
}

func TestEmptyNotebook(t *testing.T) {
	text := render(t, &nbformat.Notebook{}, page.Options{})
	harmless(t, text)
	wants(t, text, "<title>Notebook</title>", "<h1>Notebook</h1>")
}

func TestTitle(t *testing.T) {
	for name, tc := range map[string]struct {
		nb    *nbformat.Notebook
		title string
		want  []string
	}{
		"from the heading":     {notebook("# A *first* build\n\ntext"), "", []string{"<title>A first build</title>", `<h1 id="A-first-build">A <em>first</em> build</h1>`}},
		"given, heading stays": {notebook("# A first build"), "Job <17>", []string{"<title>Job &lt;17&gt;</title>", `<h1 id="A-first-build">`}},
		"given, no heading":    {notebook("text"), "Job <17>", []string{"<title>Job &lt;17&gt;</title>", "<h1>Job &lt;17&gt;</h1>"}},
		"lower heading":        {notebook("## Pumps"), "", []string{"<title>Pumps</title>", "<h1>Pumps</h1>", `<h2 id="Pumps">`}},
	} {
		t.Run(name, func(t *testing.T) {
			text := render(t, tc.nb, page.Options{Title: tc.title})
			wants(t, text, tc.want...)
			if n := strings.Count(text, "<h1"); n != 1 {
				t.Errorf("%d first-level headings, want 1", n)
			}
		})
	}
}

func TestContents(t *testing.T) {
	if text := render(t, notebook("# T", "## a", "## b"), page.Options{}); strings.Contains(text, `id="contents"`) {
		t.Error("a table of contents for two headings")
	}
	text := render(t, notebook("# T", "## a\n### b\n#### too deep\n## a"), page.Options{})
	wants(t, text,
		`<li class="rb-level-2"><a href="#a">a</a></li>`,
		`<li class="rb-level-3"><a href="#b">b</a></li>`,
		`<li class="rb-level-2"><a href="#a-2">a</a></li>`)
	if strings.Contains(text, `<a href="#too-deep"`) {
		t.Error("a fourth-level heading in the contents")
	}
}

func TestScriptsOnlyWhereNeeded(t *testing.T) {
	cells := func(specs ...chart.Spec) *nbformat.Notebook {
		c := &nbformat.Cell{Type: nbformat.Code}
		for _, s := range specs {
			c.Outputs = append(c.Outputs, chartOutput(t, s))
		}
		return &nbformat.Notebook{Cells: []*nbformat.Cell{c}}
	}
	const lib, gl, notice = "window.echarts = {}", "window['echarts-gl']", "Licences of the chart software"
	for name, tc := range map[string]struct {
		nb   *nbformat.Notebook
		has  []string
		lack []string
	}{
		"no chart":   {notebook("text"), nil, []string{lib, gl, notice, "unsafe-eval", "connect-src"}},
		"flat chart": {cells(lineChart()), []string{lib, notice, "script-src"}, []string{gl, "unsafe-eval"}},
		"surface":    {cells(lineChart(), surfaceChart()), []string{lib, gl, notice, "unsafe-eval"}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			text := render(t, tc.nb, page.Options{Scripts: fakeScripts})
			wants(t, text, tc.has...)
			for _, part := range tc.lack {
				if strings.Contains(text, part) {
					t.Errorf("the page contains %q", part)
				}
			}
		})
	}
}

func TestStillPagesSayHowToGetLiveCharts(t *testing.T) {
	text := render(t, sample(t), page.Options{})
	wants(t, text, scripts.Hint+".", `<a href="#still-pictures">`, `id="still-pictures"`)
	text = render(t, sample(t), page.Options{ScriptsHint: "ask the shop."})
	wants(t, text, "still pictures; ask the shop.</p>")
	if text := render(t, notebook("text"), page.Options{}); strings.Contains(text, "still pictures;") {
		t.Error("a hint on a page without charts")
	}
}

func TestChartWithoutPictureShowsItsWords(t *testing.T) {
	o := &nbformat.Output{Type: nbformat.DisplayData, Data: nbformat.MimeBundle{chart.MIME: encode(lineChart())}}
	nb := &nbformat.Notebook{Cells: []*nbformat.Cell{{Type: nbformat.Code, Outputs: []*nbformat.Output{o}}}}
	wants(t, render(t, nb, page.Options{}), `<p class="rb-picture">`+lineChart().Alt+`</p>`)
}

func TestMeantErrorIsNoFailure(t *testing.T) {
	const banner = "did not run through"
	for _, tt := range []struct {
		name, ename, tag, want string
		banner                 bool
	}{
		{"plain", "panic", "", "Error in cell 1: panic: too much boost", true},
		{"meant", "panic", "raises-exception", "Cell 1 fails, as it should: panic: too much boost", false},
		{"meant, but did not", "expected a failure", "raises-exception", "Error in cell 1: expected a failure: too much boost", true},
		{"meant, but took too long", "timeout", "raises-exception", "Error in cell 1: timeout: too much boost", true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := &nbformat.Cell{Type: nbformat.Code, Source: "fail()", Outputs: []*nbformat.Output{
				{Type: nbformat.Error, EName: tt.ename, EValue: "too much boost"},
			}}
			if err := c.Metadata.Set("tags", []string{tt.tag}); err != nil {
				t.Fatal(err)
			}
			text := render(t, &nbformat.Notebook{Cells: []*nbformat.Cell{c}}, page.Options{})
			wants(t, text, tt.want)
			if got := strings.Contains(text, banner); got != tt.banner {
				t.Errorf("the page says that the notebook %s: %v, want %v", banner, got, tt.banner)
			}
		})
	}
}

// The heading says what went wrong, and what a kernel says below it in the same
// words is left out.
func TestErrorIsSaidOnce(t *testing.T) {
	for _, tt := range []struct{ name, traceback, want string }{
		{"said again", "compile error: undefined: x\nat line 1", `<pre tabindex="0">at line 1</pre>`},
		{"something else", "at line 1\ncompile error: undefined: x", `<pre tabindex="0">at line 1` + "\n" + `compile error: undefined: x</pre>`},
		{"nothing more", "compile error: undefined: x", "undefined: x</p>\n</div>"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := &nbformat.Cell{Type: nbformat.Code, Source: "x", Outputs: []*nbformat.Output{
				{Type: nbformat.Error, EName: "compile error", EValue: "undefined: x", Traceback: strings.Split(tt.traceback, "\n")},
			}}
			wants(t, render(t, &nbformat.Notebook{Cells: []*nbformat.Cell{c}}, page.Options{}), "Error in cell 1: compile error: undefined: x", tt.want)
		})
	}
}

func TestNote(t *testing.T) {
	text := render(t, notebook("# T"), page.Options{Note: `Run with sheet = "<a>".`})
	wants(t, text, `<p class="rb-setting">Run with sheet = &#34;&lt;a&gt;&#34;.</p>`)
	if text := render(t, notebook("# T"), page.Options{}); strings.Contains(text, `class="rb-setting"`) {
		t.Error("a note on a page without one")
	}
}

func TestEvents(t *testing.T) {
	text := render(t, notebook("# T"), page.Options{Events: "/events?page=a&seen=1"})
	wants(t, text, "connect-src &#39;self&#39;", `data-events="/events?page=a&amp;seen=1"`, "new EventSource")
	text = render(t, notebook("# T"), page.Options{})
	for _, part := range []string{"connect-src", "EventSource", "rb-state\""} {
		if strings.Contains(text, part) {
			t.Errorf("a page that is not served contains %q", part)
		}
	}
}

// Code is shown unless a tag, or Jupyter, folds it; where it failed it is shown
// in any case.
func TestFoldedCode(t *testing.T) {
	failed := []*nbformat.Output{{Type: nbformat.Error, EName: "panic"}}
	for _, tt := range []struct {
		name     string
		notebook []string // its tags
		cell     map[string]any
		outputs  []*nbformat.Output
		open     bool
	}{
		{"plain", nil, nil, nil, true},
		{"other tags", []string{"hide"}, map[string]any{"tags": []string{"hide-output"}}, nil, true},
		{"cell", nil, map[string]any{"tags": []string{"hide-input"}}, nil, false},
		{"notebook", []string{"hide-input"}, nil, nil, false},
		{"in Jupyter", nil, map[string]any{"jupyter": map[string]any{"source_hidden": true}}, nil, false},
		{"failed", []string{"hide-input"}, nil, failed, true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := &nbformat.Cell{Type: nbformat.Code, Source: "x", Outputs: tt.outputs}
			for key, v := range tt.cell {
				if err := c.Metadata.Set(key, v); err != nil {
					t.Fatal(err)
				}
			}
			nb := &nbformat.Notebook{Cells: []*nbformat.Cell{c}}
			if err := nb.Metadata.Set("tags", tt.notebook); err != nil {
				t.Fatal(err)
			}
			if got := strings.Contains(render(t, nb, page.Options{}), `<details class="rb-code" open>`); got != tt.open {
				t.Errorf("open: got %v, want %v", got, tt.open)
			}
		})
	}
}

// failingWriter fails after n bytes.
type failingWriter struct{ n int }

var errFull = errors.New("disk full")

func (w *failingWriter) Write(b []byte) (int, error) {
	w.n -= len(b)
	if w.n < 0 {
		return 0, errFull
	}
	return len(b), nil
}

func TestWriterErrorComesBack(t *testing.T) {
	if err := page.Render(&failingWriter{n: 1000}, sample(t), page.Options{}); !errors.Is(err, errFull) {
		t.Errorf("error = %v, want the writer's", err)
	}
}
