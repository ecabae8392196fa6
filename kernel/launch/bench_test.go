//go:build unix

package launch

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// benchmarkCells are cells with a setup. In each a %d is another number in each
// run, so that nothing is up to date.
var benchmarkCells = []struct{ name, setup, cell string }{
	{"trivial", "import \"fmt\"\n\n%%\nfmt.Println()", "%%\nfmt.Println(%d)"},
	{
		"table",
		"import (\n\t\"fmt\"\n\t. \"example.com/railbook/kernel/display\"\n)\n\nvar build = Open(\"first-build.toml\")\n\n%%\nShow(build)\nfmt.Println()",
		"%%\nShow(build)\nfmt.Println(%d)",
	},
	{
		"charts",
		"import (\n\t\"fmt\"\n\t. \"example.com/railbook/kernel/display\"\n)\n\nvar build = Open(\"first-build.toml\")\n\n%%\nShow(Headroom(Assess(build)))\nfmt.Println()",
		"%%\nShow(Headroom(Assess(build)))\n" +
			"Show(Surface(Sweep(build, \"boost = 14..30 psi by 1\", \"ethanol = 0..85 % by 5\"), sweep.Duty))\nfmt.Println(%d)",
	},
}

// BenchmarkCell runs each cell, in turns, in kernels of three kinds: gonb with the
// go command's defaults, gonb as this package sets it up, and that with the
// programs beside it. It reports the median times in milliseconds, the last over
// each of the others, and, as other work on the machine disturbs these, the same
// of the processor time used on average, where the system tells it.
func BenchmarkCell(b *testing.B) {
	m, err := FindModule(".")
	if err != nil {
		b.Fatal(err)
	}
	dir := filepath.Join(m.Root, "notebooks")
	kernels := []*Kernel{
		beginWith(b, b.TempDir(), Options{Dir: dir, Env: []string{"GOFLAGS="}}),
		beginWith(b, b.TempDir(), Options{Dir: dir}),
		beginWith(b, b.TempDir(), Options{Dir: dir, Direct: true, Events: true}),
	}
	for _, c := range benchmarkCells {
		b.Run(c.name, func(b *testing.B) {
			number := 0
			run := func(k *Kernel, code string) time.Duration {
				number++
				start := time.Now()
				got := execute(b, k, strings.ReplaceAll(code, "%d", fmt.Sprint(number)), nil)
				took := time.Since(start)
				if got.status != "ok" || strings.Contains(got.outputs, "exit status 1") || strings.Contains(got.outputs, "exit status 2") {
					b.Fatalf("%q", got)
				}
				return took
			}
			for _, k := range kernels {
				run(k, c.setup)
				run(k, c.cell)
			}
			times := make([][]time.Duration, len(kernels))
			used := make([]float64, len(kernels))
			for i, k := range kernels {
				used[i] = -processorTime(k.cmd.Process.Pid)
			}
			for b.Loop() {
				for i, k := range kernels {
					times[i] = append(times[i], run(k, c.cell))
				}
			}
			median := func(i int) float64 {
				slices.Sort(times[i])
				return float64(times[i][len(times[i])/2]) / float64(time.Millisecond)
			}
			b.ReportMetric(median(0), "gonb-ms")
			b.ReportMetric(median(1), "set-up-ms")
			b.ReportMetric(median(2), "direct-ms")
			b.ReportMetric(median(2)/median(0), "direct/gonb")
			b.ReportMetric(median(2)/median(1), "direct/set-up")
			for i, k := range kernels {
				used[i] += processorTime(k.cmd.Process.Pid)
			}
			if used[0] > 0 && used[1] > 0 {
				b.ReportMetric(used[2]/float64(b.N)*1000, "direct-cpu-ms")
				b.ReportMetric(used[2]/used[0], "cpu-direct/gonb")
				b.ReportMetric(used[2]/used[1], "cpu-direct/set-up")
			}
			b.ReportMetric(0, "ns/op") // of three cells, which says nothing
		})
	}
}

// processorTime returns the seconds of processor time that the process has used,
// with those of its children that have ended; 0 where the system does not tell.
func processorTime(pid int) float64 {
	stat, err := os.ReadFile(filepath.Join("/proc", strconv.Itoa(pid), "stat"))
	if err != nil {
		return 0
	}
	_, rest, _ := strings.Cut(string(stat), ") ") // the command's name may hold spaces
	fields := strings.Fields(rest)
	ticks := 0
	for i := 11; i < 15 && i < len(fields); i++ { // utime, stime, cutime, cstime
		ticks += number(fields[i])
	}
	return float64(ticks) / 100
}

// BenchmarkReady starts and closes kernels.
func BenchmarkReady(b *testing.B) {
	for _, o := range []struct {
		name string
		Options
	}{{"plain", Options{}}, {"direct", Options{Direct: true, Events: true}}} {
		b.Run(o.name, func(b *testing.B) {
			o.Dir = b.TempDir()
			for b.Loop() {
				k := beginWith(b, b.TempDir(), o.Options)
				b.StopTimer()
				if err := k.Close(); err != nil {
					b.Fatal(err)
				}
				b.StartTimer()
			}
		})
	}
}
