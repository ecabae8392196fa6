package page_test

import (
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/page"
	"example.com/railbook/kernel/page/pagetest"
)

// lesson is a notebook with answers to open, wide tables, code and charts.
func lesson(t testing.TB) *nbformat.Notebook {
	t.Helper()
	nb := sample(t)
	wide := "| " + strings.Repeat("a wide column | ", 12) + "\n|" + strings.Repeat("---|", 12) + "\n| " + strings.Repeat("value | ", 12)
	nb.Cells = append(nb.Cells, &nbformat.Cell{Type: nbformat.Markdown, Source: "## Exercise: 100 % duty & more\n\n" + wide +
		"\n\n<details>\n<summary>Answer</summary>\n\nIt **multiplies** out.\n\n### Hidden heading\n\n</details>\n\n" +
		strings.Repeat("Unbroken", 40) + "\n\n## Last\n\ntext"})
	return nb
}

// read opens the lesson as a reader would.
func read(t *testing.T, width, height int) *pagetest.Tab {
	t.Helper()
	tab := pagetest.Open(t, save(t, lesson(t), page.Options{Scripts: realScripts(t)}), width, height)
	tab.Wait(settled)
	return tab
}

// quiet checks that the page made no request but that for itself and wrote
// nothing to the console.
func quiet(t *testing.T, tab *pagetest.Tab) {
	t.Helper()
	if r := tab.Requests(); len(r) != 1 || !strings.HasPrefix(r[0], "file:") {
		t.Errorf("requests %q, want that for the page alone", r)
	}
	if c := tab.Console(); len(c) > 0 {
		t.Errorf("on the console: %q", c)
	}
}

const ground = `getComputedStyle(document.body).backgroundColor`

func TestReaderChoosesTheTheme(t *testing.T) {
	tab := read(t, 1300, 900)
	const light, dark = "rgb(251, 250, 246)", "rgb(21, 25, 28)"
	button := `document.querySelector('.rb-theme')`
	see := func(what, scheme, want, words string) {
		t.Helper()
		tab.Prefer(scheme)
		var got struct{ Ground, Words, Charts string }
		tab.Eval(`({Ground: `+ground+`, Words: `+button+`.innerText, Charts: getComputedStyle(document.querySelector('.rb-card')).filter})`, &got)
		if got.Ground != want || !strings.Contains(got.Words, words) {
			t.Errorf("%s, a reader who prefers %s: got %s and %q, want %s and %q", what, scheme, got.Ground, got.Words, want, words)
		}
		if turned := got.Charts != "none"; turned != (want == dark) { // about in the dark
			t.Errorf("%s, a reader who prefers %s: charts are drawn with the filter %s", what, scheme, got.Charts)
		}
	}
	see("at first", "light", light, "as the system")
	see("at first", "dark", dark, "as the system")
	tab.Eval(button+`.click()`, nil)
	see("light chosen", "dark", light, "light")
	tab.Eval(button+`.click()`, nil)
	see("dark chosen", "light", dark, "dark")
	tab.Eval(`window.old = true; location.reload()`, nil)
	tab.Wait(`!window.old && document.readyState === 'complete'`)
	see("and remembered", "light", dark, "dark")
	tab.Eval(button+`.click()`, nil)
	see("back again", "light", light, "as the system")
	if c := tab.Console(); len(c) > 0 {
		t.Errorf("on the console: %q", c)
	}
}

func TestReaderOnAWideScreen(t *testing.T) {
	tab := read(t, 1300, 900)
	var got struct {
		Open    bool
		Current string
	}
	here := `({Open: contents.open, Current: (contents.querySelector('[aria-current]') || {}).textContent || ''})`
	tab.Eval(here, &got)
	if !got.Open || got.Current != "The assessment" { // which begins near the top
		t.Errorf("at the top: got %+v, want open contents and the first section", got)
	}
	tab.Eval(`document.getElementById('The-map').scrollIntoView()`, nil)
	tab.Wait(`(contents.querySelector('[aria-current]') || {}).textContent === 'The map'`)
	tab.Eval(`scrollTo(0, document.body.scrollHeight)`, nil)
	tab.Wait(`(contents.querySelector('[aria-current]') || {}).textContent === 'Last'`)
	// A list beside the text is not to be closed.
	tab.Eval(`contents.querySelector('summary').click()`, nil)
	tab.Eval(here, &got)
	if !got.Open {
		t.Error("the contents beside the text were closed by a click")
	}
	// Code is shown, and folded all at once.
	var folded [3]int
	tab.Eval(`(() => { const n = () => document.querySelectorAll('.rb-code[open]').length, b = document.querySelector('.rb-fold');
		const a = [n()]; b.click(); a.push(n()); b.click(); a.push(n()); return a; })()`, &folded)
	if folded != [3]int{4, 0, 4} {
		t.Errorf("open code: %v before, after one and after two clicks, want 4, 0, 4", folded)
	}
	quiet(t, tab)
}

