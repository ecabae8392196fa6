package evidence

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// bench makes logs of an engine whose consumption is known. Its arithmetic is its own: it
// goes from power to fuel to pulse by the formulas written out here, where the package
// goes the other way by those of package injector. All it makes is invented.
type bench struct {
	rate        float64 // rows in a second
	pulls       int
	bsfc        func(rpm float64) float64 // g/kWh, as really burnt
	power       float64                   // kW at 7200 rpm and full boost
	manifold    float64                   // kPa, absolute, at full boost; of ambient on the way there
	ambient     float64                   // kPa
	lambda      float64
	ethanol     float64 // share by volume
	temperature float64 // °C
	volts       float64

	count   float64
	flow    float64                     // of an injector on its test liquid, cc/min
	base    float64                     // kPa, of a manifold-referenced regulator
	dead    func(volts float64) float64 // ms, as the sheet has it at the voltages used
	carries float64                     // fuel that the pumps bring at the set pressure, g/s; 0 for any

	// Errors of all samples alike, as shares: what the injectors really pass over what
	// their rating says, and what the dynamometer shows over what is made.
	flowError, powerError float64
	// Noise of each sample, as a share, and how much of it a sample takes over from the
	// one before.
	noise, memory float64
	between       float64 // scatter of the consumption from pull to pull, as a share
	seed          uint64
}

// usual is the demo's build on a dynamometer: 6 % over the high end of the band.
func usual() bench {
	return bench{
		rate: 50, pulls: 2, bsfc: func(float64) float64 { return 550 }, power: 477, manifold: 252, ambient: 100.5,
		lambda: 0.80, ethanol: 0.70, temperature: 35, volts: 13.5,
		count: 6, flow: 1550, base: 299.9,
		dead: func(float64) float64 { return 1.02 },
		seed: 20261120,
	}
}

// row is one row of a log as the instruments show it.
type row struct {
	time, rpm, pulse, duty, rail, manifold, ethanol, lambda, power, temperature, volts, throttle float64 // s, 1/min, ms, %, kPa gauge, kPa absolute, %, 1, kW, °C, V, %
	actual                                                                                       float64 // fuel really burnt, g/s
}

// rows makes the log: for each pull two seconds at part load, some six at full throttle
// from 3000 to 7400 1/min, and three of coasting.
func (b bench) rows(t testing.TB) []row {
	t.Helper()
	blend, err := fuel.Ethanol(quantity.VolumeFraction(b.ethanol))
	if err != nil {
		t.Fatal(err)
	}
	heptane, err := fuel.Parse("n-heptane")
	if err != nil {
		t.Fatal(err)
	}
	rho := float64(blend.Density(quantity.Celsius(b.temperature)))
	rhoTest := float64(heptane.Density(quantity.Celsius(20)))
	random := rand.New(rand.NewPCG(b.seed, 1))
	noises := [4]float64{}
	noise := func(k int, scale float64) float64 {
		noises[k] = b.memory*noises[k] + math.Sqrt(1-b.memory*b.memory)*random.NormFloat64()
		return scale * b.noise * noises[k]
	}
	var list []row
	clock := 0
	add := func(rpm, manifold, throttle, power float64) {
		r := row{time: float64(clock) / b.rate, rpm: rpm, manifold: manifold, throttle: throttle, ethanol: 100 * b.ethanol, temperature: b.temperature, volts: b.volts}
		clock++
		wanted := b.bsfc(rpm) * power / 3600 // g/s
		r.actual = wanted
		dp := b.base
		if b.carries > 0 && wanted > b.carries {
			// The injectors are opened for the set pressure, and the rail falls until
			// they pass what the pumps bring: flow goes with the root of pressure.
			r.actual = b.carries
			dp *= (b.carries / wanted) * (b.carries / wanted)
		}
		r.rail = manifold + dp - b.ambient + noise(0, 0.3)*dp
		r.lambda = b.lambda * wanted / math.Max(r.actual, 1e-9)
		static := func(dp float64) float64 { // g/s of one injector
			return b.flow / 60 * rhoTest / 1000 * math.Sqrt(rho/rhoTest*dp/300) * (1 + b.flowError)
		}
		turn := 120 / rpm // s between injections
		r.pulse = wanted/(b.count*static(b.base))*turn*1000 + b.dead(b.volts)
		r.pulse *= 1 + noise(1, 0.3)
		r.duty = r.pulse / (turn * 1000) * 100
		r.power = power * (1 + b.powerError) * (1 + noise(2, 1))
		list = append(list, r)
	}
	steps := func(seconds float64) int { return int(seconds * b.rate) }
	burns := b.bsfc
	for range b.pulls {
		if b.between > 0 {
			more := 1 + b.between*random.NormFloat64()
			b.bsfc = func(rpm float64) float64 { return more * burns(rpm) }
		}
		for range steps(2) {
			add(3000, 60, 20, 40)
		}
		n := steps(6.5)
		for i := range n {
			s := float64(i) / b.rate
			rpm := 3000 + 4400*float64(i)/float64(n)
			manifold := b.manifold - (b.manifold-100)*math.Exp(-s/0.45)
			x := rpm / 7200
			shape := 1.5*x - 0.5*x*x*x // highest at 7200
			add(rpm, manifold, 100, b.power*shape*manifold/b.manifold)
		}
		for i := range steps(3) {
			add(7400-1400*float64(i)/b.rate, 40, 0, 5)
		}
	}
	return list
}

