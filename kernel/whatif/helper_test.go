package whatif_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/kernel/whatif"
	"example.com/railbook/sizing"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// open reads one of the sheets that several packages test with.
func open(t testing.TB, name string) sizing.Build {
	t.Helper()
	b, err := sizing.Open("../../testdata/sheets/" + name + ".toml")
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// sheets are all of them, by name.
func sheets(t testing.TB) map[string]sizing.Build {
	t.Helper()
	files, err := filepath.Glob("../../testdata/sheets/*.toml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no sheets: %v", err)
	}
	list := map[string]sizing.Build{}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".toml")
		list[name] = open(t, name)
	}
	return list
}

func panel(t testing.TB, b sizing.Build) *whatif.Panel {
	t.Helper()
	p, err := whatif.New(b)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func state(t testing.TB, p *whatif.Panel, s whatif.Settings) whatif.State {
	t.Helper()
	st, err := p.State(s)
	if err != nil {
		t.Fatal(err)
	}
	return st
}

// stops says where sliders are moved to.
func stops(pairs ...any) whatif.Settings {
	s := whatif.Settings{Stops: map[string]int{}}
	for i := 0; i < len(pairs); i += 2 {
		s.Stops[pairs[i].(string)] = pairs[i+1].(int)
	}
	return s
}

func slider(t testing.TB, p *whatif.Panel, id string) whatif.Slider {
	t.Helper()
	for _, s := range p.Describe().Sliders {
		if s.ID == id {
			return s
		}
	}
	t.Fatalf("no slider %q", id)
	return whatif.Slider{}
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v; run with -update to make it", err)
	}
	if got != string(want) {
		t.Errorf("%s differs; run with -update and look at the change:\n%s", path, got)
	}
}
