package quantity_test

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	. "example.com/railbook/sizing/quantity"
)

// near reports whether got is want within a relative tolerance.
func near(got, want, tol float64) bool {
	return math.Abs(got-want) <= tol*math.Max(math.Abs(want), 1e-300)
}

// TestConversionFactors holds the unit constants against NIST SP 811 (2008),
// appendix B.8; factors exact by definition are given with every digit.
func TestConversionFactors(t *testing.T) {
	tests := []struct {
		name      string
		got, want float64
		tol       float64
	}{
		{"horsepower (550 ft lbf/s), SP 811: 7.456999 E+02 W", float64(Horsepower), 745.699871582, 1e-12},
		{"horsepower (metric), SP 811: 7.354988 E+02 W", float64(MetricHorsepower), 735.49875, 1e-15},
		{"pound-force per square inch, SP 811: 6.894757 E+03 Pa", float64(PSI), 6894.757293168, 1e-12},
		{"inch of mercury, conventional, SP 811: 3.386389 E+03 Pa", float64(InchMercury), 3386.389, 1e-12},
		{"torr, SP 811: 1.333224 E+02 Pa", float64(Torr), 133.3223684, 1e-9},
		{"inch of water, conventional, SP 811: 2.490889 E+02 Pa", float64(InchWaterDiff), 249.0889, 1e-6},
		{"gallon (US), exact", float64(Gallon), 3.785411784e-3, 1e-15},
		{"gallon (Imperial), exact", float64(GallonUK), 4.54609e-3, 1e-15},
		{"pound, exact", float64(Pound), 0.45359237, 1e-15},
		{"cubic inch, SP 811: 1.638706 E-05 m3", float64(CubicInch), 16.387064e-6, 1e-12},
		{"cubic foot, SP 811: 2.831685 E-02 m3", float64(CubicFoot), 2.831685e-2, 1e-6},
		{"foot pound-force, SP 811: 1.355818 N m", float64(PoundFoot), 1.3558179483314, 1e-12},
		{"pound per hour, SP 811: 1.259979 E-04 kg/s", float64(PoundPerHour), 1.25997880556e-4, 1e-11},
		{"pound per horsepower hour, SP 811: 1.689659 E-07 kg/J", float64(PoundPerHorsepowerHour), 1.689659e-7, 1e-6},
		{"pound per horsepower hour in g/kWh", PoundPerHorsepowerHour.In(GramPerKilowattHour), 608.277387842, 1e-12},
		{"pound per gallon (US), SP 811: 1.198264 E+02 kg/m3", float64(PoundPerGallon), 119.826427317, 1e-11},
		{"pound per cubic foot, SP 811: 1.601846 E+01 kg/m3", float64(PoundPerCubicFoot), 16.01846, 1e-6},
		{"Btu (IT) per pound, exact", float64(BtuPerPound), 2326, 1e-15},
		{"Btu (IT) per hour, SP 811: 2.930711 E-01 W", float64(BtuPerHour), 2.930711e-1, 2e-7},
		{"Btu (IT) per pound degree Fahrenheit, SP 811: 4.1868 E+03 J/(kg K), exact", float64(BtuPerPoundFahrenheit), 4186.8, 1e-15},
		{"mile per hour, exact", float64(MilePerHour), 0.44704, 1e-15},
		{"revolution per minute, SP 811: 1.047198 E-01 rad/s", float64(RPM), 1.047198e-1, 1e-6},
		{"gallon per minute, SP 811: 6.309020 E-05 m3/s", float64(GallonPerMinute), 6.309020e-5, 1e-6},
		{"100 degF in K, SP 811 (t + 459.67)/1.8", float64(Fahrenheit(100)), 559.67 / 1.8, 1e-15},
		{"psi in bar", BarDiff.In(PSI), 14.503773773, 1e-10},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if !near(tt.got, tt.want, tt.tol) {
				t.Errorf("got %.13g, want %.13g within %g", tt.got, tt.want, tt.tol)
			}
		})
	}
}

