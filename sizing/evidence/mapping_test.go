package evidence

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/evidence/table"
	"example.com/railbook/sizing/quantity"
)

func TestMappingMistakes(t *testing.T) {
	tests := []struct{ name, mapping, says string }{
		{"empty", "", `columns: is missing`},
		{"not TOML", "columns", `not TOML`},
		{"no speed", `[columns]
time = { column = "t" }
pulse = { column = "pw" }`, "columns.speed: is missing"},
		{"no pulse", `[columns]
time = { column = "t" }
speed = { column = "n" }`, "columns.pulse: is missing; want the column of pulse width, or columns.duty"},
		{"no time", `[columns]
speed = { column = "n" }
pulse = { column = "pw" }`, `columns.time: is missing; want the column of time, or log.interval such as "10 ms"`},
		{"time twice", `[log]
interval = "10 ms"
[columns]
time = { column = "t" }
speed = { column = "n" }
pulse = { column = "pw" }`, "line 2: log.interval: is given beside columns.time"},
		{"pulse and duty", `[columns]
time = { column = "t" }
speed = { column = "n" }
pulse = { column = "pw" }
duty = { column = "d" }`, "line 5: columns.duty: is given beside pulse; want one of them"},
		{"power and torque", usualMapping + `torque = { column = "Power", at = "crank" }`, "columns.torque: is given beside power"},
		{"pressure without reference", strings.Replace(usualMapping, `, reference = "gauge"`, "", 1), `columns.rail_pressure.reference: is missing; want one of "absolute", "gauge", "manifold"`},
		{"power without place", strings.Replace(usualMapping, `, at = "crank"`, "", 1), `columns.power.at: is missing; want one of "crank", "wheels"`},
		{"loss at the crank", strings.Replace(usualMapping, `at = "crank"`, `at = "crank", loss = "15 %"`, 1), "columns.power.loss: has no use at the crank"},
		{"loss of everything", strings.Replace(usualMapping, `at = "crank"`, `at = "wheels", loss = "80 %"`, 1), "columns.power.loss: is out of range"},
		{"unknown field", usualMapping + `egt = { column = "EGT" }`, "unknown name in columns"},
		{"mistyped field", strings.Replace(usualMapping, "lambda", "lamda", 1), `perhaps "lambda" is meant`},
		{"weather without correction", usualMapping + "[dynamometer]\nbarometer = \"98 kPa\"", "dynamometer.barometer: has no use without correction"},
		{"correction without weather", usualMapping + "[dynamometer]\ncorrection = \"SAE J1349\"", "dynamometer.barometer: is missing or out of range"},
		{"odd uncertainty", usualMapping + "[uncertainty]\npower = \"3 kW\"", `uncertainty.power = "3 kW"`},
		{"negative uncertainty", usualMapping + "[uncertainty]\npower = \"-3 %\"", "is below zero"},
		{"odd coverage", usualMapping + "[uncertainty]\npower = \"3 % k=0.5\"", "no coverage factor from 1 to 10"},
		{"rule out of range", usualMapping + "[rules]\nwindow = \"1 rpm\"", "rules.window = 1 rpm: is out of range; want from 20 rpm to 2000 rpm"},
		{"eight valves", usualMapping + "[log]\nvalves_per_cylinder = 8", "log.valves_per_cylinder: is out of range"},
		{"odd delimiter", usualMapping + "[log]\ndelimiter = \"pipe\"", `want one of "found", "comma", "semicolon", "tab"`},
		{"left open by a guess", strings.Replace(usualMapping, `"gauge"`, `"? absolute, gauge or manifold"`, 1), "is not a pressure's reference"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := ReadMapping("map.toml", []byte(tt.mapping))
			var me *MappingError
			if !errors.As(err, &me) || !strings.Contains(err.Error(), tt.says) {
				t.Errorf("error %v\nwant one that says %q", err, tt.says)
			}
		})
	}
}

