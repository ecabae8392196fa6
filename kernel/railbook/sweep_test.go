package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/sweep"
)

// turbo is the sheet of the tests: 640 hp at 22 psi on 70 % ethanol. Without boost it
// makes no sense, which gives gaps.
const turbo = "../../testdata/sheets/turbo.toml"

// railbook runs the command in this process.
func railbook(ctx context.Context, args ...string) (stdout, stderr string, err error) {
	var out, messages bytes.Buffer
	root := newRootCommand()
	root.SetArgs(args)
	root.SetOut(&out)
	root.SetErr(&messages)
	err = root.ExecuteContext(ctx)
	return out.String(), messages.String(), err
}

func mustRun(t *testing.T, args ...string) string {
	t.Helper()
	out, messages, err := railbook(t.Context(), args...)
	if err != nil {
		t.Fatal(err)
	}
	if messages != "" {
		t.Errorf("a short sweep says on the way: %q", messages)
	}
	return out
}

// TestSweepTable wants the printed numbers to be those of an assessment.
func TestSweepTable(t *testing.T) {
	b, err := sizing.Open(turbo)
	if err != nil {
		t.Fatal(err)
	}
	a, err := sizing.Assess(b)
	if err != nil {
		t.Fatal(err)
	}
	duty := strconv.FormatFloat(100*float64(a.Injection.Duty), 'f', 2, 64)

	out := mustRun(t, "sweep", turbo, "--over", "boost = 0, 11, 22 psi", "--show", "duty", "--show", "crank power")
	for _, want := range []string{
		b.Job.Name + "\n\nSweep over boost\n(largest duty allowed, 85 %)\nBoost (psi)  Injector duty (%)  Crank power (hp)\n",
		"\n          0                  –                 –\n",
		"\n         22              " + duty + "             640.0\n",
		"\n–: 1 of 3 points have a gap; the first: induction.boost: is missing",
		caution,
	} {
		if !strings.Contains(out, want) {
			t.Errorf("the table lacks %q:\n%s", want, out)
		}
	}

	out = mustRun(t, "sweep", turbo, "--over", "boost = 11, 22 psi", "--over", "ethanol = 50, 60, 70 %", "--show", "duty")
	if !strings.Contains(out, "\nInjector duty (%): boost (psi) down, ethanol (%) across\n") || !strings.Contains(out, "\nboost (psi)     50     60     70\n") ||
		!strings.Contains(out, "  "+duty+"\n") || strings.Contains(out, "gap") {
		t.Errorf("the matrix lacks its head or the duty %s of the build in its corner:\n%s", duty, out)
	}

	// Without --show there are four results, each with a matrix.
	out = mustRun(t, "sweep", turbo, "--over", "boost = 11, 22 psi", "--over", "ethanol = 50, 60 %")
	if n := strings.Count(out, "boost (psi) down"); n != 4 || !strings.Contains(out, "(pumps carry no more at 0 %)") {
		t.Errorf("%d matrices, want 4 and the pumps' limit:\n%s", n, out)
	}
}

func TestSweepTableIsThinned(t *testing.T) {
	out := mustRun(t, "sweep", turbo, "--over", "boost = 10..30 psi by 0.01", "--over", "ethanol = 0..80 % by 5", "--show", "duty")
	if lines := strings.Count(out, "\n"); lines > 65 {
		t.Errorf("%d lines", lines)
	}
	for _, line := range strings.Split(out, "\n") {
		if len([]rune(line)) > 100 && !strings.HasPrefix(line, "Of ") {
			t.Errorf("a line of %d letters: %q", len([]rune(line)), line)
		}
	}
	if want := "Of boost every 42nd value is shown. Of ethanol every 2nd value is shown. --out FILE.csv writes all 34,017 points."; !strings.Contains(out, want) {
		t.Errorf("the table does not say %q:\n%s", want, out)
	}
}

