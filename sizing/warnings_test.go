package sizing_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"strconv"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/air"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

// blended is the build on another fuel.
func blended(t *testing.T, b sizing.Build, name string) sizing.Build {
	t.Helper()
	f, err := fuel.Parse(name)
	if err != nil {
		t.Fatal(err)
	}
	return b.WithBlend(f)
}

// TestCautions wants each warning where there is cause for it, and not without. The
// names are those of the cause; a concern may have several.
func TestCautions(t *testing.T) {
	turbo, natural := open(t, "turbo.toml"), open(t, "natural.toml")
	surge, driven, speed, lift := open(t, "surge.toml"), open(t, "driven.toml"), open(t, "speed.toml"), open(t, "lift.toml")
	pumps := func(b *sizing.Build) []sizing.Pump {
		b.Pumps = slices.Clone(b.Pumps)
		return b.Pumps
	}
	wiring := func(w **sizing.Wiring) *sizing.Wiring {
		own := **w
		*w = &own
		return *w
	}
	told := map[sizing.Concern]bool{}
	for _, tt := range []struct {
		name    string
		concern sizing.Concern
		grave   bool
		build   sizing.Build
		change  func(b *sizing.Build)
	}{
		{"pumps too small", sizing.RailSags, true, turbo, func(b *sizing.Build) { pumps(b)[0].Count = 1 }},
		{"no differential", sizing.NoDifferential, true, turbo, func(b *sizing.Build) {
			b.Regulator.Kind, b.Regulator.BasePressure = regulator.Fixed, 15*quantity.PSI
		}},
		{"more power than injectors", sizing.DutyExceeded, false, turbo, func(b *sizing.Build) { *b = b.AtPower(750 * quantity.Horsepower) }},
		{"far more", sizing.DutyExceeded, true, turbo, func(b *sizing.Build) { *b = b.AtPower(950 * quantity.Horsepower) }},
		{"long least pulse", sizing.IdlePulse, false, turbo, func(b *sizing.Build) { b.Injectors.MinimumPulse = 2 * quantity.Millisecond }},
		{"lean", sizing.LeanAtLoad, true, turbo, func(b *sizing.Build) { b.Target.Lambda = 0.95 }},
		{"power without air", sizing.RoutesDisagree, false, turbo, func(b *sizing.Build) { b.Target.Power = 900 * quantity.Horsepower }},
		{"narrow feed line", sizing.LineVelocity, false, turbo, func(b *sizing.Build) { b.FeedLine.Bore = 6 * quantity.Millimetre }},
		{"narrow suction line", sizing.LineVelocity, false, surge, func(b *sizing.Build) {
			b.Suction = []sizing.Segment{{Bore: 9 * quantity.Millimetre, Length: 0.5 * quantity.Metre}}
		}},
		{"lossy feed line", sizing.LineLoss, false, turbo, func(b *sizing.Build) { b.FeedLine.Bore = 6 * quantity.Millimetre }},
		{"no feed line", sizing.NoLineGiven, false, turbo, func(b *sizing.Build) { b.FeedLine = sizing.Segment{} }},
		{"pump gasoline", sizing.ContentVaries, false, blended(t, turbo, "n-heptane"), func(b *sizing.Build) { *b = blended(t, *b, "E10") }},
		{"small regulator", sizing.ReturnFlow, false, turbo, func(b *sizing.Build) { b.Regulator.MaxReturn = 300 * quantity.LitrePerHour }},
		{"too little comes back", sizing.ReturnFlow, false, turbo, func(b *sizing.Build) { b.Regulator.LeastReturn = 300 * quantity.LitrePerHour }},
		{"one curve at another voltage", sizing.SupplyVoltage, false, turbo, func(b *sizing.Build) { pumps(b)[0].Curves = b.Pumps[0].Curves[:1] }},
		{"boost on a fixed rail", sizing.FixedRailBoosted, false, turbo, func(b *sizing.Build) {
			b.Regulator.Kind, b.Regulator.BasePressure = regulator.Fixed, 70*quantity.PSI
		}},
		{"methanol", sizing.Toxic, true, turbo, func(b *sizing.Build) { *b = blended(t, *b, "M50") }},
		{"nitrous oxide", sizing.NitrousSystem, true, turbo, func(b *sizing.Build) { b.Nitrous.Flow = 20 * quantity.GramPerSecond }},
		{"water-methanol", sizing.MethanolCredit, false, turbo, func(b *sizing.Build) { b.WaterMethanol.Flow = 300 * quantity.CCPerMinute }},
		{"water-methanol counted", sizing.MethanolCredit, true, turbo, func(b *sizing.Build) {
			b.WaterMethanol = sizing.WaterMethanol{Flow: 300 * quantity.CCPerMinute, Credit: sizing.Taken}
		}},
		{"corrected figure", sizing.CorrectedPower, false, turbo, func(b *sizing.Build) {
			b.Target.Correction, b.Target.DynoBarometer, b.Target.DynoTemperature = air.ISO1585, 98*quantity.Kilopascal, quantity.Celsius(27)
		}},
		{"warm tank", sizing.Boiling, false, lift, func(b *sizing.Build) { b.Tank.Temperature = quantity.Celsius(50) }},
		{"boiling tank", sizing.Boiling, true, lift, func(b *sizing.Build) { b.Tank.Temperature = quantity.Celsius(75) }},
		{"boiling rail", sizing.Boiling, true, natural, func(b *sizing.Build) {
			b.Regulator.BasePressure, b.Tank.Temperature, b.Fuel.Temperature = 80*quantity.KilopascalDiff, quantity.Celsius(20), quantity.Celsius(90)
		}},
		{"hot at idle", sizing.Boiling, true, driven, func(b *sizing.Build) { b.Heat.Feed = 18 * quantity.KilowattPower }},
		{"tank warms", sizing.Boiling, false, driven, func(b *sizing.Build) {
			b.Heat.Return, b.Tank.Fuel = 3*quantity.KilowattPower, 20*quantity.Litre
		}},
		{"lift pump before a surge tank", sizing.LiftShort, true, surge, func(b *sizing.Build) { pumps(b)[0].Wear = 0.5 }},
		{"lift pump in series", sizing.LiftShort, false, lift, func(b *sizing.Build) { pumps(b)[0].Wear = 0.5 }},
		{"long wire", sizing.Wired, false, speed, func(b *sizing.Build) { wiring(&pumps(b)[0].Wiring).Length = 15 * quantity.Metre }},
		{"wire that brings nothing", sizing.Wired, true, speed, func(b *sizing.Build) {
			w := wiring(&pumps(b)[0].Wiring)
			w.Contacts, w.Length, b.Pumps[0].Curves = 1*quantity.Ohm, 50*quantity.Metre, b.Pumps[0].Curves[2:]
		}},
		{"least speed too high", sizing.PumpControl, false, speed, func(b *sizing.Build) { b.Regulator.LeastSpeed = 0.7 }},
		{"tight return", sizing.RailCreeps, false, driven, func(b *sizing.Build) {
			b.ReturnLine = []sizing.Segment{{Bore: 3 * quantity.Millimetre, Length: 6 * quantity.Metre}}
		}},
		{"dead time at no such pressure", sizing.OutsideData, false, surge, func(b *sizing.Build) { b.Regulator.BasePressure = 70 * quantity.PSI }},
		{"dead time at no such voltage", sizing.OutsideData, false, turbo, func(b *sizing.Build) { b.Electrical.Voltage = 11 * quantity.Volt }},
		{"pump pressure", sizing.OutsideData, false, turbo, func(b *sizing.Build) { b.Regulator.BasePressure = 80 * quantity.PSI }},
		{"pump voltage", sizing.OutsideData, false, turbo, func(b *sizing.Build) { b.Electrical.PumpVoltage = 10 * quantity.Volt }},
		{"hot fuel", sizing.OutsideData, false, lift, func(b *sizing.Build) {
			b.Fuel.Temperature, b.Tank.Temperature = quantity.Celsius(-38), quantity.Celsius(20)
		}},
		{"shaft too fast", sizing.OutsideData, false, driven, func(b *sizing.Build) {
			m := *pumps(b)[0].Mechanical
			m.GreatestSpeed = 3000 * quantity.RPM
			b.Pumps[0].Mechanical = &m
		}},
		{"beyond the pump's test", sizing.OutsideData, false, driven, func(b *sizing.Build) { b.Regulator.BasePressure = 95 * quantity.PSI }},
		{"slowed below the curves", sizing.OutsideData, false, speed, func(b *sizing.Build) { pumps(b)[0].Curves = b.Pumps[0].Curves[2:] }},
		{"low pulse", sizing.IdlePulse, false, surge, func(b *sizing.Build) {
			b.Injectors.LowPulse, b.Injectors.MinimumPulse = injector.LowPulse{}, 1.62*quantity.Millisecond
		}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			has := func(b sizing.Build) bool {
				return slices.ContainsFunc(assess(t, b).Warnings, func(w sizing.Warning) bool {
					return w.Concern == tt.concern && w.Grave == tt.grave && len(w.Text) > 20
				})
			}
			if has(tt.build) {
				t.Fatalf("%s, grave %v: warned of without cause", tt.concern, tt.grave)
			}
			b := tt.build
			tt.change(&b)
			if !has(b) {
				t.Errorf("%s, grave %v: no warning among %+v", tt.concern, tt.grave, assess(t, b).Warnings)
			}
			told[tt.concern] = true
		})
	}
	for _, c := range concerns(t) {
		if !told[c] {
			t.Errorf("nothing here leads to a warning of %q", c)
		}
	}
}

// concerns reads the concerns that the package knows from its source.
func concerns(t *testing.T) []sizing.Concern {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), "warnings.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var list []sizing.Concern
	ast.Inspect(file, func(n ast.Node) bool {
		spec, ok := n.(*ast.ValueSpec)
		if !ok {
			return true
		}
		if typ, ok := spec.Type.(*ast.Ident); ok && typ.Name == "Concern" {
			for _, v := range spec.Values {
				text, err := strconv.Unquote(v.(*ast.BasicLit).Value)
				if err != nil {
					t.Fatal(err)
				}
				list = append(list, sizing.Concern(text))
			}
		}
		return true
	})
	if len(list) < 20 {
		t.Fatalf("only %d concerns were found", len(list))
	}
	return list
}