// TestTorquePower checks the constant that relates torque in lb ft and speed in
// rpm to horsepower, 33000 ft lbf/min over 2 pi, from the definitions.
func TestTorquePower(t *testing.T) {
	speed := 33000 / (2 * math.Pi) * RPM
	if got := PoundFoot.Power(speed).In(Horsepower); !near(got, 1, 1e-12) {
		t.Errorf("1 lb ft at 33000/(2 pi) rpm makes %v hp, want 1", got)
	}
	if got := speed.In(RPM); math.Round(got) != 5252 {
		t.Errorf("constant is %v, want 5252 when rounded", got)
	}
	p := 640 * Horsepower
	if back := p.At(7200 * RPM).Power(7200 * RPM); !near(float64(back), float64(p), 1e-15) {
		t.Errorf("power through torque and back: %v, want %v", back, p)
	}
}

func TestParse(t *testing.T) {
	check := func(name string, got float64, err error, want float64) {
		t.Helper()
		if err != nil {
			t.Errorf("%s: %v", name, err)
		} else if !near(got, want, 1e-14) {
			t.Errorf("%s: got %v, want %v", name, got, want)
		}
	}
	for text, want := range map[string]float64{
		"14 psi": 14 * float64(PSI), "14psi": 14 * float64(PSI), "14 PSI": 14 * float64(PSI), "14 psig": 14 * float64(PSI),
		"0.9 bar": 9e4, "96.5 kPa": 96.5e3, "-3 inHg": -3 * float64(InchMercuryDiff), "1.5e2 kPa": 1.5e5, ".5 bar": 5e4, "+2 bar": 2e5, "2. bar": 2e5,
	} {
		got, err := Parse[PressureDiff](text)
		check(text, float64(got), err, want)
	}
	for text, want := range map[string]float64{"38 degC": 311.15, "38 °C": 311.15, "38C": 311.15, "95 degF": 308.15, "95 °F": 308.15, "300 K": 300} {
		got, err := Parse[Temperature](text)
		check(text, float64(got), err, want)
	}
	for text, want := range map[string]float64{"340 L/h": 340e-3 / 3600, "340 lph": 340e-3 / 3600, "1000 cc/min": 1e-3 / 60, "1000 cm³/min": 1e-3 / 60, "90 gph": 90 * float64(GallonPerHour)} {
		got, err := Parse[VolumeFlow](text)
		check(text, float64(got), err, want)
	}
	for text, want := range map[string]float64{"0.62 lb/(hp h)": 0.62, "0.62 lb/hp-h": 0.62, "0.62 lb/(hp·h)": 0.62, "0.62 lb/hp/h": 0.62} {
		got, err := Parse[SpecificConsumption](text)
		check(text, float64(got), err, want*float64(PoundPerHorsepowerHour))
	}
	for text, want := range map[string]float64{"85 %": 0.85, "85%": 0.85, "0.85": 0.85} {
		got, err := Parse[Ratio](text)
		check(text, float64(got), err, want)
	}
	for text, want := range map[string]float64{"4 mPa s": 4e-3, "0.5 cP": 0.5e-3} {
		got, err := Parse[Viscosity](text)
		check(text, float64(got), err, want)
	}
	for text, want := range map[string]float64{"300 W": 300, "0.3kW": 300, "1000 Btu/h": 293.07107017222} {
		got, err := Parse[Power](text)
		check(text, float64(got), err, want)
	}
	for text, want := range map[string]float64{"2.1 kJ/(kg K)": 2100, "2100 J/kg/K": 2100, "0.5 Btu/(lb °F)": 2093.4, "0.5 btu/lb-f": 2093.4} {
		got, err := Parse[SpecificHeat](text)
		check(text, float64(got), err, want)
	}
	for text, want := range map[string]float64{"2 MPa": 2e6, "2 kpa": 2e3} {
		got, err := Parse[Pressure](text)
		check(text, float64(got), err, want)
	}
}

func parseErr[Q Quantity](text string) error {
	_, err := Parse[Q](text)
	return err
}

