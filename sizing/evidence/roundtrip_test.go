package evidence

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
)

// The tests of this file recover the consumption that a log was made with. Independent
// arithmetic: logs are made by the formulas written out in bench_test.go.

// TestRoundTrip recovers it from a log without noise, to the rounding of its cells.
func TestRoundTrip(t *testing.T) {
	a := demo(t)
	log := readText(t, text(usual().rows(t), ",", false), mapping(t, usualMapping), a)
	if len(log.Pulls) != 2 {
		t.Fatalf("%d pulls, want 2; %s", len(log.Pulls), log.WhyNone)
	}
	for _, p := range log.Pulls {
		for what, c := range map[string]Consumption{"average": p.Average, "at the greatest power": p.AtPeak, "greatest": p.Peak} {
			near(t, what+" in g/kWh", gkWh(c.Value), 550, 0.2)
			near(t, what+": type A", gkWh(c.TypeA), 0, 0.05)
		}
		near(t, "energy ratio", float64(p.Energy.Value), 550/3.6e9*float64(p.Heating), 0.001)
		near(t, "content", float64(p.Ethanol), 0.70, 1e-9)
		near(t, "boost in kPa", p.Boost.In(quantity.KilopascalDiff), 252-100.5, 2)
		near(t, "lambda", float64(p.Lambda), 0.80, 1e-9)
		near(t, "greatest power in kW", p.PeakPower.In(quantity.Kilowatt), 477, 1)
		near(t, "where, in rpm", p.PeakAt.In(quantity.RPM), 7200, 150)
		near(t, "fuel there in g/s", p.PeakFuel.In(quantity.GramPerSecond), 550*477/3600.0, 0.2)
		near(t, "air there in g/s", p.PeakAir.In(quantity.GramPerSecond), 550*477/3600.0*0.8*float64(a.Build.Fuel.Blend.StoichiometricAFR()), 1)
		near(t, "low speed", p.LowSpeed.In(quantity.RPM), 3200, 200)
		near(t, "high speed", p.HighSpeed.In(quantity.RPM), 7390, 15)
		if p.Used < 250 || p.Aside[Transient] == 0 || len(p.Aside) != 1 {
			t.Errorf("used %d, set aside %v; want most used and the spooling up set aside", p.Used, p.Aside)
		}
		if p.Finding.Standing != Above {
			t.Errorf("standing %q", p.Finding.Standing)
		}
		near(t, "over the band", float64(p.Finding.Over), 550/519.0-1, 0.002)
	}
	if log.Pulls[0].ID == log.Pulls[1].ID {
		t.Error("two pulls have the same ID")
	}
	if log.Rail.Sagged != 0 || !strings.HasPrefix(log.Rail.Text, "The rail held") {
		t.Errorf("rail: %+v", log.Rail)
	}
	ad := Advise(a, log.Pulls...)
	if ad.Standing != Above || ad.Field != `fuel.bsfc = "0.904 lb/(hp h)"` {
		t.Errorf("advice %+v", ad)
	}
	// The sheet takes the advice.
	b := a.Build
	b.Fuel.BSFC = ad.BSFC.Value
	next, err := sizing.Assess(b)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "power route of the next sheet in g/s", next.Demand.Routes.Power.In(quantity.GramPerSecond), 550*640*0.7457/3600, 0.1)
}

