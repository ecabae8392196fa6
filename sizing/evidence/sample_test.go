package evidence

import (
	"context"
	"errors"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
)

// TestReasons breaks some samples of a pull in each way that there is a reason for, and
// finds as many set aside for it; the consumption stays.
func TestReasons(t *testing.T) {
	build := demo(t).Build
	build.Injectors.MinimumPulse = 1.15 * quantity.Millisecond
	var err error
	build.Injectors.DeadTime = nil
	for _, text := range []string{"1.32 ms at 12 V", "1.02 ms at 13.5 V", "0.86 ms at 15 V"} {
		p, err := injector.ParseDeadTimePoint(text)
		if err != nil {
			t.Fatal(err)
		}
		build.Injectors.DeadTime = append(build.Injectors.DeadTime, p)
	}
	a, err := sizing.Assess(build)
	if err != nil {
		t.Fatal(err)
	}
	b := usual()
	b.pulls = 1
	rows := b.rows(t)
	const from, n = 300, 20 // in the middle of the pull
	tests := []struct {
		name   string
		change func(r *row)
		cell   func(line string) string // in place of change, on the text
		want   Reason
		least  int
	}{
		{"empty cell", nil, cut(4), CellMissing, n},
		{"NaN", nil, put(2, "NaN"), CellMissing, n},
		{"infinity", nil, put(8, "inf"), CellMissing, n},
		{"text", nil, put(5, "fault"), CellMissing, n},
		{"manifold sensor unplugged", nil, put(5, "0.2"), SensorOutOfRange, n},
		{"voltage of a broken wire", func(r *row) { r.volts = 0.4 }, nil, SensorOutOfRange, n},
		{"fuel sensor in fault", func(r *row) { r.ethanol = 180 }, nil, SensorOutOfRange, n},
		{"rail sags", func(r *row) { r.rail -= 30 }, nil, RailSagged, n},
		{"no pressure over the injectors", func(r *row) { r.rail = r.manifold - 150 }, nil, RailSagged, n},
		{"duty pinned", func(r *row) { r.pulse = 0.97 * 120000 / r.rpm }, nil, DutyPinned, n},
		{"enrichment", func(r *row) { r.pulse *= 1.3 }, nil, Transient, n / 2},
		{"boost spikes", func(r *row) { r.manifold += 25; r.rail += 25 }, nil, Transient, n / 2},
		{"voltage beyond the dead time", func(r *row) { r.volts = 11 }, nil, OutsideInjectorData, n},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			changed := append([]row(nil), rows...)
			for i := from; i < from+n && tt.change != nil; i++ {
				tt.change(&changed[i])
			}
			lines := strings.Split(text(changed, ";", false), "\n")
			for i := from; i < from+n && tt.cell != nil; i++ {
				lines[i+1] = tt.cell(lines[i+1])
			}
			log := readText(t, strings.Join(lines, "\n"), mapping(t, usualMapping), a)
			if len(log.Pulls) != 1 {
				t.Fatalf("%d pulls", len(log.Pulls))
			}
			p := log.Pulls[0]
			if p.Aside[tt.want] < tt.least || tt.want != Transient && p.Aside[tt.want] != n {
				t.Errorf("set aside %v, want %d for %q", p.Aside, tt.least, tt.want)
			}
			near(t, "g/kWh", gkWh(p.Average.Value), 550, 1)
		})
	}
	// What is not needed for the consumption sets nothing aside.
	lines := strings.Split(text(rows, ";", false), "\n")
	for i := from; i < from+n; i++ {
		lines[i+1] = put(7, "9.99")(lines[i+1])
	}
	p := readText(t, strings.Join(lines, "\n"), mapping(t, usualMapping), a).Pulls[0]
	if p.Aside[SensorOutOfRange] != 0 {
		t.Errorf("lambda out of range sets aside %v", p.Aside)
	}
	near(t, "lambda without those", float64(p.Lambda), 0.8, 1e-6)
}

// put puts a text into a cell.
func put(column int, text string) func(string) string {
	return func(line string) string {
		cells := strings.Split(line, ";")
		cells[column] = text
		return strings.Join(cells, ";")
	}
}

func cut(column int) func(string) string { return put(column, "") }

// TestEach hands out every sample with what it tells.
func TestEach(t *testing.T) {
	a, m := demo(t), mapping(t, usualMapping)
	rows := usual().rows(t)
	src := func() Source { return Source{Name: "log.csv", Text: strings.NewReader(text(rows, ",", false))} }
	n, aside := 0, 0
	err := Each(t.Context(), src(), m, a, func(s Sample) error {
		r := rows[n]
		n++
		if s.Line != n+1 || s.Aside != "" {
			aside++
			return nil
		}
		near(t, "fuel over what was burnt", float64(s.Fuel)*1000/r.actual, 1, 0.004)
		near(t, "duty", 100*float64(s.Duty), r.duty, 0.05)
		near(t, "pulse in ms", s.Pulse.In(quantity.Millisecond), r.pulse, 0.001)
		near(t, "power in kW", s.Power.In(quantity.Kilowatt), r.power, 0.06)
		near(t, "air over fuel", float64(s.Air/s.Fuel), 0.8*float64(a.Build.Fuel.Blend.StoichiometricAFR()), 0.001)
		near(t, "rail error in kPa", s.Error.In(quantity.KilopascalDiff), 0, 0.1)
		near(t, "g/kWh", gkWh(s.BSFC), 550, 10) // at a power of 5.0 kW to its last digit
		return nil
	})
	if err != nil || n != len(rows) || aside > n/4 {
		t.Errorf("%d of %d samples, %d aside, %v", n, len(rows), aside, err)
	}
	stop := errors.New("enough")
	if err := Each(t.Context(), src(), m, a, func(Sample) error { return stop }); !errors.Is(err, stop) {
		t.Errorf("error %v", err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := Read(ctx, src(), m, a); !errors.Is(err, context.Canceled) {
		t.Errorf("after the end: %v", err)
	}
}