// TestParseErrors wants each message to say what was wrong and what is accepted.
func TestParseErrors(t *testing.T) {
	tests := []struct {
		text string
		err  error
		kind error
		says string
	}{
		{"14 pis", parseErr[PressureDiff]("14 pis"), ErrSyntax, `unknown unit "pis"`},
		{"14", parseErr[PressureDiff]("14"), ErrSyntax, "unit is missing"},
		{"14 psia", parseErr[PressureDiff]("14 psia"), ErrSyntax, "absolute pressure cannot stand for a gauge"},
		{"14 psig", parseErr[Pressure]("14 psig"), ErrSyntax, "gauge pressure cannot stand for an absolute"},
		{"-5 kPa", parseErr[Pressure]("-5 kPa"), ErrRange, "below the least possible value, 0 kPa"},
		{"-300 degC", parseErr[Temperature]("-300 degC"), ErrRange, "below the least possible value"},
		{"3,4 L", parseErr[Volume]("3,4 L"), ErrSyntax, `write "3.4 L"`},
		{"fourteen psi", parseErr[PressureDiff]("fourteen psi"), ErrSyntax, "no number"},
		{"", parseErr[PressureDiff](""), ErrSyntax, "no number"},
		{"1e999 psi", parseErr[PressureDiff]("1e999 psi"), ErrRange, "too large"},
		{"120 %", parseErr[VolumeFraction]("120 %"), ErrRange, "above the greatest"},
		{"640 whp", parseErr[CrankPower]("640 whp"), ErrSyntax, "wheel power cannot stand for crank power"},
		{"NaN psi", parseErr[PressureDiff]("NaN psi"), ErrSyntax, "no number"},
		{"1 hp", parseErr[Power]("1 hp"), ErrSyntax, "the power of an engine cannot stand for electric power"},
		{"-3 W", parseErr[Power]("-3 W"), ErrRange, "below the least possible value, 0 W"},
		{"300", parseErr[Power]("300"), ErrSyntax, "unit is missing"},
		{"2 kJ/kg", parseErr[SpecificHeat]("2 kJ/kg"), ErrSyntax, `such as "2.1 kJ/(kg K)"`},
		{"2 mpa", parseErr[PressureDiff]("2 furlong"), ErrSyntax, `such as "43.5 psi"`},
	}
	for _, tt := range tests {
		t.Run(tt.text, func(t *testing.T) {
			if !errors.Is(tt.err, tt.kind) {
				t.Fatalf("error %v, want kind %v", tt.err, tt.kind)
			}
			if !strings.Contains(tt.err.Error(), tt.says) {
				t.Errorf("error %q does not say %q", tt.err, tt.says)
			}
		})
	}
}

func TestFormat(t *testing.T) {
	tests := []struct{ got, want string }{
		{Format(3*BarDiff, SI), "300 kPa"},
		{Format(3*BarDiff, US), "43.51 psi"},
		{Format(640*Horsepower, US), "640 hp"},
		{Format(640*Horsepower, SI), "477.2 kW"},
		{Format(Celsius(38), SI), "38 °C"},
		{Format(Celsius(38), US), "100.4 °F"},
		{Format(0.62*PoundPerHorsepowerHour, SI), "377.1 g/kWh"},
		{Format(0.62*PoundPerHorsepowerHour, US), "0.62 lb/(hp·h)"},
		{FormatIn(1*LitrePerMinute, CCPerMinute), "1000 cc/min"},
		{Format(300*WattPower, US), "300 W"},
		{FormatIn(300*WattPower, BtuPerHour), "1024 Btu/h"},
		{(2.08 * KilojoulePerKilogramKelvin).String(), "2.08 kJ/(kg·K)"},
		{Format(2.08*KilojoulePerKilogramKelvin, US), "0.4968 Btu/(lb·°F)"},
		{Format(VolumeFraction(0.7), SI), "70 %"},
		{Ratio(0.85).String(), "0.85"},
		{Ratio(0.8537).Percent(1), "85.4 %"},
		{Digits(14159.6, 4), "14160"},
		{Digits(-0.0000001, 3), "-1e-07"},
		{Digits(math.Copysign(0, -1), 3), "0"},
		{Symbol(CCPerMinute), "cc/min"},
		{UnitSymbol[PressureDiff](US), "psi"},
	}
	for _, tt := range tests {
		if tt.got != tt.want {
			t.Errorf("got %q, want %q", tt.got, tt.want)
		}
	}
}

// TestElectricPower: 12 A at 13.5 V are 162 W by the definition of the volt.
func TestElectricPower(t *testing.T) {
	if got := (13.5 * Volt).Power(12 * Ampere); got != 162*WattPower || got.In(KilowattPower) != 0.162 {
		t.Errorf("13.5 V and 12 A are %v", got)
	}
}