// TestMappingDoesNotFit names what in a mapping does not fit a log.
func TestMappingDoesNotFit(t *testing.T) {
	a := demo(t)
	log := text(usual().rows(t), ",", false)
	with := func(old, new string) string { return strings.Replace(usualMapping, old, new, 1) }
	tests := []struct{ name, mapping, log, says string }{
		{"missing column", with(`"Engine speed"`, `"Engine sped"`), log, `columns.speed.column = "Engine sped": the log has no such column, perhaps "Engine speed" is meant; want one of "Time", "Engine speed", "Pulse width"`},
		{"part of a name", with(`"Fuel temperature"`, `"Fuel"`), log, `perhaps "Fuel pressure" or "Fuel temperature" is meant`},
		{"nothing near", with(`"Lambda"`, `"Kennfeld"`), log, `columns.lambda.column = "Kennfeld": the log has no such column; want`},
		{"place beyond the table", with(`"Lambda"`, `"column 14"`), log, "the table has 12"},
		{"duplicate column", usualMapping, strings.Replace(log, "Duty (%)", "Lambda (-)", 1), `"Lambda" is the name of columns 4 and 8; say "column 4" or "column 8"`},
		{"wrong unit in the header", usualMapping, strings.Replace(log, "Pulse width (ms)", "Pulse width (kPa)", 1), `columns.pulse.unit = "kPa": the header's unit of column "Pulse width (kPa)": unknown unit; want a time such as`},
		{"wrong unit in the mapping", with(`"Battery"`, `"Battery", unit = "psi"`), log, `columns.voltage.unit = "psi": the mapping's unit`},
		{"gauge said, absolute in the header", usualMapping, strings.Replace(log, "Fuel pressure (kPa)", "Fuel pressure (psia)", 1), "an absolute pressure cannot stand for a gauge pressure"},
		{"absolute said, gauge in the header", usualMapping, strings.Replace(log, "Manifold pressure (kPa)", "Manifold pressure (psig)", 1), "a gauge pressure cannot stand for an absolute one"},
		{"no unit at all", usualMapping, strings.Replace(log, "Battery (V)", "Battery", 1), `columns.voltage.unit: is missing, and the header of column "Battery" tells none`},
		{"manifold from itself", with(`"Manifold pressure", reference = "absolute"`, `"Manifold pressure", reference = "manifold"`), log, "a manifold pressure cannot be measured from itself"},
		{"wheels without loss", with(`at = "crank"`, `at = "wheels"`), log, "columns.power.loss: is missing, and the build sheet has no target.drivetrain_loss"},
		{"no manifold pressure", with(`manifold_pressure = { column = "Manifold pressure", reference = "absolute" }`, ""), log, "columns.manifold_pressure: is missing on a turbocharged engine"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Read(t.Context(), Source{Name: "log.csv", Text: strings.NewReader(tt.log)}, mapping(t, tt.mapping), a)
			var me *MappingError
			if !errors.As(err, &me) || !strings.Contains(err.Error(), tt.says) || !strings.Contains(err.Error(), "map.toml for log.csv") {
				t.Errorf("error %v\nwant one that says %q", err, tt.says)
			}
		})
	}
}

// TestColumnsThatCannotBe refuses columns that plainly hold something else.
func TestColumnsThatCannotBe(t *testing.T) {
	a := demo(t)
	rows := usual().rows(t)
	with := func(old, new string) string { return strings.Replace(usualMapping, old, new, 1) }
	blank := func(column int) string {
		lines := strings.Split(text(rows, ";", false), "\n")
		for i := range lines[1:] {
			if lines[i+1] != "" {
				lines[i+1] = put(column, "")(lines[i+1])
			}
		}
		return strings.Join(lines, "\n")
	}
	log := text(rows, ";", false)
	tests := []struct{ name, mapping, log, says string }{
		{"content in percent without a unit", usualMapping, strings.Replace(log, "Ethanol (%)", "Ethanol", 1), `ethanol: 1150 of 1150 values of column "Ethanol" lie outside -2 % to 102 %; read in plain numbers they go from 7000 % to 7000 %; is the unit right?`},
		{"milliseconds for seconds", with(`"Pulse width"`, `"Pulse width", unit = "s"`), log, `of column "Pulse width (ms)" lie outside`},
		{"no value anywhere", usualMapping, blank(9), `fuel_temperature: 1150 of 1150 cells of column "Fuel temperature (°C)" hold no number`},
		{"volts of another column", with(`"Battery"`, `"Lambda", unit = "V"`), log, "voltage: 1150 of 1150 values"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Read(t.Context(), Source{Name: "log.csv", Text: strings.NewReader(tt.log)}, mapping(t, tt.mapping), a)
			if !errors.Is(err, ErrChannel) || !strings.Contains(err.Error(), tt.says) {
				t.Errorf("error %v\nwant one that says %q", err, tt.says)
			}
		})
	}
}

