package page

import (
	"strings"
	"testing"

	"golang.org/x/net/html"
)

func TestMarked(t *testing.T) {
	for _, tt := range []struct{ name, in, want string }{
		{"kinds", "var x = 1.5 // λ\ns := \"a<b\" + `c`", `<span class="rb-k">var</span> x = <span class="rb-n">1.5</span> <span class="rb-c">// λ</span>` + "\n" +
			`s := <span class="rb-s">&#34;a&lt;b&#34;</span> + <span class="rb-s">` + "`c`</span>"},
		{"kernel's commands", "%%\nx()\n!ls *.go\n\t%args -x", `<span class="rb-m">%%</span>` + "\nx()\n" + `<span class="rb-m">!ls *.go</span>` + "\n" + `<span class="rb-m">	%args -x</span>`},
		{"not in a text", "s := `\n%d\n`", "s := <span class=\"rb-s\">`\n%d\n`</span>"},
		{"no Go", "if (' && \"x", `<span class="rb-k">if</span> (<span class="rb-s">&#39; &amp;&amp; &#34;x</span>`},
		{"nothing", "", ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := string(marked(tt.in)); got != tt.want {
				t.Errorf("got  %s\nwant %s", got, tt.want)
			}
		})
	}
}

// FuzzMarked checks that whatever the source, the reader sees it as it is.
func FuzzMarked(f *testing.F) {
	for _, s := range []string{"%%\nx := `a\n%b`", "/* a\n!b\n*/ c", "\ufeffpackage p\r\nvar s = `a\rb`", "'\"`", "!a\n//b", "a\x00\xffb", "</pre><script>"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, source string) {
		if !strings.Contains(source, "\x00") { // which no HTML can hold
			root, err := html.Parse(strings.NewReader("<!DOCTYPE html><pre>\n" + string(marked(source)) + "</pre>"))
			if err != nil {
				t.Fatal(err)
			}
			want := newlines.Replace(strings.ToValidUTF8(source, "\uFFFD"))
			got := ""
			for n := range root.Descendants() {
				switch {
				case n.Type == html.TextNode:
					got += n.Data
				case n.Type == html.ElementNode && !strings.Contains(" html head body pre span ", " "+n.Data+" "):
					t.Errorf("<%s> in the code", n.Data)
				}
			}
			if strings.ToValidUTF8(got, "\uFFFD") != want {
				t.Errorf("got  %q\nwant %q", got, want)
			}
		}
	})
}
