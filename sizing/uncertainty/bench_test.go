package uncertainty_test

import (
	"runtime/metrics"
	"syscall"
	"testing"

	"example.com/railbook/sizing/uncertainty"
)

// BenchmarkMillionDraws draws the example sheet, nine fields in doubt, a million times and
// sums up five results, five parts and the power carried. The machine may be busy, so the
// processor time of a draw is reported beside the time that passes.
func BenchmarkMillionDraws(b *testing.B) {
	build := open(b, "doubt.toml")
	const draws = 1_000_000
	before := processorTime(b)
	for b.Loop() {
		study(b, build, uncertainty.Plan{Draws: draws, Base: -1})
	}
	b.ReportMetric(1e9*(processorTime(b)-before)/float64(b.N)/draws, "cpu-ns/draw")
	live := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	metrics.Read(live)
	b.ReportMetric(float64(live[0].Value.Uint64())/(1<<20), "MiB-live")
}

// processorTime is that of the process so far, in seconds.
func processorTime(b *testing.B) float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Skip(err)
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}