func TestStated(t *testing.T) {
	root3 := math.Sqrt(3)
	for text, want := range map[string]float64{
		"2 %": 0.02 / root3, "± 2 %": 0.02 / root3, "0.02": 0.02 / root3, "2 % standard": 0.02, "2 % k=2": 0.01, "2 %  k = 2": 0.01, "0 %": 0,
	} {
		var s Stated[quantity.Ratio]
		if err := s.UnmarshalText([]byte(text)); err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		near(t, text, float64(s.Standard()), want, 1e-15)
		var back Stated[quantity.Ratio]
		if err := back.UnmarshalText([]byte(s.String())); err != nil || back != s {
			t.Errorf("%q prints as %q and comes back as %v, %v", text, s, back, err)
		}
	}
	var s Stated[quantity.PressureDiff]
	if err := s.UnmarshalText([]byte("1.5 psi k=2")); err != nil {
		t.Fatal(err)
	}
	near(t, "psi", s.Standard().In(quantity.PSI), 0.75, 1e-12)
	for _, text := range []string{"", "2", "2 % k", "k=2", "2 % k=x", "2 % k=99", "-1 kPa", "1 kPa standards"} {
		if err := s.UnmarshalText([]byte(text)); err == nil {
			t.Errorf("%q is read as %v", text, s)
		}
	}
}

// TestGuess finds the columns of logs by name and unit, and makes a mapping that is
// refused until what it leaves open is decided.
func TestGuess(t *testing.T) {
	tests := []struct {
		name, head string
		want       string // channel=column, in order
	}{
		{"plain", "Time (s),RPM,MAP (kPa),Fuel Pressure (kPa),Injector PW (ms),Lambda,Ethanol (%),Power (kW),Battery (V),Fuel Temp (°C),TPS (%)",
			"time=Time speed=RPM? pulse=Injector PW rail_pressure=Fuel Pressure manifold_pressure=MAP ethanol=Ethanol lambda=Lambda power=Power fuel_temperature=Fuel Temp voltage=Battery throttle=TPS"},
		{"words run together", "timestamp [s];engineSpeed [rpm];InjDuty [%];FuelRailPressure [bar];BoostPressure [bar];Torque [Nm];WastegateDuty [%]",
			"time=timestamp speed=engineSpeed duty=InjDuty rail_pressure=FuelRailPressure manifold_pressure=BoostPressure torque=Torque"},
		{"German", "Zeit (s);Drehzahl (1/min);Einspritzzeit (ms);Kraftstoffdruck (bar);Ladedruck (mbar);Leistung (kW)",
			"time=Zeit speed=Drehzahl pulse=Einspritzzeit rail_pressure=Kraftstoffdruck manifold_pressure=Ladedruck power=Leistung"},
		{"decoys", "Time (s),Wheel speed (km/h),Turbo RPM (rpm),Engine RPM (rpm),Boost target (kPa),Boost (kPa),Boost duty (%),Injector dead time (ms),Pulse width (ms),Lambda target,Lambda 1,Fuel pressure error (kPa)",
			"time=Time speed=Engine RPM pulse=Pulse width manifold_pressure=Boost lambda=Lambda 1"},
		{"the same name twice", "t (s),RPM (rpm),RPM (rpm),Duty (%)", "time=t speed=column 2 duty=Duty"},
		{"two sets", "Time (s),RPM (rpm),PW (ms),PW 2 (ms),MAP (kPa)", "time=Time speed=RPM pulse=PW secondary_pulse=PW 2 manifold_pressure=MAP"},
		{"nothing", "a,b,c", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			delimiter := ","
			if strings.Contains(tt.head, ";") {
				delimiter = ";"
			}
			row := strings.TrimSuffix(strings.Repeat("1"+delimiter, strings.Count(tt.head, delimiter)+1), delimiter)
			g, err := GuessMapping(strings.NewReader(tt.head+"\n"+row+"\n"+row+"\n"), table.Options{})
			if err != nil {
				t.Fatal(err)
			}
			var list []string
			for _, f := range g.Found {
				mark := ""
				if !f.Fits {
					mark = "?"
				}
				list = append(list, f.Channel+"="+f.Column+mark)
			}
			if got := strings.Join(list, " "); got != tt.want {
				t.Errorf("found\n%s\nwant\n%s", got, tt.want)
			}
			if len(g.Found)+len(g.Unused) > len(g.Columns) {
				t.Errorf("%d found and %d not used of %d columns", len(g.Found), len(g.Unused), len(g.Columns))
			}
		})
	}
}

