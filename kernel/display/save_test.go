package display

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/sizing/sweep"
)

func TestSave(t *testing.T) {
	dir := t.TempDir()
	t.Setenv(cell.OutVariable, dir)
	b := bench(t)
	grid := Sweep(b, "boost = 1, 1.3 bar", "ethanol = 0, 50, 85 %")
	shown, err := save(grid, "tables/duty.csv", []sweep.Result{sweep.Duty})
	if err != nil {
		t.Fatal(err)
	}
	if text := shown[cell.Text].(string); !strings.HasPrefix(text, "Wrote tables/duty.csv, ") || !strings.HasSuffix(text, " It has 6 rows, one for each point of the sweep.") {
		t.Errorf("it says %q", text)
	}
	file, err := os.Open(filepath.Join(dir, "tables", "duty.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil || len(rows) != 7 {
		t.Fatalf("%d rows, error %v", len(rows), err)
	}
	if got := strings.Join(rows[0], "; "); got != "boost (bar); ethanol (%); injector duty (%); reason" {
		t.Errorf("the head is %s", got)
	}
	// The last row is the last point, to the last bit.
	want := sweep.Duty.Of(Assess(With(b, "boost = 1.3 bar, ethanol = 85 %")))
	if got, err := strconv.ParseFloat(rows[6][2], 64); err != nil || !near(got, want) {
		t.Errorf("the last row says %v, error %v, want %v", got, err, want)
	}
	if _, err := save(grid, "all.json", nil); err != nil {
		t.Fatal(err)
	}
	var all struct {
		Points  int
		Results []struct{ Name string }
	}
	raw, err := os.ReadFile(filepath.Join(dir, "all.json"))
	if err == nil {
		err = json.Unmarshal(raw, &all)
	}
	if err != nil || all.Points != 6 || len(all.Results) != len(sweep.Usual) {
		t.Errorf("%d points of %d results, error %v", all.Points, len(all.Results), err)
	}
}

// What cannot be written leaves nothing behind.
func TestSaveMistakes(t *testing.T) {
	dir := t.TempDir()
	t.Setenv(cell.OutVariable, dir)
	grid := Sweep(bench(t), "boost = 1, 1.3 bar")
	if err := os.Mkdir(filepath.Join(dir, "taken.csv"), 0o777); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{
		"duty.xlsx":   `the ending ".xlsx" tells no format; want .csv or .json`,
		"duty":        `the ending "" tells no format`,
		"../duty.csv": "want the name of a file inside the output folder",
		"taken.csv":   `cannot write "taken.csv": `,
	} {
		if _, err := save(grid, name, nil); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: error %v, want one with %q", name, err, want)
		}
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != 1 {
		t.Errorf("left are %v, error %v", left, err)
	}
}
