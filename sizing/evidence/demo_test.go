package evidence

import (
	"bytes"
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"golang.org/x/text/encoding/unicode"
)

var update = flag.Bool("update", false, "write the demo's logs and the golden files anew")

// demoLog is a log of the demo scenario or for tests, made by the bench with a fixed seed.
// All of it is invented.
type demoLog struct {
	path, sheet, mapping string
	bench                bench
	write                func([]row) string
	sags                 bool
	pulls                int
}

func demoLogs() []demoLog {
	first := usual()
	first.rate, first.pulls, first.volts = 25, 3, 13.5
	first.bsfc = func(rpm float64) float64 { return 536 + 16*rpm/7200 }
	first.noise, first.memory, first.between = 0.012, 0.6, 0.006
	sagging := first
	sagging.pulls, sagging.carries, sagging.seed = 2, 66.5, 20261128

	aspirated := bench{
		rate: 20, pulls: 2, bsfc: func(float64) float64 { return 286 }, power: 112, manifold: 98, ambient: 101.325, lambda: 0.87,
		temperature: 30, volts: 13.5, count: 4, flow: 420, base: 403.3, dead: func(float64) float64 { return 1.0 },
		noise: 0.01, memory: 0.5, seed: 7,
	}
	return []demoLog{
		{path: "../../notebooks/logs/te-0147-first.csv", sheet: "../../notebooks/first-build.toml", mapping: "../../notebooks/logs/dyno.toml", bench: first, write: hubDyno("2026-11-27"), pulls: 3},
		{path: "../../notebooks/logs/te-0147-second.csv", sheet: "../../notebooks/first-build.toml", mapping: "../../notebooks/logs/dyno.toml", bench: sagging, write: hubDyno("2026-11-28"), sags: true, pulls: 2},
		{path: "../../testdata/logs/aspirated.csv", sheet: "../../testdata/sheets/natural.toml", mapping: "../../testdata/logs/aspirated.toml", bench: aspirated, write: duties, pulls: 2},
		{path: "../../testdata/logs/tabs-utf16.csv", sheet: "../../notebooks/first-build.toml", mapping: "../../testdata/logs/tabs.toml", bench: first, write: tabs, pulls: 3},
	}
}

// hubDyno writes a log as the demo's dynamometer does: lines before the header, units in
// a line of their own, semicolons, decimal commas, CRLF, and power at the hubs, where 8 %
// of it is lost.
func hubDyno(day string) func([]row) string {
	return func(rows []row) string {
		var b strings.Builder
		line := func(cells ...string) { b.WriteString(strings.Join(cells, ";") + "\r\n") }
		line("# Invented data of the demo scenario. No engine made them.")
		line("Ternhaven Engine Works", "hub dynamometer, cell 2")
		line("Job", "TE-0147 B")
		line("Day", day)
		line("")
		line("Time", "Engine speed", "Inj. pulse width", "Rail pressure", "Manifold pressure", "Ethanol content", "Lambda", "Lambda target", "Hub power", "Fuel temp.", "Battery", "Throttle")
		line("s", "1/min", "ms", "kPa", "kPa", "%", "-", "-", "kW", "°C", "V", "%")
		for _, r := range rows {
			line(strings.Split(strings.ReplaceAll(strings.Join([]string{
				number(r.time, 2), number(r.rpm, 0), number(r.pulse, 2), number(r.rail, 0), number(r.manifold, 0), number(r.ethanol, 0),
				number(r.lambda, 2), "0.80", number(0.92*r.power, 1), number(r.temperature, 0), number(r.volts, 1), number(r.throttle, 0),
			}, ";"), ".", ","), ";")...)
		}
		return b.String()
	}
}

// duties writes a log of few columns: duty and torque, no rail pressure.
func duties(rows []row) string {
	var b strings.Builder
	b.WriteString("# invented data, for tests\nt [s],RPM,IDC [%],MAP [kPa],AFR,Torque [N m],TPS [%]\n")
	for _, r := range rows {
		b.WriteString(strings.Join([]string{number(r.time, 2), number(r.rpm, 0), number(r.duty, 1), number(r.manifold, 1), number(14.7*r.lambda, 2),
			number(9549.2966*r.power/r.rpm, 1), number(r.throttle, 0)}, ",") + "\n")
	}
	return b.String()
}

