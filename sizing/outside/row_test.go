package outside

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// dir holds the tables of check values.
const dir = "../../testdata/outside"

// kind says what sort of witness a row is.
type kind string

const (
	published  kind = "published"
	standard   kind = "standard"
	textbook   kind = "textbook example"
	library    kind = "general-purpose library"
	arithmetic kind = "independent arithmetic"
	practice   kind = "common practice, no source"
	ourData    kind = "source of our own data" // says that it was put in right, no more
)

// kinds lists them in the order of the document.
var kinds = []kind{published, standard, textbook, library, practice, arithmetic, ourData}

// independent reports whether a row of the kind counts as a check from outside.
func (k kind) independent() bool { return k != arithmetic && k != ourData }

// source is where a value was read.
type source struct {
	key      string
	standing string // "read", "secondary" or "from memory"
	citation string
}

// row is one check value.
type row struct {
	subject   string // the file's name
	id        string
	what      string // names a calc
	inputs    string
	expected  string // as printed there
	want      float64
	unit      string
	tolerance string  // "0.005" in unit, or "3 %"
	within    float64 // in unit
	reason    string
	source    source
	place     string // in the source
	kind      kind
}

// subjects lists the tables in the order of the document.
var subjects = []string{
	"units", "composition", "air-fuel", "heating", "density", "viscosity", "vapour-pressure", "latent-heat",
	"blends", "flammability", "friction", "pipe-flow", "injectors", "power", "atmosphere", "wiring",
}

var columns = []string{"id", "what", "inputs", "expected", "unit", "tolerance", "reason", "source", "place", "kind"}

// load reads every table. It fails the test on anything that is not in order.
func load(t *testing.T) []row {
	t.Helper()
	sources := map[string]source{}
	for _, r := range table(t, "sources.csv", []string{"key", "standing", "citation"}) {
		if !slices.Contains([]string{"read", "secondary", "from memory"}, r[1]) {
			t.Errorf("source %s has the standing %q", r[0], r[1])
		}
		if _, twice := sources[r[0]]; twice {
			t.Errorf("source %s stands twice", r[0])
		}
		sources[r[0]] = source{r[0], r[1], r[2]}
	}
	var rows []row
	used, seen := map[string]bool{}, map[string]bool{}
	for _, subject := range subjects {
		for _, f := range table(t, subject+".csv", columns) {
			r, err := parse(subject, f, sources)
			if err != nil {
				t.Errorf("%s.csv, %s: %v", subject, f[0], err)
			}
			if seen[r.id] {
				t.Errorf("%s.csv: the id %s stands twice", subject, r.id)
			}
			seen[r.id], used[r.source.key] = true, true
			rows = append(rows, r)
		}
	}
	for key := range sources {
		if !used[key] {
			t.Errorf("no row has the source %s", key)
		}
	}
	known := append(slices.Clone(subjects), "sources", "gnu-units")
	files, _ := filepath.Glob(filepath.Join(dir, "*.csv"))
	for _, file := range files {
		if name := strings.TrimSuffix(filepath.Base(file), ".csv"); !slices.Contains(known, name) {
			t.Errorf("%s is not read by any test", file)
		}
	}
	return rows
}

// table reads a CSV file with the given columns; lines that begin with # are notes.
func table(t *testing.T, name string, columns []string) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join(dir, name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if len(rows) < 2 || !slices.Equal(rows[0], columns) {
		t.Fatalf("%s: want the columns %v and a row at least", name, columns)
	}
	return rows[1:]
}

func parse(subject string, f []string, sources map[string]source) (row, error) {
	r := row{subject: subject, id: f[0], what: f[1], inputs: f[2], expected: f[3], unit: f[4],
		tolerance: f[5], reason: f[6], place: f[8], kind: kind(f[9])}
	var err error
	if r.want, err = strconv.ParseFloat(r.expected, 64); err != nil {
		return r, fmt.Errorf("expected: %w", err)
	}
	number, relative := strings.CutSuffix(r.tolerance, " %")
	if r.within, err = strconv.ParseFloat(number, 64); err != nil || !(r.within > 0) {
		return r, fmt.Errorf("tolerance %q is not a number above zero", r.tolerance)
	}
	if relative {
		r.within *= math.Abs(r.want) / 100
	}
	ok := true
	if r.source, ok = sources[f[7]]; !ok && r.kind != practice && r.kind != arithmetic {
		return r, fmt.Errorf("the source %q is not in sources.csv", f[7])
	}
	switch {
	case !strings.HasPrefix(r.id, subject+"-"):
		return r, fmt.Errorf("the id does not begin with %s-", subject)
	case !slices.Contains(kinds, r.kind):
		return r, fmt.Errorf("%q is no kind", r.kind)
	case r.reason == "":
		return r, fmt.Errorf("the tolerance has no reason")
	case calcs[r.what] == nil:
		return r, fmt.Errorf("nothing computes %q", r.what)
	}
	return r, nil
}

// origin returns the source with the place in it.
func (r row) origin() string {
	switch {
	case r.source.key == "":
		return cmp.Or(r.place, string(r.kind))
	case r.place == "":
		return r.source.citation
	}
	return r.source.citation + ", " + r.place
}
