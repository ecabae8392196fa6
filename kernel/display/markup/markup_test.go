package markup_test

import (
	"strings"
	"testing"

	"golang.org/x/net/html"

	"example.com/railbook/kernel/display/markup"
	"example.com/railbook/sizing"
)

var table = sizing.Table{
	Caption: "Parts & margins",
	Columns: []sizing.Column{{Name: "Part"}, {Name: "Margin", Numeric: true}, {Name: ""}, {Name: "Status"}},
	Rows: [][]string{
		{"pumps", "+47 %", "", "● carries"},
		{"λ ≥ 0.8", "+4 %", "governs", "◐ thin"},
		{"a <b>bold</b> part", "-12 %", "short", "○ short"},
	},
	Status: []sizing.Status{sizing.Carries, sizing.Thin, sizing.Short},
}

func TestTable(t *testing.T) {
	const want = `<table class="rb-table"><caption>Parts &amp; margins</caption>
<thead><tr><th scope="col">Part</th><th scope="col" class="rb-num">Margin</th><th scope="col" aria-label="Remark"></th><th scope="col">Status</th></tr></thead>
<tbody>
<tr><th scope="row">pumps</th><td class="rb-num">+47 %</td><td></td><td><span class="rb-status rb-carries">● carries</span></td></tr>
<tr><th scope="row">λ ≥ 0.8</th><td class="rb-num">+4 %</td><td>governs</td><td><span class="rb-status rb-thin">◐ thin</span></td></tr>
<tr><th scope="row">a &lt;b&gt;bold&lt;/b&gt; part</th><td class="rb-num">-12 %</td><td>short</td><td><span class="rb-status rb-short">○ short</span></td></tr>
</tbody></table>`
	if got := markup.Table(table); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestTextTable(t *testing.T) {
	const want = `Parts & margins

Part                Margin           Status
──────────────────────────────────────────────
pumps                +47 %           ● carries
λ ≥ 0.8               +4 %  governs  ◐ thin
a <b>bold</b> part   -12 %  short    ○ short
`
	if got := markup.TextTable(table); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// Rows that are too short or too long are shown as far as they go.
func TestRaggedRows(t *testing.T) {
	ragged := sizing.Table{Columns: []sizing.Column{{Name: "A"}, {Name: "B"}}, Rows: [][]string{{"1"}, {"1", "2", "3"}, {}}}
	if got := strings.Count(markup.Table(ragged), "<td>"); got != 2 {
		t.Errorf("%d cells beside the heads, want 2", got)
	}
	if got, want := markup.TextTable(ragged), "A  B\n────\n1\n1  2\n\n"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got := markup.TextTable(sizing.Table{}); got != "\n\n" {
		t.Errorf("a table of nothing is %q", got)
	}
}

const hostile = `"><script>alert(1)</script><img src=x onerror='a()'>&amp;`

// Whatever is in the texts, the markup holds the elements it is meant to, and
// the texts come out as they went in.
func TestHostileText(t *testing.T) {
	evil := sizing.Table{
		Caption: hostile, Columns: []sizing.Column{{Name: hostile}, {Name: hostile, Numeric: true}}, Rows: [][]string{{hostile, hostile}},
	}
	for name, tc := range map[string]struct{ got, elements string }{
		"table":   {markup.Table(evil), "table caption thead tr th th tbody tr th td"},
		"verdict": {markup.Verdict(hostile), "p"},
		"note":    {markup.Note(hostile), "div p strong"},
		"caution": {markup.Caution(hostile), "div p strong"},
		"file":    {markup.Wrote(hostile, 1), "p a"},
	} {
		t.Run(name, func(t *testing.T) {
			doc, err := html.Parse(strings.NewReader("<body>" + tc.got + "</body>"))
			if err != nil {
				t.Fatal(err)
			}
			var elements []string
			texts := 0
			for n := range doc.Descendants() {
				switch {
				case n.Type == html.TextNode && strings.Contains(n.Data, hostile):
					texts++
				case n.Type == html.ElementNode && n.Data != "html" && n.Data != "head" && n.Data != "body":
					elements = append(elements, n.Data)
				}
			}
			if got := strings.Join(elements, " "); got != tc.elements {
				t.Errorf("elements %q, want %q", got, tc.elements)
			}
			if want := strings.Count(tc.got, "&lt;script&gt;"); texts != want || texts == 0 {
				t.Errorf("the text comes out %d times, want %d", texts, want)
			}
		})
	}
}

func TestRemarks(t *testing.T) {
	for name, tc := range map[string]struct{ got, want string }{
		"verdict":    {markup.Verdict("It carries 640 hp."), `<p class="rb-verdict">It carries 640 hp.</p>`},
		"note":       {markup.Note("One.\n\n Two. \n"), `<div class="rb-note"><p><strong>Note.</strong> One.</p><p>Two.</p></div>`},
		"caution":    {markup.Caution("Hot."), `<div class="rb-caution" role="note"><p><strong>Caution.</strong> Hot.</p></div>`},
		"file":       {markup.Wrote("a b/c#1.pdf", 212345), `<p class="rb-wrote">Wrote <a href="a%20b/c%231.pdf">a b/c#1.pdf</a>, 212 kB.</p>`},
		"colon":      {markup.Wrote("a:b.pdf", 999), `<p class="rb-wrote">Wrote <a href="./a:b.pdf">a:b.pdf</a>, 999 B.</p>`},
		"large file": {markup.Wrote("x.pdf", 12_345_678), `<p class="rb-wrote">Wrote <a href="x.pdf">x.pdf</a>, 12.3 MB.</p>`},
	} {
		if tc.got != tc.want {
			t.Errorf("%s: got\n%s\nwant\n%s", name, tc.got, tc.want)
		}
	}
}