// TestRuleOfThumb is the pair of power and flow of common practice (no source): 850 hp at
// 0.85 lb/(hp h) from six injectors of 141.7 lb/h at a duty of 85 %, dead time left out.
func TestRuleOfThumb(t *testing.T) {
	b := demo(t).Build
	var err error
	// Rated at the pressure it works at, on the fuel it passes.
	b.Injectors.Flow, err = injector.ParseRating("141.667 lb/h at 3 bar on E70 at 35 degC")
	if err != nil {
		t.Fatal(err)
	}
	b.Injectors.DeadTime = []injector.DeadTimePoint{{}}
	b.Injectors.MinimumPulse = 0
	a, err := sizing.Assess(b)
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	out.WriteString("time (s),rpm,duty (%),fuel (bar),map (bar),power (hp),temp (°C)\n")
	for i := range 100 {
		fmt.Fprintf(&out, "%.2f,%d,85,5.5,2.5,850,35\n", float64(i)/20, 3000+40*i)
	}
	log := readText(t, out.String(), mapping(t, `
[columns]
time = { column = "time" }
speed = { column = "rpm", unit = "rpm" }
duty = { column = "duty" }
rail_pressure = { column = "fuel", reference = "absolute" }
manifold_pressure = { column = "map", reference = "absolute" }
power = { column = "power", at = "crank" }
fuel_temperature = { column = "temp" }
[rules]
fuel_rate = 100  # with duty held, fuel per injection falls as speed rises
`), a)
	if len(log.Pulls) != 1 {
		t.Fatalf("%d pulls; %s", len(log.Pulls), log.WhyNone)
	}
	near(t, "lb/(hp h)", log.Pulls[0].Average.Value.In(quantity.PoundPerHorsepowerHour), 0.85, 1e-4)
}

// TestFromAnAssessment takes a log of the operating point that an assessment has found,
// and gets its demand back.
func TestFromAnAssessment(t *testing.T) {
	for _, sheet := range []string{"turbo.toml", "natural.toml", "surge.toml", "driven.toml", "speed.toml", "lift.toml"} {
		t.Run(sheet, func(t *testing.T) {
			a := assessed(t, "../../testdata/sheets/"+sheet)
			if a.Delivery.Sags {
				t.Skip("the rail sags: there is no such steady log")
			}
			b := a.Build
			var out strings.Builder
			out.WriteString("time (s),rpm,pulse (s),fuel (Pa),map (Pa),power (W),temp (K),volts (V),lambda\n")
			for i := range 100 {
				// Speed has to rise for a pull; the pulse follows so that the flow stays.
				x := 1 + float64(i-50)/1000
				dead := float64(a.Injection.DeadTime)
				pulse := dead + (float64(a.Injection.Pulse)-dead)/x
				fmt.Fprintf(&out, "%.3f,%.9g,%.9g,%.9g,%.9g,%.9g,%.9g,%.9g,%.9g\n", float64(i)/20, b.Engine.Speed.In(quantity.RPM)*x, pulse,
					float64(a.Delivery.Rail), float64(a.Manifold), float64(a.Power), float64(b.Fuel.Temperature), float64(a.Injection.Voltage), float64(b.Target.Lambda))
			}
			log := readText(t, out.String(), mapping(t, `
[columns]
time = { column = "time" }
speed = { column = "rpm", unit = "rpm" }
pulse = { column = "pulse" }
rail_pressure = { column = "fuel", reference = "absolute" }
manifold_pressure = { column = "map", reference = "absolute" }
power = { column = "power", at = "crank" }
fuel_temperature = { column = "temp" }
voltage = { column = "volts" }
lambda = { column = "lambda" }
[rules]
least_rise = "100 rpm"
`), a)
			if len(log.Pulls) != 1 {
				t.Fatalf("%d pulls; %s", len(log.Pulls), log.WhyNone)
			}
			p := log.Pulls[0]
			// The assessment opens for its weakest injector, a log for all of them.
			want := float64(a.Demand.Injected) / (1 - float64(b.Injectors.Spread)) / float64(a.Power)
			near(t, "consumption over the assessment's", float64(p.Average.Value)/want, 1, 1e-6)
			if p.Used != 100 {
				t.Errorf("used %d of 100, set aside %v", p.Used, p.Aside)
			}
			if log.Rail.Sagged != 0 || log.Rail.Fall > 1*quantity.KilopascalDiff {
				t.Errorf("rail %+v", log.Rail)
			}
		})
	}
}

