package page_test

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/page"
	"example.com/railbook/kernel/page/chart"
	"example.com/railbook/kernel/page/pagetest"
	"example.com/railbook/kernel/scripts"
)

// realScripts returns the pinned chart scripts or skips the test.
func realScripts(t *testing.T) *scripts.Bundle {
	t.Helper()
	b, err := scripts.Load(t.Context(), nil)
	if err != nil {
		t.Skipf("no chart scripts: %v", err)
	}
	return b
}

// save writes the notebook's page to a file, with the replacements made in it.
func save(t *testing.T, nb *nbformat.Notebook, o page.Options, replacements ...string) string {
	t.Helper()
	text := strings.NewReplacer(replacements...).Replace(render(t, nb, o))
	path := filepath.Join(t.TempDir(), "page.html")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// check opens the page in a browser or skips the test.
func check(t *testing.T, path string, flags ...string) pagetest.Report {
	t.Helper()
	r, err := pagetest.Check(t.Context(), path, flags...)
	if errors.Is(err, pagetest.ErrNoBrowser) {
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestBrowserDrawsTheCharts(t *testing.T) {
	r := check(t, save(t, sample(t), page.Options{Scripts: realScripts(t)}))
	if err := r.Problem(); err != nil {
		t.Error(err)
	}
	if len(r.Charts) != 3 || r.Live() != 3 {
		t.Errorf("charts = %+v, want 3, all live", r.Charts)
	}
}

// On a phone the charts are fitted to a narrow box.
func TestBrowserDrawsTheChartsOnAPhone(t *testing.T) {
	r := check(t, save(t, sample(t), page.Options{Scripts: realScripts(t)}), "--window-size=390,800")
	if err := r.Problem(); err != nil || r.Live() != 3 {
		t.Errorf("charts = %+v, problem %v, want 3 live", r.Charts, err)
	}
}

func TestBrowserWithoutScripts(t *testing.T) {
	r := check(t, save(t, sample(t), page.Options{}))
	if len(r.Charts) != 3 || r.Live() != 0 || len(r.Console) != 0 {
		t.Errorf("report = %+v, want 3 still charts and a silent console", r)
	}
}

// Without WebGL the surface stays a picture, and the others are live.
func TestBrowserWithoutWebGL(t *testing.T) {
	r := check(t, save(t, sample(t), page.Options{Scripts: realScripts(t)}), "--disable-3d-apis")
	if len(r.Charts) != 3 || r.Live() != 2 {
		t.Fatalf("charts = %+v, want two of three live", r.Charts)
	}
	if c := r.Charts[0]; c.State != "still" || !strings.Contains(c.Reason, "WebGL") {
		t.Errorf("surface = %+v, want still for want of WebGL", c)
	}
}

// A chart that cannot be drawn leaves its picture and does not harm the next.
func TestBrowserWithBrokenCharts(t *testing.T) {
	c := &nbformat.Cell{Type: nbformat.Code}
	for id, option := range map[string]string{
		"unknown-series": `{"series": [{"type": "nosuch", "data": [1]}]}`,
		"no-axes":        `{"series": [{"type": "line", "data": [1, 2]}]}`,
		"no-such-axis":   `{"xAxis": {}, "yAxis": {}, "series": [{"type": "line", "xAxisIndex": 5, "data": [1, 2]}]}`,
		"series-number":  `{"series": 7}`,
	} {
		c.Outputs = append(c.Outputs, chartOutput(t, chart.Spec{ID: id, Option: json.RawMessage(option)}))
	}
	c.Outputs = append(c.Outputs, chartOutput(t, lineChart()))
	nb := &nbformat.Notebook{Cells: []*nbformat.Cell{c}}
	r := check(t, save(t, nb, page.Options{Scripts: realScripts(t)}))
	if len(r.Charts) != 5 {
		t.Fatalf("charts = %+v, want 5", r.Charts)
	}
	for _, c := range r.Charts[:4] {
		if c.State != "still" || c.Reason == "" {
			t.Errorf("broken chart = %+v, want still with a reason", c)
		}
	}
	if c := r.Charts[4]; c.State != "live" {
		t.Errorf("sound chart = %+v, want live", c)
	}
}

// The libraries work in a document that has a module loader.
func TestBrowserWithAModuleLoader(t *testing.T) {
	loader := `<script>window.define = function () { throw new Error("define was called"); }; window.define.amd = {};</script>`
	path := save(t, sample(t), page.Options{Scripts: realScripts(t)},
		`<meta http-equiv="Content-Security-Policy"`, loader+`<meta name="no-policy"`)
	if err := check(t, path).Problem(); err != nil {
		t.Error(err)
	}
}

func TestBrowserSameChartTwice(t *testing.T) {
	nb := &nbformat.Notebook{Cells: []*nbformat.Cell{
		{Type: nbformat.Code, Outputs: []*nbformat.Output{chartOutput(t, lineChart()), chartOutput(t, lineChart())}},
	}}
	r := check(t, save(t, nb, page.Options{Scripts: realScripts(t)}))
	if err := r.Problem(); err != nil {
		t.Error(err)
	}
	if len(r.Charts) != 2 || r.Charts[0].ID == r.Charts[1].ID {
		t.Errorf("charts = %+v, want two with ids of their own", r.Charts)
	}
}

// What cells bring along runs no script, makes no request and leaves nothing
// on the console: the page holds nothing that its policy has to stop.
func TestBrowserRunsNoForeignScript(t *testing.T) {
	nb := &nbformat.Notebook{}
	for _, h := range hostile {
		nb.Cells = append(nb.Cells,
			&nbformat.Cell{Type: nbformat.Markdown, Source: h},
			&nbformat.Cell{Type: nbformat.Code, Outputs: []*nbformat.Output{htmlOutput(h)}})
	}
	for _, policy := range []bool{true, false} {
		var without []string
		if !policy {
			without = []string{`<meta http-equiv="Content-Security-Policy"`, `<meta name="no-policy"`}
		}
		r := check(t, save(t, nb, page.Options{Title: "Untouched"}, without...))
		if r.Title != "Untouched" || len(r.Console) != 0 || len(r.Requests) != 0 {
			t.Errorf("with policy %v: title %q, console %q, requests %q; want an untouched title and silence", policy, r.Title, r.Console, r.Requests)
		}
	}
}

// settled is true of a page each of whose charts is live or says why it is not.
const settled = `document.readyState === 'complete' && [...document.querySelectorAll('figure.rb-chart')]
  .every(f => f.dataset.state === 'live' || f.dataset.reason)`

// The tooltips are those a reader sees when pointing at a place, and they come
// up when one points.
func TestBrowserTooltips(t *testing.T) {
	tab := pagetest.Open(t, save(t, sample(t), page.Options{Scripts: realScripts(t)}), 1200, 900)
	tab.Wait(settled)
	const chart = `(i => echarts.getInstanceByDom(document.querySelectorAll('figure.rb-chart .rb-live')[i]))`
	var got []string
	tab.Eval(`(() => {
  const tip = (i, p) => `+chart+`(i).getOption().tooltip[0].formatter(p).replace(/<span[^>]*><\/span>/g, '').replace(/\u00a0/g, ' ');
  return [
    tip(0, {value: [14, 70, 412.34], seriesName: 'series\u00000'}),
    tip(1, {value: [3, 7, 412.34]}),
    tip(1, {value: [0, 0, null]}),
    tip(2, [{value: [14, 1571.4], seriesName: 'E0', marker: '<span></span>'}, {value: [14, 0.84567], seriesName: 'E<70>'}]),
  ];
})()`, &got)
	want := []string{
		"Boost 14 psi, ethanol 70 %: fuel demand 412.3 lb/h",
		"Boost 12 psi, ethanol 70 %: fuel demand 412.3 lb/h",
		"Boost 0 psi, ethanol 0 %: fuel demand no value",
		"Boost 14 psi<br>E0: 1,571 lb/h<br>E&lt;70&gt;: 0.8457 lb/h",
	}
	if !slices.Equal(got, want) {
		t.Errorf("tooltips =\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	// Again at every look: a map that is still being drawn takes the tooltip away.
	tab.Wait(`(` + chart + `(1).dispatchAction({type: 'showTip', seriesIndex: 0, dataIndex: 0}),
		document.querySelectorAll('figure.rb-chart')[1].textContent.replace(/\u00a0/g, ' ').includes('fuel demand 180'))`)
}
