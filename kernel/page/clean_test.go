package page

import (
	"strings"
	"testing"
)

func TestClean(t *testing.T) {
	for name, tc := range map[string]struct{ in, want string }{
		"text":              {`a &lt; b <b>bold</b>`, `a &lt; b <b>bold</b>`},
		"left open":         {`<div><b>x`, `<div><b>x</b></div>`},
		"closed too often":  {`x</div></section>y`, `xy`},
		"script":            {`a<script>1</script>b`, `ab`},
		"comment":           {`a<!-- b -->c`, `ac`},
		"unknown element":   {`<blink>a <b>c</b></blink>`, `a <b>c</b>`},
		"form":              {`<form>a <button>b</button></form>`, `a b`},
		"task":              {`<input type="checkbox" checked> a <input type=checkbox> b <input>`, `☑ a ☐ b`},
		"event":             {`<p onclick="x" class="rb-verdict">a</p>`, `<p class="rb-verdict">a</p>`},
		"link":              {`<a href="https://example.com/a?b=1&c=2" target="_blank">x</a>`, `<a href="https://example.com/a?b=1&amp;c=2" rel="noreferrer">x</a>`},
		"link in the page":  {`<a href="#a b">x</a>`, `<a href="#a b">x</a>`},
		"link to a file":    {`<a href="report.pdf">x</a>`, `<a href="report.pdf">x</a>`},
		"script link":       {`<a href="javascript:x">x</a>`, `<a>x</a>`},
		"file link":         {`<a href="file:///etc/passwd">x</a>`, `<a>x</a>`},
		"style":             {`<p style="color: red; position: fixed; text-align:right">x</p>`, `<p style="color: red; text-align: right">x</p>`},
		"style with a load": {`<p style="background-color: url(x)">x</p>`, `<p>x</p>`},
		"colours":           {`<p style="color: rgb(1, 2, 3); background-color: #fff">x</p>`, `<p style="color: rgb(1, 2, 3); background-color: #fff">x</p>`},
		"our table": {
			`<table class="rb-table"><caption>Parts <b>all</b></caption><tbody><tr><th scope="row">a</th><td class="rb-num">1</td></tr></tbody></table>`,
			`<div class="rb-scroll" role="region" aria-label="Parts all" tabindex="0"><table class="rb-table"><caption>Parts <b>all</b></caption><tbody><tr><th scope="row">a</th><td class="rb-num">1</td></tr></tbody></table></div>`},
		"table in a table": {
			`<table><tbody><tr><td><table><tbody><tr><td>a</td></tr></tbody></table></td></tr></tbody></table>`,
			`<div class="rb-scroll" role="region" aria-label="Table" tabindex="0"><table><tbody><tr><td><table><tbody><tr><td>a</td></tr></tbody></table></td></tr></tbody></table></div>`},
		"picture far away":    {`<img src="https://example.com/a.png" alt="a pump">`, `<a href="https://example.com/a.png" rel="noreferrer">[picture not included: a pump]</a>`},
		"and in a link":       {`<a href="#x"><img src="https://example.com/a.png"></a>`, `<a href="#x">[picture not included: a.png]</a>`},
		"picture not at hand": {`<img src="figures/a.png">`, `[picture not included: a.png]`},
		"picture in the page": {`<img src="data:image/gif;base64,R0lGODlh" alt="" width="3" onerror="x">`, `<img alt="" width="3" src="data:image/gif;base64,R0lGODlh"/>`},
		"picture of a page":   {`<img src="data:text/html,x">`, `[picture not included: html,x]`},
		"drawing": {
			`<svg width="2"><title>A dot</title><circle r="1"/></svg>`,
			// base64 of the same with its two namespaces
			`<img src="data:image/svg+xml;base64,PHN2ZyB3aWR0aD0iMiIgeG1sbnM9Imh0dHA6Ly93d3cudzMub3JnLzIwMDAvc3ZnIiB4bWxuczp4bGluaz0iaHR0cDovL3d3dy53My5vcmcvMTk5OS94bGluayI+PHRpdGxlPkEgZG90PC90aXRsZT48Y2lyY2xlIHI9IjEiPjwvY2lyY2xlPjwvc3ZnPg==" alt="A dot"/>`},
		"heading keeps its own id": {`<h2 id="mine">x</h2>`, `<h2 id="mine">x</h2>`},
		"taken id":                 {`<p id="taken">x</p>`, `<p>x</p>`},
	} {
		t.Run(name, func(t *testing.T) {
			c := cleaner{ids: idSet{"taken": true}}
			if got := string(c.clean(tc.in).html); got != tc.want {
				t.Errorf("clean(%q)\n got %s\nwant %s", tc.in, got, tc.want)
			}
		})
	}
}

func TestCleanSaysWhatWasLeft(t *testing.T) {
	for in, want := range map[string]struct{ scripts, visible bool }{
		`<div id="x"></div>`:                 {false, false},
		`<div> <span>&nbsp;</span></div>`:    {false, false},
		`<script>x</script>`:                 {true, false},
		`<p>a</p><script>x</script>`:         {true, true},
		`<img src="data:image/png;base64,">`: {false, true},
		`<hr>`:                               {false, true},
	} {
		c := cleaner{ids: idSet{}}
		if got := c.clean(in); got.scripts != want.scripts || got.visible != want.visible {
			t.Errorf("clean(%q): scripts %v, visible %v, want %+v", in, got.scripts, got.visible, want)
		}
	}
}

// An input nested beyond the parser's patience is shown as text.
func TestCleanDeepNesting(t *testing.T) {
	c := cleaner{ids: idSet{}}
	got := c.clean(strings.Repeat("<div>", 100_000) + "x<script>")
	if !strings.HasPrefix(string(got.html), "<pre>&lt;div&gt;") {
		t.Errorf("clean of deep nesting begins %.40q, want the text in a pre", got.html)
	}
}