// TestWithNoise recovers the consumption from noisy logs within its uncertainty: the error
// of the mean is of the size that type A says, and the expanded uncertainty holds the
// truth about as often as it should.
func TestWithNoise(t *testing.T) {
	a, m := demo(t), mapping(t, usualMapping)
	b := usual()
	b.pulls, b.noise, b.memory = 1, 0.02, 0.7
	square := 0.0
	const runs = 60
	held := 0
	for k := range runs {
		b.seed = uint64(k)
		log := readText(t, text(b.rows(t), ",", false), m, a)
		if len(log.Pulls) != 1 {
			t.Fatalf("%d pulls", len(log.Pulls))
		}
		p := log.Pulls[0]
		e := float64(p.Average.Value)/float64(550*quantity.GramPerKilowattHour) - 1
		u := float64(p.Average.TypeA / p.Average.Value)
		square += e / u * e / u / runs
		if math.Abs(gkWh(p.AtPeak.Value)-550) < gkWh(p.AtPeak.Expanded(0.95)) {
			held++
		}
		if u < 0.0005 || u > 0.01 {
			t.Errorf("type A %v of the value", u)
		}
	}
	near(t, "error over type A uncertainty, rms", math.Sqrt(square), 1, 0.35)
	if held < runs*9/10 {
		t.Errorf("the interval of 95 %% at the greatest power holds the truth in %d of %d logs", held, runs)
	}
}

// TestWithOffInstruments draws the errors of injectors and dynamometer from the limits
// that the mapping states: the expanded uncertainty holds the truth about as often as it
// says.
func TestWithOffInstruments(t *testing.T) {
	a := demo(t)
	m := mapping(t, usualMapping+`
[uncertainty]
injector_flow = "2 %"
power = "3 %"
dead_time = "0 ms"
rail_pressure = "0 kPa"
manifold_pressure = "0 kPa"
fuel_temperature = "0 K"
voltage = "0 V"
speed = "0 %"
pulse = "0 %"
ethanol = "0 %"
`)
	b := usual()
	b.pulls, b.rate = 1, 10
	random := rand.New(rand.NewPCG(9, 10))
	held := 0
	const runs = 400
	for range runs {
		b.flowError, b.powerError = 0.02*(2*random.Float64()-1), 0.03*(2*random.Float64()-1)
		p := readText(t, text(b.rows(t), ",", false), m, a).Pulls[0]
		near(t, "mean in g/kWh", gkWh(p.Average.Value), 550/(1+b.flowError)/(1+b.powerError), 0.5)
		if math.Abs(gkWh(p.Average.Value)-550) < gkWh(p.Average.Expanded(0.95)) {
			held++
		}
	}
	// Of two rectangular parts a little more than 95 % lies within ±1.96 u.
	if share := float64(held) / runs; share < 0.93 || share > 0.995 {
		t.Errorf("the interval of 95 %% holds the truth in %d of %d logs", held, runs)
	}
}

// TestTypeB holds the instruments' shares against derivatives written out by hand.
func TestTypeB(t *testing.T) {
	a, m := demo(t), mapping(t, usualMapping)
	p := readText(t, text(usual().rows(t), ",", false), m, a).Pulls[0]
	share := map[string]float64{}
	for _, c := range p.Instruments {
		share[c.Source] = float64(c.Standard)
	}
	root3 := math.Sqrt(3)
	near(t, "injector flow", share["injector flow"], 0.02/root3, 1e-6)
	near(t, "power", share["power"], 0.03/root3, 1e-5)
	near(t, "spread", share["spread of the injectors"], 0.02/root3/math.Sqrt(6), 1e-6) // six of a set
	// Flow goes with the root of the differential pressure, 299.9 kPa.
	near(t, "rail", share["rail pressure"], 10/299.9/2/root3, 2e-5)
	near(t, "manifold", share["manifold pressure"], 3/299.9/2/root3, 1e-5)
	square := 0.0
	for _, c := range p.Instruments {
		square += float64(c.Standard * c.Standard)
	}
	near(t, "all together", gkWh(p.Average.TypeB), gkWh(p.Average.Value)*math.Sqrt(square), 1e-9)
	// A loss of 15 % that may be off by 2 % of crank power moves the power by 2/85.
	wheels := mapping(t, strings.Replace(usualMapping, `at = "crank"`, `at = "wheels", loss = "15 %"`, 1))
	for _, c := range readText(t, text(usual().rows(t), ",", false), wheels, a).Pulls[0].Instruments {
		if c.Source == "drivetrain loss" {
			near(t, "drivetrain loss", float64(c.Standard), 0.02/0.85/root3, 1e-5)
			share["drivetrain loss"] = float64(c.Standard)
		}
	}
	if share["drivetrain loss"] == 0 {
		t.Error("the drivetrain loss brings nothing")
	}
	// Content hardly moves the consumption by mass, but by energy it does.
	if share["ethanol content"] > 0.001 {
		t.Errorf("ethanol content brings %v", share["ethanol content"])
	}
	if by := float64(p.Energy.Standard/p.Energy.Value) * float64(p.Energy.Standard/p.Energy.Value); by <= square {
		t.Errorf("the energy ratio is no less certain, %v, than the consumption, %v", by, square)
	}
}