func TestReaderOnAPhone(t *testing.T) {
	tab := read(t, 360, 740)
	var got struct {
		Width, Table, Box int
		Open              bool
		Charts            []int
	}
	tab.Eval(`({Width: document.scrollingElement.scrollWidth,
		Table: Math.max(...[...document.querySelectorAll('.rb-scroll > table')].map(t => t.offsetWidth)),
		Box: Math.max(...[...document.querySelectorAll('.rb-scroll')].map(b => b.offsetWidth)),
		Open: contents.open, Charts: [...document.querySelectorAll('.rb-live')].map(c => c.offsetWidth)})`, &got)
	if got.Width > 360 || got.Table <= 360 || got.Box > 360 || got.Open {
		t.Errorf("got %+v, want a page no wider than 360, wide tables in boxes of their own, and folded contents", got)
	}
	for _, w := range got.Charts {
		if w < 250 || w > 360 {
			t.Errorf("a chart is %d wide", w)
		}
	}
	// The contents open, lead somewhere, close, and say where one is.
	tab.Eval(`contents.querySelector('summary').click()`, nil)
	tab.Wait(`contents.open`)
	tab.Eval(`[...contents.querySelectorAll('a')].find(a => a.textContent === 'Two fuels compared').click()`, nil)
	tab.Wait(`!contents.open && contents.querySelector('.rb-here').textContent === 'Two fuels compared'`)
	var top float64
	tab.Eval(`document.getElementById('Two-fuels-compared').getBoundingClientRect().top`, &top)
	if top < 30 || top > 200 {
		t.Errorf("the section begins %v below the top, want it just below the bar", top)
	}
	quiet(t, tab)
}

// Turned to its side and back a phone shows the surface in a way that suits.
func TestReaderTurnsThePhone(t *testing.T) {
	tab := read(t, 780, 360)
	const splits = `echarts.getInstanceByDom(document.querySelector('.rb-live')).getOption().xAxis3D[0].splitNumber`
	var before int
	tab.Eval(splits, &before)
	tab.Resize(360, 780)
	tab.Wait(splits + ` === 3`)
	tab.Resize(780, 360)
	tab.Wait(splits + ` !== 3`)
	if before == 3 {
		t.Error("a wide chart has few labels")
	}
	if c := tab.Console(); len(c) > 0 {
		t.Errorf("on the console: %q", c)
	}
}

func TestAnswers(t *testing.T) {
	tab := read(t, 1300, 900)
	const answer = `document.querySelector('main details:not(.rb-code)')`
	var open bool
	if tab.Eval(answer+`.open`, &open); open {
		t.Error("the answer is open from the start")
	}
	pdf := filepath.Join(t.TempDir(), "page.pdf")
	tab.PDF(pdf)
	if tab.Eval(answer+`.open`, &open); open {
		t.Error("the answer is open after printing")
	}
	tab.Eval(`location.hash = '#Hidden-heading'`, nil)
	tab.Wait(answer + `.open`) // a link leads into it
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skipf("the printed page cannot be read: %v", err)
	}
	out, err := exec.Command(tool, "-layout", pdf, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	text := string(out)
	for _, want := range []string{"It multiplies out.", "The assessment", "Show(Surface(job, Boost, Ethanol))"} {
		if !strings.Contains(text, want) {
			t.Errorf("the printed page lacks %q", want)
		}
	}
	for _, unwanted := range []string{"Contents", "Theme", "Hide the code", "Drag to turn", "Licences"} {
		if strings.Contains(text, unwanted) {
			t.Errorf("the printed page has %q", unwanted)
		}
	}
}

// On paper charts are the pictures, with all their colours the right way round.
func TestPaper(t *testing.T) {
	tab := read(t, 1300, 900)
	tab.Eval(`document.querySelector('.rb-theme').click(); document.querySelector('.rb-theme').click()`, nil) // dark
	tab.Call("Emulation.setEmulatedMedia", map[string]any{"media": "print"}, nil)
	var got []struct {
		Picture, Live bool
		Filter        string
	}
	tab.Eval(`[...document.querySelectorAll('figure.rb-chart')].map(f => ({Picture: f.querySelector('img').offsetHeight > 0,
		Live: f.querySelector('.rb-live').offsetHeight > 0, Filter: getComputedStyle(f.querySelector('.rb-card')).filter}))`, &got)
	if len(got) != 3 {
		t.Fatalf("got %d charts, want 3", len(got))
	}
	for i, c := range got {
		if !c.Picture || c.Live || c.Filter != "none" {
			t.Errorf("chart %d on paper: %+v, want the picture as it is", i+1, c)
		}
	}
	var paper string
	if tab.Eval(ground, &paper); paper != "rgb(255, 255, 255)" {
		t.Errorf("the paper is %s, want white", paper)
	}
}

// Without scripts everything is there: the contents, the pictures, and a word
// on why they do not move.
func TestReaderWithoutScripts(t *testing.T) {
	path := save(t, lesson(t), page.Options{Scripts: realScripts(t)})
	tab := pagetest.Open(t, path, 1300, 900)
	tab.Call("Emulation.setScriptExecutionDisabled", map[string]any{"value": true}, nil)
	tab.Call("Page.reload", nil, nil)
	var got struct {
		State           string
		Pictures, Words int
		Contents, Tools bool
	}
	// The protocol's own scripts still run.
	tab.Wait(`document.readyState === 'complete' && document.querySelector('figure.rb-chart')`)
	tab.Eval(`({State: document.querySelector('figure.rb-chart').dataset.state,
		Pictures: [...document.querySelectorAll('figure.rb-chart img')].filter(i => i.offsetHeight > 100 && i.complete && i.naturalWidth > 0).length,
		Words: [...document.querySelectorAll('.rb-legend')].filter(l => l.innerText.includes('needs JavaScript')).length,
		Contents: document.querySelector('#contents li').offsetHeight > 0, Tools: document.querySelector('.rb-tools').offsetHeight > 0})`, &got)
	if got.State != "still" || got.Pictures != 3 || got.Words != 3 || !got.Contents || got.Tools {
		t.Errorf("got %+v, want three still pictures with a word each, the contents, and no switches", got)
	}
}