func TestGaugeAndAbsolute(t *testing.T) {
	ambient := 98 * Kilopascal
	boost := 14 * PSI
	abs := boost.Above(ambient)
	if got := abs.Above(ambient); !near(float64(got), float64(boost), 1e-14) {
		t.Errorf("boost through absolute pressure and back: %v, want %v", got, boost)
	}
}

func TestWheelAndCrank(t *testing.T) {
	// Common practice, no source: 750 hp at the wheels is about 850 at the crank.
	crank := (750 * HorsepowerAtWheel).Crank(0.12)
	if got := crank.In(Horsepower); math.Abs(got-850) > 3 {
		t.Errorf("crank power %v hp, want about 850", got)
	}
	if got := crank.Wheel(0.12).In(HorsepowerAtWheel); !near(got, 750, 1e-14) {
		t.Errorf("back at the wheels: %v, want 750", got)
	}
	if !math.IsInf(float64(WheelPower(1).Crank(1)), 1) {
		t.Error("a drivetrain that loses everything must give infinite crank power")
	}
}

// roundTrip checks that text brings back the same bits.
func roundTrip[Q interface {
	Quantity
	MarshalText() ([]byte, error)
}, P interface {
	*Q
	UnmarshalText([]byte) error
}](t *testing.T, values ...Q) {
	t.Helper()
	for _, v := range values {
		text, err := v.MarshalText()
		if err != nil {
			t.Fatal(err)
		}
		var back Q
		if err := P(&back).UnmarshalText(text); err != nil {
			t.Fatal(err)
		}
		if back != v {
			t.Errorf("%T: %s reads back as %v, want %v", v, text, float64(back), float64(v))
		}
	}
}

func TestTextRoundTrip(t *testing.T) {
	roundTrip(t, Of(0.1+0.2, BarDiff), -1*PSI)
	roundTrip(t, Of(1.0/3, Bar))
	roundTrip(t, Celsius(38), Fahrenheit(95))
	roundTrip(t, Of(1.0/3, PoundPerHour))
	roundTrip(t, Of(441.7, CCPerMinute))
	roundTrip(t, Of(0.615, PoundPerHorsepowerHour))
	roundTrip(t, Of(1.0/3, BtuPerHour), 0.1*KilowattPower)
	roundTrip(t, Of(0.1, BtuPerPoundFahrenheit), 2.08*KilojoulePerKilogramKelvin)
	roundTrip(t, Ratio(0.85), Ratio(1.0/3))
	roundTrip(t, VolumeFraction(0.7))

	data, err := json.Marshal(map[string]PressureDiff{"base": 300 * KilopascalDiff})
	if err != nil || string(data) != `{"base":"300000 Pa"}` {
		t.Errorf("JSON %s, %v", data, err)
	}
	if _, err := PressureDiff(math.NaN()).MarshalText(); err == nil {
		t.Error("NaN was written as if it were a value")
	}
}

// FuzzParse wants no panic, no NaN, and the same bits back from what parses.
func FuzzParse(f *testing.F) {
	for _, seed := range []string{
		"14 psi",  // the usual
		"3,4 bar", // decimal comma
		"1e3kPa",  // exponent against the unit
		"2e",      // no digits behind the exponent
		"-.5 bar", // no digit before the point
		"1e400 Pa", "0x10 Pa", "Inf Pa", "14 psi abs", "٣ bar", "\xff bar", "1 \u00a0bar",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := Parse[PressureDiff](text)
		if err != nil {
			var pe *ParseError
			if !errors.As(err, &pe) || p != 0 {
				t.Fatalf("Parse(%q) = %v, %v: want zero and a *ParseError", text, p, err)
			}
			return
		}
		if math.IsNaN(float64(p)) || math.IsInf(float64(p), 0) {
			t.Fatalf("Parse(%q) = %v", text, p)
		}
		out, err := p.MarshalText()
		if err != nil {
			t.Fatal(err)
		}
		if back := MustParse[PressureDiff](string(out)); back != p {
			t.Fatalf("%q parses to %v, which reads back as %v", text, float64(p), float64(back))
		}
	})
}