// TestSaggingRail sets aside what was made while the rail sagged, and finds where it
// began. The flow is corrected for the pressure measured, so the consumption before is
// the true one.
func TestSaggingRail(t *testing.T) {
	a, m := demo(t), mapping(t, usualMapping)
	b := usual()
	b.carries = 65
	log := readText(t, text(b.rows(t), ",", false), m, a)
	if len(log.Pulls) != 2 {
		t.Fatalf("%d pulls", len(log.Pulls))
	}
	for _, p := range log.Pulls {
		if p.Aside[RailSagged] < 50 {
			t.Errorf("%d samples set aside for the rail", p.Aside[RailSagged])
		}
		near(t, "g/kWh", gkWh(p.Average.Value), 550, 2)
		if p.HighSpeed < 7300*quantity.RPM || p.PeakAt > 5900*quantity.RPM {
			t.Errorf("the pull ends at %v and has its greatest power at %v", p.HighSpeed, p.PeakAt)
		}
	}
	// At the highest power 72.9 g/s are wanted and 65 flow: the pressure falls by their ratio squared.
	near(t, "greatest fall in kPa", log.Rail.Fall.In(quantity.KilopascalDiff), 299.9*(1-math.Pow(65/72.88, 2)), 1)
	near(t, "fuel where it begins, g/s", log.Rail.FromFuel.In(quantity.GramPerSecond), 65, 0.3)
	near(t, "speed where it begins, rpm", log.Rail.From.In(quantity.RPM), 5560, 250)
	for _, says := range []string{"The rail sagged", "set aside"} {
		if !strings.Contains(log.Rail.Text, says) {
			t.Errorf("%q does not say %q", log.Rail.Text, says)
		}
	}
}

// TestPinnedDuty sets aside what was made with injectors that do not close.
func TestPinnedDuty(t *testing.T) {
	build := demo(t).Build
	var err error
	if build.Injectors.Flow, err = injector.ParseRating("1100 cc/min at 3 bar on n-heptane"); err != nil {
		t.Fatal(err)
	}
	a, err := sizing.Assess(build)
	if err != nil {
		t.Fatal(err)
	}
	b := usual()
	b.flow = 1100
	rows := b.rows(t)
	for i := range rows {
		if rows[i].duty > 100 { // the injector cannot be open for longer than all the time
			rows[i].pulse *= 100 / rows[i].duty
		}
	}
	for _, p := range readText(t, text(rows, ",", false), mapping(t, usualMapping), a).Pulls {
		if p.Aside[DutyPinned] < 50 {
			t.Errorf("set aside %v", p.Aside)
		}
		near(t, "g/kWh", gkWh(p.Average.Value), 550, 0.3)
		if p.MostDuty > 0.95 {
			t.Errorf("a duty of %v counts", p.MostDuty)
		}
	}
}

