package page_test

import (
	"flag"
	"os"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/page"
)

var update = flag.Bool("update", false, "rewrite the golden files from what the code makes now")

// everything reads the notebook that has every kind of cell and output.
func everything(t testing.TB) *nbformat.Notebook {
	t.Helper()
	nb, err := nbformat.ReadFile("testdata/everything.ipynb")
	if err != nil {
		t.Fatal(err)
	}
	return nb
}

// embedded matches what the page takes from page.css and charts.js, which the
// golden files leave out, and the digests that change with them.
var embedded = []struct {
	re *regexp.Regexp
	by string
}{
	{regexp.MustCompile(`(?s)<style>.*?</style>`), "<style>(page.css)</style>"},
	{regexp.MustCompile(`(?s)<script>// Makes a Railbook page.*?</script>`), "<script>(page.js)</script>"},
	{regexp.MustCompile(`(?s)<script>// Draws the live charts.*?</script>`), "<script>(charts.js)</script>"},
	{regexp.MustCompile(`sha256-.*?&#39;`), "sha256-(digest)&#39;"},
}

func TestGolden(t *testing.T) {
	files := fstest.MapFS{"figures/beside.png": {Data: []byte("\x89PNG\r\n\x1a\n")}}
	for name, o := range map[string]page.Options{
		"with-scripts":    {Scripts: fakeScripts, Files: files},
		"without-scripts": {Title: "Job 17 <draft>", ScriptsHint: "ask the shop for the live charts."},
	} {
		t.Run(name, func(t *testing.T) {
			got := render(t, everything(t), o)
			harmless(t, got)
			for _, e := range embedded {
				got = e.re.ReplaceAllString(got, e.by)
			}
			golden := "testdata/everything-" + name + ".golden.html"
			if *update {
				if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatalf("%v (run with -update to make it)", err)
			}
			if got != string(want) {
				t.Errorf("page differs from %s, first at line %d (run with -update if that is meant)", golden, firstDifference(got, string(want)))
			}
		})
	}
}

func firstDifference(a, b string) int {
	al, bl := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range min(len(al), len(bl)) {
		if al[i] != bl[i] {
			return i + 1
		}
	}
	return min(len(al), len(bl)) + 1
}

func TestSameNotebookSameBytes(t *testing.T) {
	o := page.Options{Scripts: fakeScripts}
	first := render(t, everything(t), o)
	for range 10 {
		if render(t, everything(t), o) != first {
			t.Fatal("two renderings differ")
		}
	}
}