// tabs writes a log in UTF-16 with tabs, and pressures and power in US units.
func tabs(rows []row) string {
	var b strings.Builder
	b.WriteString("Time (s)\tRPM (1/min)\tPulse (ms)\tFuel pressure (psig)\tMAP (psia)\tEthanol (%)\tλ\tPower (hp)\tFuel (°F)\tBattery (V)\t\r\n")
	for _, r := range rows {
		b.WriteString(strings.Join([]string{number(r.time, 3), number(r.rpm, 0), number(r.pulse, 3), number(r.rail/6.894757, 2), number(r.manifold/6.894757, 2),
			number(r.ethanol, 1), number(r.lambda, 3), number(r.power/0.74569987, 1), number(r.temperature*1.8+32, 1), number(r.volts, 2), ""}, "\t") + "\r\n")
	}
	text, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().String(b.String())
	if err != nil {
		panic(err) // of a test's own text
	}
	return text
}

// TestDemoLogs holds the logs in the tree to what the bench makes, and reads each with its
// sheet and mapping: the truth lies within the interval of 95 %.
func TestDemoLogs(t *testing.T) {
	for _, d := range demoLogs() {
		t.Run(filepath.Base(d.path), func(t *testing.T) {
			want := []byte(d.write(d.bench.rows(t)))
			if *update {
				if err := os.MkdirAll(filepath.Dir(d.path), 0o777); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(d.path, want, 0o666); err != nil {
					t.Fatal(err)
				}
			}
			got, err := os.ReadFile(d.path)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(got, want) {
				t.Error("the log is not what the bench makes; run with -update and look at the difference")
			}
			data, err := os.ReadFile(d.mapping)
			if err != nil {
				t.Fatal(err)
			}
			a := assessed(t, d.sheet)
			log := readText(t, string(got), mapping(t, string(data)), a)
			if len(log.Pulls) != d.pulls {
				t.Fatalf("%d pulls, want %d; %s", len(log.Pulls), d.pulls, log.WhyNone)
			}
			if r := log.Rejected; r.Ragged+r.NoTime+r.NotRising != 0 || r.Truncated {
				t.Errorf("rows left out: %s", log.RejectedText())
			}
			for _, p := range log.Pulls {
				truth := d.bench.bsfc(float64(p.PeakAt) * 60 / 6.283185307)
				if off := gkWh(p.AtPeak.Value) - truth; off > gkWh(p.AtPeak.Expanded(0.95)) || -off > gkWh(p.AtPeak.Expanded(0.95)) {
					t.Errorf("%v at the greatest power, truth %.1f g/kWh", p, truth)
				}
				if sags := p.Aside[RailSagged] > 10; sags != d.sags {
					t.Errorf("set aside %v", p.Aside)
				}
			}
		})
	}
}

// TestDemoAdvice: the demo's pulls call for a higher consumption in the sheet, and more
// pulls make it no worse known.
func TestDemoAdvice(t *testing.T) {
	a := demo(t)
	data, err := os.ReadFile("../../notebooks/logs/te-0147-first.csv")
	if err != nil {
		t.Fatal(err)
	}
	m, err := os.ReadFile("../../notebooks/logs/dyno.toml")
	if err != nil {
		t.Fatal(err)
	}
	log := readText(t, string(data), mapping(t, string(m)), a)
	ad := Advise(a, log.Pulls...)
	near(t, "g/kWh", gkWh(ad.BSFC.Value), 552, 10)
	if ad.Pulls != 3 || ad.Field == "" || !strings.Contains(ad.Text, "fuel.bsfc") {
		t.Errorf("%+v", ad)
	}
	one := Advise(a, log.Pulls[0])
	if ad.BSFC.TypeB < one.BSFC.TypeB*99/100 {
		t.Errorf("three pulls with the same instruments have a type B of %v, one of %v", ad.BSFC.TypeB, one.BSFC.TypeB)
	}
	near(t, "both parts together", float64(ad.BSFC.Standard), math.Hypot(float64(ad.BSFC.TypeA), float64(ad.BSFC.TypeB)), 1e-15)
	if none := Advise(a); none.Pulls != 0 || none.Text == "" {
		t.Errorf("%+v", none)
	}
}

// TestAdviceOnAnotherFuel carries a consumption over to the sheet's fuel as the same
// energy per work.
func TestAdviceOnAnotherFuel(t *testing.T) {
	b := usual()
	b.ethanol = 0.30
	build := demo(t).Build
	a, err := sizing.Assess(build)
	if err != nil {
		t.Fatal(err)
	}
	log := readText(t, text(b.rows(t), ",", false), mapping(t, usualMapping), a)
	p := log.Pulls[0]
	near(t, "measured", gkWh(p.AtPeak.Value), 550, 0.3)
	near(t, "content", float64(p.Ethanol), 0.3, 1e-9)
	want := 550 * float64(p.Heating) / float64(build.Fuel.Blend.LHV())
	near(t, "on the sheet's fuel", gkWh(Advise(a, log.Pulls...).BSFC.Value), want, 0.3)
	if want < 600 {
		t.Errorf("E70 takes %v for 550 g/kWh on E30: more is needed", want)
	}
}