// text writes rows as a log: the columns of usualMapping, cells between delimiter, with a
// decimal mark, and so many decimals.
func text(rows []row, delimiter string, comma bool) string {
	var out strings.Builder
	out.WriteString(strings.Join([]string{"Time (s)", "Engine speed (1/min)", "Pulse width (ms)", "Duty (%)", "Fuel pressure (kPa)", "Manifold pressure (kPa)",
		"Ethanol (%)", "Lambda (-)", "Power (kW)", "Fuel temperature (°C)", "Battery (V)", "Throttle (%)"}, delimiter) + "\n")
	for _, r := range rows {
		cells := []string{
			number(r.time, 3), number(r.rpm, 0), number(r.pulse, 3), number(r.duty, 2), number(r.rail, 1), number(r.manifold, 1),
			number(r.ethanol, 1), number(r.lambda, 3), number(r.power, 1), number(r.temperature, 1), number(r.volts, 2), number(r.throttle, 0),
		}
		line := strings.Join(cells, delimiter)
		if comma {
			line = strings.ReplaceAll(line, ".", ",")
		}
		out.WriteString(line + "\n")
	}
	return out.String()
}

func number(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }

// usualMapping fits what text writes.
const usualMapping = `
[columns]
time = { column = "Time" }
speed = { column = "Engine speed" }
pulse = { column = "Pulse width" }
rail_pressure = { column = "Fuel pressure", reference = "gauge" }
manifold_pressure = { column = "Manifold pressure", reference = "absolute" }
ethanol = { column = "Ethanol" }
lambda = { column = "Lambda" }
power = { column = "Power", at = "crank" }
fuel_temperature = { column = "Fuel temperature" }
voltage = { column = "Battery" }
throttle = { column = "Throttle" }
`

func mapping(t testing.TB, text string) Mapping {
	t.Helper()
	m, err := ReadMapping("map.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// demo is the assessed build of the demo.
func demo(t testing.TB) *sizing.Assessment { return assessed(t, "../../notebooks/first-build.toml") }

func assessed(t testing.TB, path string) *sizing.Assessment {
	t.Helper()
	b, err := sizing.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	a, err := sizing.Assess(b)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// readText reads a log that has to be readable.
func readText(t testing.TB, text string, m Mapping, a *sizing.Assessment) *Log {
	t.Helper()
	log, err := Read(t.Context(), Source{Name: "log.csv", Text: strings.NewReader(text)}, m, a)
	if err != nil {
		t.Fatal(err)
	}
	return log
}

// gkWh is a consumption in g/kWh.
func gkWh(c quantity.SpecificConsumption) float64 { return c.In(quantity.GramPerKilowattHour) }

func (p Pull) String() string {
	return fmt.Sprintf("pull %s: %.1f ± %.1f (A %.2f, B %.2f, ν %s), at peak %.1f, greatest %.1f g/kWh; used %d, aside %v",
		p.ID, gkWh(p.Average.Value), gkWh(p.Average.Standard), gkWh(p.Average.TypeA), gkWh(p.Average.TypeB), p.Average.DF,
		gkWh(p.AtPeak.Value), gkWh(p.Peak.Value), p.Used, p.Aside)
}
