package live_test

import (
	"errors"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"example.com/railbook/kernel/display/live"
	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/page"
	"example.com/railbook/kernel/page/chart"
	"example.com/railbook/kernel/page/pagetest"
	"example.com/railbook/kernel/scripts"
)

// A real browser draws every kind of figure, and says nothing on its console.
func TestBrowserDrawsEveryFigure(t *testing.T) {
	bundle, err := scripts.Load(t.Context(), nil)
	if err != nil {
		t.Skipf("no chart scripts: %v", err)
	}
	nb := &nbformat.Notebook{}
	for _, name := range slices.Sorted(maps.Keys(all())) {
		spec, err := live.Spec(all()[name])
		if err != nil {
			t.Fatal(err)
		}
		spec.ID = name
		o := &nbformat.Output{Type: nbformat.DisplayData, Data: nbformat.MimeBundle{}}
		if err := o.Data.SetJSON(chart.MIME, spec); err != nil {
			t.Fatal(err)
		}
		nb.Cells = append(nb.Cells, &nbformat.Cell{Type: nbformat.Code, Source: "Show(" + name + ")", Outputs: []*nbformat.Output{o}})
	}
	path := filepath.Join(t.TempDir(), "page.html")
	file, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	err = errors.Join(page.Render(file, nb, page.Options{Scripts: bundle}), file.Close())
	if err != nil {
		t.Fatal(err)
	}
	report, err := pagetest.Check(t.Context(), path)
	if errors.Is(err, pagetest.ErrNoBrowser) {
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	if err := report.Problem(); err != nil {
		t.Error(err)
	}
	if n := len(all()); report.Live() != n {
		t.Errorf("%d of %d charts are live: %+v", report.Live(), n, report.Charts)
	}
}
