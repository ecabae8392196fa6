package evidence

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// course is a log of speed and manifold pressure over time, all else steady.
type course struct{ t, rpm, kPa float64 }

// logOf writes a course as a log that demo's build reads without setting anything aside
// but what the course itself asks for.
func logOf(list []course) string {
	var b strings.Builder
	b.WriteString("Time (s),Engine speed (1/min),Pulse width (ms),Fuel pressure (kPa),Manifold pressure (kPa),Power (kW)\n")
	for _, c := range list {
		pulse := 1.02 + 0.6*120000/math.Max(c.rpm, 1)*0.5
		fmt.Fprintf(&b, "%.4f,%.1f,%.4f,%.2f,%.2f,300\n", c.t, c.rpm, pulse, c.kPa+299.9-100.5, c.kPa)
	}
	return b.String()
}

const courseMapping = `
[columns]
time = { column = "Time" }
speed = { column = "Engine speed" }
pulse = { column = "Pulse width" }
rail_pressure = { column = "Fuel pressure", reference = "gauge" }
manifold_pressure = { column = "Manifold pressure", reference = "absolute" }
power = { column = "Power", at = "crank" }
`

// leg goes from one speed to another over so many seconds at a manifold pressure, at 50
// rows in a second.
func leg(list []course, seconds, to, kPa float64) []course {
	last := course{-0.02, to, kPa}
	if len(list) > 0 {
		last = list[len(list)-1]
	}
	n := int(seconds * 50)
	for i := 1; i <= n; i++ {
		list = append(list, course{last.t + 0.02*float64(i), last.rpm + (to-last.rpm)*float64(i)/float64(n), kPa})
	}
	return list
}

func TestFindsPulls(t *testing.T) {
	a := demo(t)
	const full, part = 250, 60
	type span struct{ from, to float64 }
	tests := []struct {
		name  string
		log   []course
		rules string
		want  []span // of speed
	}{
		{"none", leg(leg(nil, 2, 3000, part), 5, 7000, part), "", nil},
		{"one", leg(leg(leg(nil, 2, 3000, part), 5, 7000, full), 2, 3000, part), "", []span{{3000, 7000}}},
		{"at the end of the log", leg(leg(nil, 2, 3000, part), 5, 7000, full), "", []span{{3000, 7000}}},
		{"from the first row", leg(leg(nil, 0.02, 3000, full), 5, 7000, full), "", []span{{3000, 7000}}},
		{"two gears", leg(leg(leg(leg(nil, 1, 3000, part), 3, 7000, full), 0.3, 5000, part), 3, 7000, full), "", []span{{3000, 7000}, {5000, 7000}}},
		{"two gears without lifting", leg(leg(leg(leg(nil, 1, 3000, part), 3, 7000, full), 0.1, 5000, full), 3, 7000, full), "", []span{{3000, 7000}, {5000, 7000}}},
		{"held before it rises", leg(leg(leg(nil, 1, 3000, part), 5, 3000, full), 4, 7000, full), "", []span{{3000, 7000}}},
		{"held after it has risen", leg(leg(leg(nil, 1, 3000, part), 4, 7000, full), 5, 7000, full), "", []span{{3000, 7000}}},
		{"too short", leg(leg(leg(nil, 2, 3000, part), 1, 6000, full), 2, 3000, part), "", nil},
		{"short by other rules", leg(leg(leg(nil, 2, 3000, part), 1, 6000, full), 2, 3000, part), `least_time = "0.5 s"`, []span{{3000, 6000}}},
		{"rises too little", leg(leg(leg(nil, 2, 3000, part), 5, 3900, full), 2, 3000, part), "", nil},
		{"at less boost", leg(leg(nil, 2, 3000, part), 5, 7000, 160), "", nil},
		{"at less boost by other rules", leg(leg(nil, 2, 3000, part), 5, 7000, 160), `least_manifold = "150 kPa"`, []span{{3000, 7000}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			log := readText(t, logOf(tt.log), mapping(t, courseMapping+"[rules]\n"+tt.rules), a)
			if len(log.Pulls) != len(tt.want) {
				t.Fatalf("%d pulls, want %d; %s", len(log.Pulls), len(tt.want), log.WhyNone)
			}
			for i, p := range log.Pulls {
				near(t, "from", p.LowSpeed.In(quantity.RPM), tt.want[i].from, 100)
				near(t, "to", p.HighSpeed.In(quantity.RPM), tt.want[i].to, 60)
				// No pull of these rises for longer than five seconds, and one that is
				// held before counts for no longer than the patience.
				if lasts := float64(p.End - p.Start); lasts <= 0 || lasts > 5.2 {
					t.Errorf("from %v to %v", p.Start, p.End)
				}
			}
			if (tt.want == nil) != strings.Contains(log.WhyNone, "No pull was found") {
				t.Errorf("why there is none: %q", log.WhyNone)
			}
		})
	}
}