// TestSweepFiles wants the same numbers in every file, and nothing else in the folder.
func TestSweepFiles(t *testing.T) {
	dir := t.TempDir()
	axes := []string{"--over", "boost = 0..20 psi by 10", "--over", "lambda = 0.8, 0.9", "--show", "duty"}
	for _, ending := range []string{".csv", ".json", ".parquet"} {
		path := filepath.Join(dir, "out"+ending)
		out := mustRun(t, append([]string{"sweep", turbo, "--out", path}, axes...)...)
		if !strings.HasPrefix(out, path+"  6 points  ") || !strings.Contains(out, "\n2 of 6 points have a gap; the first: induction.boost: is missing") {
			t.Errorf("%s: said %q", ending, out)
		}
	}
	files, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	if len(files) != 3 {
		t.Errorf("%d files, want 3: %v", len(files), files)
	}
	text := read(t, filepath.Join(dir, "out.csv"))
	if lines := strings.Split(text, "\r\n"); len(lines) != 8 || lines[0] != "boost (psi),lambda,injector duty (%),reason" || !strings.HasPrefix(lines[1], "0,0.8,,") {
		t.Errorf("CSV %q", text)
	}
	printed := mustRun(t, append([]string{"sweep", turbo, "--json"}, axes...)...)
	if written := read(t, filepath.Join(dir, "out.json")); printed != written {
		t.Errorf("--json prints\n%s\nwant what is in the file\n%s", printed, written)
	}
	var s struct {
		Points, Gaps int
		Columns      map[string][]any
	}
	if err := json.Unmarshal([]byte(printed), &s); err != nil || s.Points != 6 || s.Gaps != 2 || s.Columns["injector duty (%)"][0] != nil {
		t.Errorf("JSON %v, %v", s, err)
	}
}

