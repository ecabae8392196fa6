package paper_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/kernel/display"
	"example.com/railbook/kernel/display/paper"
	"example.com/railbook/report/figure"
)

// program names, in the environment, the file to which this test binary writes
// a report in place of running tests, as the program of a cell would.
const program = "PAPER_TEST_PROGRAM"

func TestMain(m *testing.M) {
	if name := os.Getenv(program); name != "" {
		a := display.Assess(display.Open("../testdata/bench.toml"))
		paper.Report(a, name, figure.OfHeadroom("headroom", a))
		os.Exit(0)
	}
	os.Exit(m.Run())
}

func write(t *testing.T, dir, name string) (stdout, stderr string, status int) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), program+"="+name, "RAILBOOK_OUT="+dir, "GONB_PIPE=")
	var out, errs strings.Builder
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil && cmd.ProcessState == nil {
		t.Fatal(err)
	}
	return out.String(), errs.String(), cmd.ProcessState.ExitCode()
}

func TestReport(t *testing.T) {
	dir := t.TempDir()
	out, errs, status := write(t, dir, "reports/bench.pdf")
	if status != 0 || errs != "" || !strings.HasPrefix(out, "Wrote reports/bench.pdf, ") || !strings.HasSuffix(out, " kB.\n") {
		t.Errorf("status %d, stdout %q, stderr %q", status, out, errs)
	}
	pdf, err := os.ReadFile(filepath.Join(dir, "reports", "bench.pdf"))
	if err != nil || !bytes.HasPrefix(pdf, []byte("%PDF-")) {
		t.Errorf("the file begins with %q, error %v", pdf[:min(8, len(pdf))], err)
	}
}

func TestReportMistakes(t *testing.T) {
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "taken.pdf"), 0o777); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{
		"../out.pdf": `cannot write "../out.pdf"`,
		"taken.pdf":  "cannot write the report ",
	} {
		out, errs, status := write(t, dir, name)
		if status != 1 || out != "" || !strings.HasPrefix(errs, want) || strings.Contains(errs, "goroutine") {
			t.Errorf("%s: status %d, stdout %q, stderr %q, want status 1 and %q", name, status, out, errs, want)
		}
	}
}