// TestSameLogOtherwise says the same log in other columns and units, and gets the same.
func TestSameLogOtherwise(t *testing.T) {
	a := demo(t)
	rows := usual().rows(t)
	want := gkWh(readText(t, text(rows, ",", false), mapping(t, usualMapping), a).Pulls[0].Average.Value)
	with := func(old, new string) string {
		if !strings.Contains(usualMapping, old) {
			t.Fatalf("no %q", old)
		}
		return strings.Replace(usualMapping, old, new, 1)
	}
	tests := []struct {
		name, mapping string
		change        func(r *row)
	}{
		{"duty in place of pulse", with(`pulse = { column = "Pulse width" }`, `duty = { column = "Duty" }`), nil},
		{"pulse without its dead time", with(`"Pulse width" }`, `"Pulse width", dead_time = "left out" }`), func(r *row) { r.pulse -= 1.02 }},
		{"manifold by gauge", with(`"Manifold pressure", reference = "absolute"`, `"Manifold pressure", reference = "gauge"`), func(r *row) { r.manifold -= 100.5 }},
		{"rail absolute", with(`"Fuel pressure", reference = "gauge"`, `"Fuel pressure", reference = "absolute"`), func(r *row) { r.rail += 100.5 }},
		{"rail over manifold", with(`"Fuel pressure", reference = "gauge"`, `"Fuel pressure", reference = "manifold"`), func(r *row) { r.rail += 100.5 - r.manifold }},
		{"rail not logged", with(`rail_pressure = { column = "Fuel pressure", reference = "gauge" }`, ""), nil},
		{"psi", with(`"Fuel pressure", reference = "gauge"`, `"Fuel pressure", unit = "psi", reference = "gauge"`), func(r *row) { r.rail /= 6.894757 }},
		{"power at the wheels", with(`"Power", at = "crank"`, `"Power", at = "wheels", loss = "15 %"`), func(r *row) { r.power *= 0.85 }},
		{"torque", with(`power = { column = "Power", at = "crank" }`, `torque = { column = "Power", unit = "N m", at = "crank" }`), func(r *row) { r.power *= 9549.2966 / r.rpm }},
		{"corrected power", usualMapping + "[dynamometer]\ncorrection = \"ISO 1585\"\nbarometer = \"97 kPa\"\ntemperature = \"305 K\"\n",
			func(r *row) { r.power *= math.Pow(99.0/97, 1.2) * math.Pow(305.0/298, 0.6) }},
		{"content not logged", with(`ethanol = { column = "Ethanol" }`, ""), nil},
		{"no throttle", with(`throttle = { column = "Throttle" }`, ""), nil},
		{"temperature not logged", with(`fuel_temperature = { column = "Fuel temperature" }`, ""), nil},
		{"air-fuel ratio", with(`"Lambda" }`, `"Lambda", stoichiometric = 14.7 }`), func(r *row) { r.lambda *= 14.7 }},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			changed := append([]row(nil), rows...)
			for i := range changed {
				if tt.change != nil {
					tt.change(&changed[i])
				}
			}
			log := readText(t, text(changed, ";", true), mapping(t, tt.mapping), a)
			if len(log.Pulls) != 2 {
				t.Fatalf("%d pulls; %s", len(log.Pulls), log.WhyNone)
			}
			near(t, "g/kWh", gkWh(log.Pulls[0].Average.Value), want, 0.3)
			if l := log.Pulls[0].Lambda; math.Abs(float64(l)-0.8) > 1e-4 {
				t.Errorf("lambda %v", l)
			}
		})
	}
}

// TestTwoSets counts the fuel of a second set of injectors.
func TestTwoSets(t *testing.T) {
	a := demo(t)
	build := a.Build
	second := sizing.Secondary{Count: 6, Flow: build.Injectors.Flow, Start: 0.5, Staging: demand.ShareOpening, DeadTime: build.Injectors.DeadTime}
	build.Secondary = &second
	build.Injectors.MinimumPulse = 0
	two, err := sizing.Assess(build)
	if err != nil {
		t.Fatal(err)
	}
	rows := usual().rows(t)
	for i := range rows { // each set opens for half the fuel
		rows[i].pulse = (rows[i].pulse-1.02)/2 + 1.02
	}
	m := mapping(t, usualMapping+`secondary_pulse = { column = "Pulse width" }`+"\n")
	near(t, "g/kWh", gkWh(readText(t, text(rows, ",", false), m, two).Pulls[0].Average.Value), 550, 0.3)
	for _, wrong := range []struct {
		a *sizing.Assessment
		m Mapping
	}{{two, mapping(t, usualMapping)}, {a, m}} {
		if _, err := Read(t.Context(), Source{Text: strings.NewReader(text(rows, ",", false))}, wrong.m, wrong.a); err == nil || !strings.Contains(err.Error(), "secondary") {
			t.Errorf("error %v", err)
		}
	}
}
