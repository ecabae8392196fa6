package outside

import (
	"cmp"
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write CHECKS.md anew")

const documentFile = "CHECKS.md"

// TestDocument keeps CHECKS.md the list of what the tables hold and we compute.
func TestDocument(t *testing.T) {
	want, err := document(load(t))
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := replace(documentFile, want); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(documentFile)
	if err != nil {
		t.Fatalf("%v; write it with -update", err)
	}
	if string(got) != want {
		t.Errorf("%s is stale from line %d on; write it anew with -update and read the difference", documentFile, firstDifference(string(got), want))
	}
}

// replace writes a file in one step.
func replace(name, text string) error {
	part := name + ".part"
	if err := os.WriteFile(part, []byte(text), 0o644); err != nil {
		return err
	}
	return os.Rename(part, name)
}

func firstDifference(a, b string) int {
	x, y := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range min(len(x), len(y)) {
		if x[i] != y[i] {
			return i + 1
		}
	}
	return min(len(x), len(y)) + 1
}

// document sets all rows as Markdown.
func document(rows []row) (string, error) {
	var out strings.Builder
	count := map[kind]int{}
	var memory, independent int
	for _, r := range rows {
		count[r.kind]++
		if r.kind.independent() {
			independent++
			if r.source.standing == "from memory" {
				memory++
			}
		}
	}
	fmt.Fprintf(&out, `# Checks against the outside

Written by `+"`go test ./sizing/outside -update`"+` from the tables in testdata/outside; do not edit.
Every value was published or computed by others, never by this module, and the test
fails where ours lies outside the tolerance. %d of %d values count as checks from
outside; %d of these are quoted from memory and say so.

`, independent, len(rows), memory)
	line(&out, "Kind", "Values")
	line(&out, "---", "---:")
	for _, k := range kinds {
		line(&out, string(k), strconv.Itoa(count[k]))
	}
	out.WriteString(`
"Independent arithmetic" is our own arithmetic done another way, and "source of our own
data" shows only that a value was put into our tables right; neither counts.
`)
	for _, subject := range subjects {
		fmt.Fprintf(&out, "\n## %s\n\n", title(subject))
		line(&out, "Id", "What", "Unit", "Expected", "Ours", "Difference", "Tolerance", "Source")
		line(&out, "---", "---", "---", "---:", "---:", "---:", "---", "---")
		for _, r := range rows {
			if r.subject != subject {
				continue
			}
			got, err := r.compute()
			if err != nil {
				return "", fmt.Errorf("%s: %w", r.id, err)
			}
			line(&out, strings.TrimPrefix(r.id, subject+"-"), r.what+": "+r.inputs, r.unit, r.expected, r.digits(got), r.difference(got),
				r.tolerance+", "+r.reason, r.cite())
		}
	}
	out.WriteString("\n## Sources\n\n")
	line(&out, "Key", "Standing", "Source")
	line(&out, "---", "---", "---")
	for _, s := range sourcesOf(rows) {
		line(&out, s.key, s.standing, s.citation)
	}
	return out.String(), nil
}

// line writes one row of a Markdown table.
func line(out *strings.Builder, cells ...string) {
	for i, c := range cells {
		cells[i] = strings.ReplaceAll(c, "|", "\\|")
	}
	fmt.Fprintf(out, "| %s |\n", strings.Join(cells, " | "))
}

func title(subject string) string {
	return strings.ToUpper(subject[:1]) + strings.ReplaceAll(subject[1:], "-", " ")
}

// cite names the source briefly: its key, the place in it and the kind.
func (r row) cite() string {
	text := r.source.key
	if r.place != "" {
		text = strings.TrimPrefix(text+", "+r.place, ", ")
	}
	if r.source.standing == "from memory" {
		text += ", from memory"
	}
	if text == "" {
		return string(r.kind)
	}
	return text + " (" + string(r.kind) + ")"
}

// digits prints our value with one decimal more than the expected one has.
func (r row) digits(got float64) string {
	mantissa, _, exponent := strings.Cut(strings.ToLower(r.expected), "e")
	_, decimals, _ := strings.Cut(mantissa, ".")
	format := byte('f')
	if exponent {
		format = 'e'
	}
	return strconv.FormatFloat(got, format, len(decimals)+1, 64)
}

// difference prints ours less theirs: in percent, or in the unit where theirs is
// zero. What is below a part in 1e9 is roundoff and differs between machines.
func (r row) difference(got float64) string {
	d := got - r.want
	switch {
	case math.Abs(d) < 1e-9*math.Abs(r.want):
		return "0"
	case r.want == 0 || r.unit == "°C" || r.unit == "°F":
		return strconv.FormatFloat(d, 'g', 2, 64) + " " + r.unit
	}
	return strconv.FormatFloat(100*d/r.want, 'g', 2, 64) + " %"
}

// sourcesOf returns the sources of the rows, sorted by key.
func sourcesOf(rows []row) []source {
	var list []source
	for _, r := range rows {
		if r.source.key != "" && !slices.Contains(list, r.source) {
			list = append(list, r.source)
		}
	}
	slices.SortFunc(list, func(a, b source) int { return cmp.Compare(a.key, b.key) })
	return list
}