func read(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func TestSweepErrors(t *testing.T) {
	dir := t.TempDir()
	boost := []string{"--over", "boost = 1..30 psi by 1"}
	huge := []string{"--over", "boost = 1..2 psi in 1000000", "--over", "ethanol = 1..2 % in 1000000"}
	for name, tc := range map[string]struct {
		args []string
		want string
	}{
		"no sheet":        {nil, "sweep takes one build sheet, got 0 arguments; see railbook sweep --help"},
		"no axis":         {[]string{turbo}, "sweep needs at least one axis, such as --over 'boost=10..30 psi by 1'; see railbook sweep --help"},
		"no such sheet":   {append([]string{"nosuch.toml"}, boost...), "open nosuch.toml: no such file or directory"},
		"unknown field":   {[]string{turbo, "--over", "bost = 1..2 psi by 1"}, `perhaps "boost" is meant`},
		"unknown path":    {[]string{turbo, "--over", "feed_line.lenght = 1..2 m by 1"}, `perhaps "feed_line.length" is meant`},
		"unknown result":  {append([]string{turbo, "--show", "pump margn"}, boost...), `--show: unknown result "pump margn", perhaps "pump margin" is meant`},
		"bad range":       {[]string{turbo, "--over", "boost = 2..1 psi by 1"}, "the end must lie above the start"},
		"no points":       {[]string{turbo, "--over", "boost ="}, "--over: not an axis"},
		"axis twice":      {append([]string{turbo, "--over", "boost = 1, 2 psi"}, boost...), "boost (psi) is given twice; want each axis and each result once"},
		"result twice":    {append([]string{turbo, "--show", "duty", "--show", "injector duty", "--json"}, boost...), "injector duty (%) is given twice"},
		"ending":          {append([]string{turbo, "--out", "duty.xls"}, boost...), "--out duty.xls: want a file whose name ends in .csv, .json, .parquet"},
		"chart ending":    {append([]string{turbo, "--chart", "duty.png"}, boost...), "--chart duty.png: want a file whose name ends in .html"},
		"JSON and file":   {append([]string{turbo, "--out", "duty.csv", "--json"}, boost...), "--json prints to the terminal"},
		"three axes":      {append([]string{turbo, "--over", "lambda = 0.8, 0.9", "--over", "ethanol = 1, 2 %"}, boost...), "a sweep of 3 axes makes no table to read; give --out FILE.csv"},
		"no folder":       {append([]string{turbo, "--out", filepath.Join(dir, "no", "x.csv")}, boost...), "no/x.csv: no such file or directory"},
		"a folder":        {append([]string{turbo, "--out", folder(t, dir, "x.csv")}, boost...), "x.csv exists and is not a regular file"},
		"huge":            {append([]string{turbo, "--out", "x.csv"}, huge...), "this sweep has 1,000,000,000,000 points: about "},
		"huge, no build":  {append([]string{turbo, "--over", "power = 1, 2 hp"}, huge...), "boost and power move each other"},
		"huge, its size":  {append([]string{turbo, "--out", "x.csv"}, huge...), " TB of x.csv; to do it add --yes, or use coarser axes"},
		"beyond counting": {append([]string{turbo, "--over", "lambda = 1..2 in 1000000", "--yes", "--json"}, huge...), "more than 2^52 points"},
		"chart of four": {append([]string{turbo, "--over", "lambda = 0.8, 0.9", "--over", "ethanol = 1, 2 %", "--over", "altitude = 0, 1 m", "--chart", "x.html"}, boost...),
			"--chart: a chart has three axes at most, not 4"},
		"chart of one":   {[]string{turbo, "--over", "boost = 20 psi", "--chart", "x.html"}, "--chart: boost has one value; a chart needs two or more along its first axes"},
		"chart too wide": {append([]string{turbo, "--over", "ethanol = 1..2 % in 251", "--chart", "x.html"}, boost...), "--chart: 251 values of ethanol are more than a page can show, which is 250 there"},
		"chart too large": {append([]string{turbo, "--over", "ethanol = 1..2 % in 200", "--over", "lambda = 0.8..0.9 in 200", "--chart", "x.html"}, boost...),
			"--chart: 1,200,000 points with 4 results make a page too heavy for a browser; want at most 250,000 numbers"},
		"chart of gaps": {[]string{turbo, "--over", "boost = -2..0 psi by 1", "--chart", "x.html"}, "--chart: no point of the sweep has an answer: induction.boost"},
	} {
		t.Run(name, func(t *testing.T) {
			out, _, err := railbook(t.Context(), append([]string{"sweep"}, tc.args...)...)
			if err == nil || !strings.Contains(err.Error(), tc.want) {
				t.Errorf("error %v, want one that says %q", err, tc.want)
			}
			if err != nil && strings.Contains(err.Error(), "\n") {
				t.Errorf("the error has several lines: %q", err)
			}
			if out != "" {
				t.Errorf("printed %q all the same", out)
			}
		})
	}
	for _, name := range []string{"x.csv", "x.html"} {
		if _, err := os.Stat(name); err == nil {
			t.Errorf("%s was written all the same", name)
		}
	}
}

func folder(t *testing.T, elements ...string) string {
	t.Helper()
	path := filepath.Join(elements...)
	if err := os.Mkdir(path, 0o777); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestSweepStopped wants a sweep that is stopped to leave no file, neither its own nor a
// temporary one, and the file that was there as it was.
func TestSweepStopped(t *testing.T) {
	for _, name := range []string{"x.csv", "x.json", "x.parquet"} {
		dir := t.TempDir()
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte("older"), 0o600); err != nil {
			t.Fatal(err)
		}
		ctx, stop := context.WithTimeoutCause(t.Context(), 300*time.Millisecond, errors.New("told to stop"))
		defer stop()
		_, _, err := railbook(ctx, "sweep", turbo, "--over", "boost = 1..30 psi in 6000", "--over", "ethanol = 0..85 % in 6000", "--out", path)
		if err == nil || !strings.HasPrefix(err.Error(), "stopped after ") || !strings.HasSuffix(err.Error(), " of 36,000,000 points, and nothing written: told to stop") {
			t.Errorf("%s: error %v", name, err)
		}
		if files, err := os.ReadDir(dir); err != nil || len(files) != 1 || read(t, path) != "older" {
			t.Errorf("%s: left behind %v, %v", name, files, err)
		}
	}
}

func TestPendingKeepsPermissions(t *testing.T) {
	path := filepath.Join(t.TempDir(), "x.csv")
	if err := os.WriteFile(path, nil, 0o640); err != nil {
		t.Fatal(err)
	}
	p, err := newPending(path)
	if err != nil {
		t.Fatal(err)
	}
	defer p.discard()
	if err := p.commit(); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o640 {
		t.Errorf("mode %v, %v, want 0640", info.Mode(), err)
	}
}

func TestSweepList(t *testing.T) {
	out := mustRun(t, "sweep", "--list")
	for _, want := range []string{
		"\nboost               psi      kPa      manifold over ambient; power moves with manifold pressure\n",
		"\nfuel volume flow             gal/h      L/h      the same by volume, at the fuel's temperature\n",
		"feed_line.length (in)", "pumps[1].wear", "parts[pumps].margin",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("the list lacks %q:\n%s", want, out)
		}
	}
	if strings.Contains(out, "\nblend ") || strings.Contains(out, "job.name") {
		t.Error("the list has fields that hold no number")
	}
	if out := mustRun(t, "sweep", "--list", turbo); !strings.Contains(out, "\nboost               psi    manifold over") {
		t.Errorf("the list in the units of the sheet:\n%s", out)
	}
	var l struct{ Fields, Results []listed }
	if err := json.Unmarshal([]byte(mustRun(t, "sweep", "--list", "--json")), &l); err != nil {
		t.Fatal(err)
	}
	// What is listed can be used.
	for _, f := range l.Fields {
		if field, err := sizing.FieldNamed(f.Name); err != nil || !field.Numeric() {
			t.Errorf("field %q: %v", f.Name, err)
		}
	}
	if len(l.Fields) < 50 || len(l.Results) != len(sweep.Results) {
		t.Errorf("%d fields, %d results", len(l.Fields), len(l.Results))
	}
}