// TestGuessedMapping takes a guess through to a log that is read, once a person has
// decided what it leaves open.
func TestGuessedMapping(t *testing.T) {
	log := text(usual().rows(t), ",", false)
	g, err := GuessMapping(strings.NewReader(log), table.Options{})
	if err != nil {
		t.Fatal(err)
	}
	guessed := g.Mapping()
	_, err = ReadMapping("guess.toml", []byte(guessed))
	for _, open := range []string{"rail_pressure.reference", "manifold_pressure.reference", "power.at"} {
		if err == nil || !strings.Contains(err.Error(), open) {
			t.Errorf("the guess leaves %s open, and is refused with %v", open, err)
		}
	}
	decided := strings.NewReplacer(
		`"? absolute, gauge or manifold"`, `"gauge"`, `"? absolute or gauge"`, `"absolute"`,
		`"? crank, or wheels and then loss beside it"`, `"crank"`,
	).Replace(guessed)
	m, err := ReadMapping("guess.toml", []byte(decided))
	if err != nil {
		t.Fatalf("%v\n%s", err, decided)
	}
	read := readText(t, log, m, demo(t))
	if len(read.Pulls) != 2 || len(read.Columns) != 11 {
		t.Fatalf("%d pulls, %d columns", len(read.Pulls), len(read.Columns))
	}
	near(t, "g/kWh", gkWh(read.Pulls[0].Average.Value), 550, 0.3)
	// What it says of uncertainties are the defaults.
	stated := strings.ReplaceAll(decided[strings.Index(decided, "[uncertainty]"):], "# ", "")
	full, err := ReadMapping("guess.toml", []byte(decided[:strings.Index(decided, "[uncertainty]")]+stated))
	if err != nil {
		t.Fatal(err)
	}
	if want, told := (Uncertainty{}).filled(true); full.Uncertainty != want || len(told) != 11 {
		t.Errorf("uncertainties %+v, want %+v", full.Uncertainty, want)
	}
}

// TestTOMLText writes any name so that it is read back.
func TestTOMLText(t *testing.T) {
	for _, name := range []string{"RPM", `3" pipe`, `a\b`, "Öl °C", "tab\tand\x01", "λ"} {
		m, err := ReadMapping("m.toml", []byte(fmt.Sprintf("[columns]\ntime = { column = %s }\nspeed = { column = \"n\" }\nduty = { column = \"d\" }\n", tomlText(name))))
		if err != nil || m.Columns.Time.Name != name {
			t.Errorf("%q: %v", name, err)
		}
	}
}
