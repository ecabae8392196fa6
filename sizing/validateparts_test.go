package sizing_test

import (
	"errors"
	"os"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// TestBadHardware is [TestBadSheets] for the sheets that describe more of the fuel
// system: every field out of its limits, and every rule between fields.
func TestBadHardware(t *testing.T) {
	for sheet, rows := range map[string][]badLine{
		"surge.toml": {
			{"supply", `supply = "13.9 V"`, `supply = "139 V"`, "electrical.supply", "139 V", "is too large; want from 6 V to 60 V"},
			{"supply as a current", `supply = "13.9 V"`, `supply = "13.9 A"`, "electrical.supply", `"13.9 A"`, "unknown unit"},
			{"acceleration", `"5 m/s2"`, `"70 m/s2"`, "vehicle.acceleration", "70 m/s²", "is too large; want from"},
			{"acceleration as a speed", `"5 m/s2"`, `"5 m/s"`, "vehicle.acceleration", `"5 m/s"`, "want an acceleration such as"},
			{"fuel in the tank", `"12 gal"`, `"0.1 L"`, "tank.fuel", "0.1 L", "is too small; want from 0.2 L"},
			{"fuel by mass", `"12 gal"`, `"12 kg"`, "tank.fuel", `"12 kg"`, "want a volume such as"},
			{"tank temperature", `"28 degC"`, `"128 degC"`, "tank.temperature", "128 °C", "is too large"},
			{"head", `"5 in"`, `"50 m"`, "tank.head", "is too large", "want from"},
			{"cooling", `"2.5 h"`, `"10 s"`, "tank.cooling", "10", "is too small"},
			{"heat", `feed = "220 W"`, `feed = "25 kW"`, "heat.feed", "25000 W", "is too large"},
			{"heat as horsepower", `feed = "220 W"`, `feed = "3 hp"`, "heat.feed", `"3 hp"`, "the power of an engine cannot stand for"},
			{"heat taken out", `return = "60 W"`, `return = "-60 W"`, "heat.return", `"-60 W"`, "below the least possible value"},
			{"dead time missing in the table", `"1.08 ms at 13.5 V and 400 kPa", `, ``, "injectors.dead_time", "400 kPa", "the dead time at 13.5 V and 400 kPa is missing"},
			{"dead time with a pressure and without", `"1.36 ms at 12 V and 400 kPa"`, `"1.36 ms at 12 V"`, "injectors.dead_time", "1.36 ms at 12 V", "the pressure has to be given at every point or at none"},
			{"low pulse does not end", `; 0 ms at 1.8 ms"`, `"`, "injectors.low_pulse", "0.04 ms at 1.0 ms", "the last row must be none"},
			{"low pulse in disorder", `0.04 ms at 1.0 ms`, `0.04 ms at 0.4 ms`, "injectors.low_pulse", "0.04 ms at 0.4 ms", "must exceed that of the row before"},
			{"coil", `coil = "12 ohm"`, `coil = "12 V"`, "injectors.coil", `"12 V"`, "resistance"},
			{"hold over peak", `coil = "12 ohm"`, `coil = "2 ohm, peak 1 A for 1 ms, hold 4 A"`, "injectors.coil", "hold 4 A", "not exceed the peak current"},
			{"coil missing", "coil = \"12 ohm\"\n", "", "injectors.coil", "", "is missing beside wiring"},
			{"injectors' conductor", `conductor = "14 AWG"`, `conductor = "14"`, "injectors.wiring.conductor", `"14"`, "is neither a gauge nor an area"},
			{"injectors' conductor missing", "conductor = \"14 AWG\"\nlength = \"7 ft\"", "length = \"7 ft\"", "injectors.wiring.conductor", "", `want a gauge such as "10 AWG"`},
			{"injectors' wire", `"7 ft"`, `"700 ft"`, "injectors.wiring.length", "is too large", "want from"},
			{"injectors' wire hot", `"70 degC"`, `"170 degC"`, "injectors.wiring.temperature", "170 °C", "is too large"},
			{"injectors' contacts", `"12 mohm"`, `"12 ohm"`, "injectors.wiring.contacts", "12 Ω", "is too large"},
			{"rise", `base_pressure = "45 psi"`, "base_pressure = \"45 psi\"\nrise = 50", "regulator.rise", "50", "is too large; want from 0.5 to 20"},
			{"least return", `least_return = "20 L/h"`, `least_return = "700 L/h"`, "regulator.least_return", "700 L/h", "is no less than max_return; want a flow below 620 L/h"},
			{"greatest return", `max_return = "620 L/h"`, `max_return = "62000 L/h"`, "regulator.max_return", "62000 L/h", "is too large"},
			{"little return", `max_return = "620 L/h"`, `max_return = "0.62 L/h"`, "regulator.max_return", "0.62 L/h", "is too small"},
			{"slope", `"9 kPa per 100 L/h"`, `"9 kPa"`, "regulator.slope", `"9 kPa"`, `no " per " between`},
			{"falling slope", `"9 kPa per 100 L/h"`, `"-9 kPa per 100 L/h"`, "regulator.slope", `"-9 kPa per 100 L/h"`, "must be greater than zero"},
			{"set flow", `set_flow = "80 L/h"`, `set_flow = "0.8 L/h"`, "regulator.set_flow", "0.8 L/h", "is too small"},
			{"open drop", `"40 kPa"`, `"40 bar"`, "regulator.open_drop", "4000 kPa", "is too large"},
			{"open drop at no flow", "max_return = \"620 L/h\"\n", "", "regulator.max_return", "", "is missing beside open_drop"},
			{"control", `base_pressure = "45 psi"`, "base_pressure = \"45 psi\"\ncontrol = \"magic\"", "regulator.control", `"magic"`, `one of "valve", "pump speed"`},
			{"least speed of a valve", `base_pressure = "45 psi"`, "base_pressure = \"45 psi\"\nleast_speed = \"30 %\"", "regulator.least_speed", "30 %", "belongs to a controller"},
			{"relief of a valve", `base_pressure = "45 psi"`, "base_pressure = \"45 psi\"\nrelief = \"9 bar\"", "regulator.relief", "900 kPa", "belongs to a controller"},
			{"bore", `bore = "16 mm"`, `bore = "160 mm"`, "suction[1].bore", "160 mm", "is too large; want from 2 mm"},
			{"bore missing", "bore = \"16 mm\"\n", "", "suction[1].bore", "", "is missing beside length"},
			{"length", `length = "0.2 m"`, `length = "200 m"`, "suction[1].length", "200000 mm", "is too large"},
			{"length missing", "length = \"0.2 m\"\n", "", "suction[1].length", "", "is missing"},
			{"fittings", "fittings = 1.0", "fittings = 1000", "suction[1].fittings", "1000", "is too large"},
			{"height", `rise = "0.2 m"`, `rise = "20 m"`, "suction[1].rise", "20000 mm", "is too large"},
			{"ahead", `ahead = "0.3 m"`, `ahead = "300 m"`, "suction[3].ahead", "300000 mm", "is too large"},
			{"rough bore", `rise = "0.2 m"`, "rise = \"0.2 m\"\nroughness = \"2 mm\"", "suction[1].roughness", "is too large", "want from"},
			{"rough for its bore", `bore = "16 mm"`, "bore = \"3 mm\"\nroughness = \"0.3 mm\"", "suction[1].roughness", "300 µm", "exceeds a twentieth of the bore; want no more than 150 µm"},
			{"filter", `"1.5 kPa at 400 L/h"`, `"1.5 kPa"`, "suction[2].filter", `"1.5 kPa"`, `no " at " between`},
			{"filter that rises", `filter = "1.5 kPa at 400 L/h"`, "filter = \"1.5 kPa at 400 L/h\"\nrise = \"0.1 m\"", "suction[2].bore", "", "is missing beside rise"},
			{"filter ahead", `filter = "1.5 kPa at 400 L/h"`, "filter = \"1.5 kPa at 400 L/h\"\nahead = \"0.1 m\"", "suction[2].bore", "", "is missing beside ahead"},
			{"dash alone", `"-10 hose"`, `"-10"`, "suction[3].dash", `"-10"`, "a dash number alone does not tell the bore"},
			{"dash and bore", `dash = "-10 hose"`, "dash = \"-10 hose\"\nbore = \"16 mm\"", "suction[3].dash", "-10 hose", "is given beside bore"},
			{"thick hose", `"-10 hose"`, `"-64 hose"`, "suction[3].dash", "101.6 mm", "is too large"},
			{"thin hose", `"-10 hose"`, `"-1 hose"`, "suction[3].dash", "1.587 mm", "is too small"},
			{"unknown in a segment", `ahead = "0.3 m"`, `front = "0.3 m"`, "suction[3].front", `"0.3 m"`, "one of part, bore, dash"},
			{"role", `role = "lift"`, `role = "booster"`, "pumps[1].role", `"booster"`, `one of "main", "lift"`},
			{"no lift pump", "role = \"lift\"\n", "", "surge_tank", "", "is filled by no pump"},
			{"only lift pumps", "part = \"Skerry 340\"\n", "role = \"lift\"\n", "pumps", "", "are all lift pumps"},
			{"count", "count = 2", "count = 20", "pumps[2].count", "20", "a whole number from 1 to 12"},
			{"wear", `wear = "4 %"`, `wear = "99 %"`, "pumps[2].wear", "0.99", "is too large"},
			{"pump's relief", `relief = "125 psi"`, `relief = "12.5 kPa"`, "pumps[2].relief", "12.5 kPa", "is too small"},
			{"curve's voltage", `voltage = "14 V", points = ["318`, `voltage = "140 V", points = ["318`, "pumps[2].curves[2].voltage", "140 V", "is too large"},
			{"current at some points", ` at 12.8 A"`, `"`, "pumps[2].curves[1].points", "145 L/h at 600 kPa", "the current has to be given at every point or at none"},
			{"current that falls", `at 12.8 A"`, `at 2.8 A"`, "pumps[2].curves[1].points", "2.8 A", "the current must not be less"},
			{"flow that rises", `"145 L/h at 600 kPa`, `"345 L/h at 600 kPa`, "pumps[2].curves[1].points", "345 L/h at 600 kPa", "the flow must not exceed that of the point before"},
			{"less flow at more voltage", `"202 L/h at 600 kPa`, `"102 L/h at 600 kPa`, "pumps[2].curves", "102 L/h at 600 kPa", "less flow at 14 V than at 12 V"},
			{"one point", `points = ["318 L/h at 200 kPa at 7.9 A", `, `points = ["318 L/h at 200 kPa at 7.9 A"] }, { voltage = "16 V", points = [`, "pumps[2].curves[2].points", "318 L/h at 200 kPa", "a curve has at least two points"},
			{"conductor", `conductor = "10 AWG"`, `conductor = "50 AWG"`, "pumps[2].wiring.conductor", `"50 AWG"`, "no gauge from 4/0 to 40 AWG"},
			{"wire", `length = "15 ft"`, `length = "15 mm"`, "pumps[2].wiring.length", "15 mm", "is too small"},
			{"wire back", `return = "2 ft"`, `return = "2000 ft"`, "pumps[2].wiring.return", "is too large", "want from"},
			{"wire hot", `temperature = "55 degC"`, `temperature = "555 degC"`, "pumps[2].wiring.temperature", "555 °C", "is too large"},
			{"allowance", `allowance = "8 %"`, `allowance = "800 %"`, "pumps[2].wiring.allowance", "8", "is too large"},
			{"contacts", `contacts = "6 mohm"`, `contacts = "6 ohm"`, "pumps[2].wiring.contacts", "6 Ω", "is too large"},
			{"feeds", `contacts = "6 mohm"`, "feeds = \"both\"", "pumps[2].wiring.feeds", `"both"`, `one of "each", "all"`},
			{"surge tank", `volume = "2.5 L"`, `volume = "2.5 mL"`, "surge_tank.volume", "0.0025 L", "is too small"},
			{"surge tank without a volume", "volume = \"2.5 L\"\n", "", "surge_tank.volume", "", "is missing; want a volume"},
			{"lift rise", `lift_rise = "18 kPa"`, `lift_rise = "-18 kPa"`, "surge_tank.lift_rise", "-18 kPa", "is too small; want from 0 kPa"},
			{"where the return goes", `return = "surge tank"`, `return = "the ground"`, "surge_tank.return", `"the ground"`, `one of "surge tank", "main tank"`},
			{"return line", `length = "10 ft"`, `length = "1000 ft"`, "return_line[1].length", "is too large", "want from"},
			{"inlet margin", `inlet_margin = "12 kPa"`, `inlet_margin = "12 bar"`, "policy.inlet_margin", "1200 kPa", "is too large"},
		},
		"driven.toml": {
			{"displacement", `"5.5 cc"`, `"5.5 L"`, "pumps[1].mechanical.displacement", "5.5 L", "is too large"},
			{"drive", "drive = 0.5", "drive = 50", "pumps[1].mechanical.drive", "50", "is too large; want from 0.05 to 10"},
			{"efficiency", "\nefficiency = \"92 %\"", "\nefficiency = \"102 %\"", "pumps[1].mechanical.efficiency", "1.02", "is too large"},
			{"efficiency missing", "\nefficiency = \"92 %\"\n", "\n", "pumps[1].mechanical.efficiency", "", "is missing"},
			{"test speed", `test_speed = "3000 rpm"`, `test_speed = "30 rpm"`, "pumps[1].mechanical.test_speed", "30 rpm", "is too small"},
			{"test pressure", `test_pressure = "100 psi"`, `test_pressure = "1000 psi"`, "pumps[1].mechanical.test_pressure", "1000 psi", "is too large"},
			{"test pressure absolute", `test_pressure = "100 psi"`, `test_pressure = "100 psia"`, "pumps[1].mechanical.test_pressure", `"100 psia"`, "absolute pressure cannot stand"},
			{"greatest speed", `"4500 rpm"`, `"45000 rpm"`, "pumps[1].mechanical.greatest_speed", "45000 rpm", "is too large"},
			{"curves beside mechanical", `relief = "150 psi"`, `curves = [{ voltage = "13.5 V", points = ["150 L/h at 300 kPa", "130 L/h at 400 kPa"] }]`, "pumps[1].curves", "", "are given beside mechanical; want one of the two"},
			{"wiring beside mechanical", "[pumps.mechanical]", "[pumps.wiring]\nconductor = \"10 AWG\"\nlength = \"3 m\"\n[pumps.mechanical]", "pumps[1].wiring", "", "is given beside mechanical"},
			{"neither", "[pumps.mechanical]", "[pumps.mechanics]", "pumps[1].mechanics", "a table", `perhaps "mechanical" is meant`},
			{"tube without its wall", `"-12 tube, wall 0.049 in"`, `"-12 tube"`, "feed_line.dash", `"-12 tube"`, "the wall is missing"},
			{"tube all wall", `wall 0.049 in`, `wall 0.49 in`, "feed_line.dash", "-12 tube, wall 0.49 in", "leaves no bore"},
			{"firing", `"batch"`, `"random"`, "injectors.firing", `"random"`, `one of "sequential", "batch"`},
		},
		"speed.toml": {
			{"reference", `kind = "manifold-referenced"`, `kind = "returnless"`, "regulator.kind", "returnless", "which control by pump speed has not"},
			{"least speed", `"35 %"`, `"3 %"`, "regulator.least_speed", "0.03", "is too small; want from 0.05 to 1"},
			{"relief", `"120 psi"`, `"1200 psi"`, "regulator.relief", "1200 psi", "is too large"},
			{"relief under the set point", `"120 psi"`, `"50 psi"`, "regulator.relief", "50 psi", "does not exceed base_pressure"},
			{"least return", `"35 %"`, "\"35 %\"\nleast_return = \"20 L/h\"", "regulator.least_return", "20 L/h", "belongs to a valve"},
			{"greatest return", `"35 %"`, "\"35 %\"\nmax_return = \"200 L/h\"", "regulator.max_return", "200 L/h", "belongs to a valve"},
			{"set flow", `"35 %"`, "\"35 %\"\nset_flow = \"20 L/h\"", "regulator.set_flow", "20 L/h", "belongs to a valve"},
			{"slope", `"35 %"`, "\"35 %\"\nslope = \"8 kPa per 100 L/h\"", "regulator.slope", "8 kPa per 100 L/h", "belongs to a valve"},
			{"return line", "[feed_line]", "[[return_line]]\nbore = \"8 mm\"\nlength = \"3 m\"\n[feed_line]", "return_line", "", "which returns nothing"},
			{"heat of the return", `feed = "90 W"`, "feed = \"90 W\"\nreturn = \"50 W\"", "heat.return", "50 W", "which returns nothing"},
			{"another pump", "[feed_line]", "[[pumps]]\ncurves = [{ voltage = \"13.5 V\", points = [\"150 L/h at 300 kPa\", \"130 L/h at 400 kPa\"] }]\n[feed_line]", "regulator.control", "pump speed", "controls more than one kind of pump"},
			{"lift pump in series", "[feed_line]", "[[pumps]]\nrole = \"lift\"\ncurves = [{ voltage = \"13.5 V\", points = [\"350 L/h at 0 kPa\", \"130 L/h at 100 kPa\"] }]\n[feed_line]", "regulator.control", "pump speed", "lift pumps only before a surge tank"},
			{"peak without its time", `"2.0 ohm, peak 4 A for 0.9 ms, hold 1 A"`, `"2.0 ohm, peak 4 A"`, "injectors.coil", `"2.0 ohm, peak 4 A"`, "want"},
		},
		"turbo.toml": {
			{"wiring without a current", "[feed_line]", "[pumps.wiring]\nconductor = \"10 AWG\"\nlength = \"4 m\"\n[feed_line]", "pumps[1].curves", "", "have no current beside wiring"},
		},
		"natural.toml": {
			{"rise of a regulator that follows nothing", `base_pressure = "4 bar"`, "base_pressure = \"4 bar\"\nrise = 2", "regulator.rise", "2", "manifold-referenced"},
			{"height without a line", "[regulator]", "[feed_line]\nrise = \"0.4 m\"\n[regulator]", "feed_line.bore", "", "is missing beside rise"},
			{"neither curves nor mechanical", `curves = [{ voltage = "13.5 V", points = ["150 L/h at 300 kPa", "130 L/h at 400 kPa", "95 L/h at 500 kPa"] }]`, `part = "any"`, "pumps[1].curves", "", "is missing; want curves such as"},
		},
	} {
		good, err := os.ReadFile("../testdata/sheets/" + sheet)
		if err != nil {
			t.Fatal(err)
		}
		for _, tt := range rows {
			t.Run(sheet+" "+tt.name, func(t *testing.T) { badSheet(t, string(good), tt) })
		}
	}
}

// TestDrivenBySpeed: a controller slows electric pumps, none that the engine drives.
func TestDrivenBySpeed(t *testing.T) {
	b := open(t, "driven.toml")
	b.Regulator.Control, b.Regulator.MaxReturn, b.ReturnLine = sizing.ByPumpSpeed, 0, nil
	err := b.Validate()
	if be := (*sizing.BuildError)(nil); !errors.As(err, &be) || len(be.Problems) != 1 || be.Problems[0].Field != "regulator.control" {
		t.Errorf("%v", err)
	}
	b.Regulator.MaxReturn = 300 * quantity.LitrePerHour
	if err := b.Validate(); err == nil || !strings.Contains(err.Error(), "belongs to a valve") {
		t.Errorf("%v", err)
	}
}