func TestWords(t *testing.T) {
	for got, want := range map[string]string{
		thousands(0): "0", thousands(999): "999", thousands(1000): "1,000", thousands(1234567): "1,234,567",
		rough(1.4): "1 s", rough(119): "119 s", rough(7199): "120 minutes", rough(7200): "2 hours", rough(1e6): "12 days", rough(1e9): "32 years",
		roughSize(2.5e6): "2.5 MB", roughSize(3e9): "3.0 GB", roughSize(9.44e13): "94.4 TB", roughSize(2e15): "2.0 PB",
		plural(1, "core"): "1 core", plural(2, "core"): "2 cores",
		ordinal(2): "2nd", ordinal(3): "3rd", ordinal(4): "4th", ordinal(11): "11th", ordinal(21): "21st", ordinal(112): "112th",
		wrapped([]string{"aa", "bb", "cc"}, 7): "aa, bb,\ncc\n", wrapped(nil, 7): "\n",
		slug("least margin"): "least-margin", slug("parts[pumps].margin"): "parts-pumps-margin",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestCells(t *testing.T) {
	nan := math.NaN()
	for _, tc := range []struct {
		in   []float64
		want string
	}{
		{[]float64{0, 10, 20}, "0 10 20"},
		{[]float64{0.78, 0.8000000000000002, 0.82}, "0.78 0.80 0.82"},
		{[]float64{12.3456, nan, -98.7}, "12.35 – -98.70"},
		{[]float64{12345.6, 1.5}, "12346 2"},
		{[]float64{1e-5, 2e-5}, "0.00001 0.00002"},
		{[]float64{nan, 0}, "– 0"},
		{[]float64{math.Inf(1), math.Inf(-1), 1.5}, "∞ -∞ 1.5"},
	} {
		if got := strings.Join(cells(tc.in), " "); got != tc.want {
			t.Errorf("%v: %q, want %q", tc.in, got, tc.want)
		}
	}
}

func TestThin(t *testing.T) {
	for _, tc := range []struct {
		n, most int
		kept    int
		last    float64
	}{{10, 10, 10, 9}, {11, 10, 6, 10}, {18, 10, 9, 16}, {2001, 48, 48, 1974}, {101, 48, 26, 100}} {
		a := sweep.Axis{Field: "boost"}
		for i := range tc.n {
			a.Values = append(a.Values, float64(i))
		}
		said := thin(&a, tc.most)
		if len(a.Values) != tc.kept || a.Values[0] != 0 || a.Values[len(a.Values)-1] != tc.last || (said == "") != (tc.n == tc.kept) {
			t.Errorf("%d to %d: %d values to %v, said %q", tc.n, tc.most, len(a.Values), a.Values[len(a.Values)-1], said)
		}
	}
}

func TestSweepBar(t *testing.T) {
	for name, tc := range map[string]struct {
		terminal bool
		want     string
	}{
		"log":      {false, "500 of 4,000 points, about 2 min 20 s left\n"},
		"terminal": {true, "\r\x1b[K100 of 4,000 points, about 39.0 s left\r\x1b[K500 of 4,000 points, about 2 min 20 s left\r\x1b[K"},
	} {
		var out strings.Builder
		now := time.Unix(0, 0)
		bar := newSweepBar(&progress{w: &out, terminal: tc.terminal}, 4000)
		bar.now, bar.start, bar.last = func() time.Time { return now }, now, now
		for _, step := range []struct {
			after time.Duration
			done  int
		}{{500 * time.Millisecond, 50}, {500 * time.Millisecond, 100}, {100 * time.Millisecond, 110}, {18900 * time.Millisecond, 500}, {time.Minute, 4000}} {
			now = now.Add(step.after)
			bar.tell(step.done, 4000)
		}
		bar.clear()
		bar.clear()
		if out.String() != tc.want {
			t.Errorf("%s: %q, want %q", name, out.String(), tc.want)
		}
	}
}