// TestPullsOutlastGlitches keeps a pull whole through a speed that is off, a cell that is
// empty and load that is gone for a moment; a gap in time ends it.
func TestPullsOutlastGlitches(t *testing.T) {
	a, m := demo(t), mapping(t, courseMapping)
	whole := leg(leg(nil, 2, 3000, 60), 6, 7200, 250)
	at := func(change func(c *course)) string {
		list := append([]course(nil), whole...)
		change(&list[250])
		return logOf(list)
	}
	for name, text := range map[string]string{
		"speed far too high": at(func(c *course) { c.rpm = 9500 }),
		"speed far too low":  at(func(c *course) { c.rpm = 900 }),
		"load gone":          at(func(c *course) { c.kPa = 90 }),
		"cell empty":         strings.Replace(logOf(whole), fmt.Sprintf("\n%.4f,%.1f,", whole[250].t, whole[250].rpm), fmt.Sprintf("\n%.4f,,", whole[250].t), 1),
	} {
		log := readText(t, text, m, a)
		if len(log.Pulls) != 1 || log.Pulls[0].Samples() < 290 {
			t.Errorf("%s: %d pulls", name, len(log.Pulls))
		}
	}
	gap := append([]course(nil), whole...)
	for i := 220; i < len(gap); i++ {
		gap[i].t += 5
	}
	if log := readText(t, logOf(gap), m, a); len(log.Pulls) != 2 {
		t.Errorf("a gap of five seconds: %d pulls, want 2", len(log.Pulls))
	}
}

// TestTimeThatDoesNotRise counts rows whose time stands or goes back, and takes time that
// begins anew for a log joined to another.
func TestTimeThatDoesNotRise(t *testing.T) {
	a, m := demo(t), mapping(t, courseMapping)
	whole := leg(leg(leg(nil, 2, 3000, 60), 6, 7200, 250), 2, 3000, 60)
	list := append([]course(nil), whole...)
	list[200].t = list[199].t // stands
	list[210].t = 0           // goes back
	log := readText(t, logOf(list), m, a)
	if log.Rejected.NotRising != 2 || log.Rejected.First != 202 || log.Rejected.Restarts != 0 || len(log.Pulls) != 1 {
		t.Errorf("rejected %+v, %d pulls", log.Rejected, len(log.Pulls))
	}
	if says := log.RejectedText(); !strings.Contains(says, "2 whose time does not rise, the first in line 202") {
		t.Errorf("%q", says)
	}
	log = readText(t, logOf(append(append([]course(nil), whole...), whole...)), m, a)
	if log.Rejected.Restarts != 1 || log.Rejected.NotRising != restartRun-1 || len(log.Pulls) != 2 {
		t.Errorf("two logs joined: rejected %+v, %d pulls", log.Rejected, len(log.Pulls))
	}
	if log.Pulls[0].ID != log.Pulls[1].ID {
		t.Error("the same pull twice has two IDs")
	}
	if !strings.Contains(log.RejectedText(), "Time begins anew 1 times") {
		t.Errorf("%q", log.RejectedText())
	}
	for i := range list {
		list[i].t = 5
	}
	_, err := Read(t.Context(), Source{Name: "still.csv", Text: strings.NewReader(logOf(list))}, m, a)
	if err == nil || !strings.Contains(err.Error(), "time does not rise: not in 499 of 500 rows, the first in line 3") {
		t.Errorf("time that stands: %v", err)
	}
}

// TestInterval reads a log without a column of time.
func TestInterval(t *testing.T) {
	list := leg(leg(nil, 2, 3000, 60), 6, 7200, 250)
	m := mapping(t, "[log]\ninterval = \"20 ms\"\n"+strings.Replace(courseMapping, `time = { column = "Time" }`, "", 1))
	log := readText(t, logOf(list), m, demo(t))
	if len(log.Pulls) != 1 {
		t.Fatalf("%d pulls", len(log.Pulls))
	}
	near(t, "seconds", float64(log.Pulls[0].End-log.Pulls[0].Start), 6, 0.1)
}

// TestClockTime reads a log whose time is that of a day.
func TestClockTime(t *testing.T) {
	text := logOf(leg(leg(nil, 2, 3000, 60), 6, 7200, 250))
	lines := strings.Split(text, "\n")
	for i, line := range lines[1:] {
		if seconds, rest, ok := strings.Cut(line, ","); ok {
			var s float64
			fmt.Sscan(seconds, &s)
			lines[i+1] = fmt.Sprintf("2026-11-20 14:59:%06.3f,%s", 50+s, rest)
			if s >= 10 {
				lines[i+1] = fmt.Sprintf("2026-11-20 15:00:%06.3f,%s", s-10, rest)
			}
		}
	}
	m := mapping(t, strings.Replace(courseMapping, `time = { column = "Time" }`, `time = { column = "Time", unit = "h:min:s" }`, 1))
	log := readText(t, strings.Join(lines, "\n"), m, demo(t))
	if len(log.Pulls) != 1 {
		t.Fatalf("%d pulls", len(log.Pulls))
	}
	near(t, "seconds", float64(log.Pulls[0].End-log.Pulls[0].Start), 6, 0.1)
}
