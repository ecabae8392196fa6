package air

import (
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestCompressorExercise checks a textbook exercise quoted with its answers: 4 kg/s
// of air go from 1 bar, 25 °C to 4 bar, 200 °C with c_p 1.005 kJ/(kg K); the power
// is 703.5 kW and the isentropic efficiency 0.83 (Physics Forums, thread 400588).
func TestCompressorExercise(t *testing.T) {
	in := State{1 * quantity.Bar, quantity.Celsius(25)}
	ideal := Compressor{Ratio: 4, Efficiency: 1}.Outlet(in)
	efficiency := float64(ideal.Temperature.Less(in.Temperature)) / 175
	if math.Abs(efficiency-0.83) > 0.005 {
		t.Errorf("efficiency %.4f, want 0.83", efficiency)
	}
	c := Compressor{Ratio: 4, Efficiency: quantity.Ratio(efficiency)}
	out := c.Outlet(in)
	within(t, "outlet temperature", out.Temperature.Celsius(), 200, 1e-12)
	within(t, "outlet pressure", float64(out.Pressure), 4e5, 1e-15)
	within(t, "power", c.Power(in, 4*quantity.KilogramPerSecond).In(quantity.Kilowatt), 703.5, 5e-4) // c_p 1.005
}

// TestSuperchargerExample checks a textbook's supercharger: Rajput, A Textbook of
// Internal Combustion Engines, example 16.1, page 525, as worked in a public
// textbook companion. An engine of 735 kW at 0.350 kg/kWh and an air-fuel ratio of
// 12.8 is supercharged at a pressure ratio of 1.6 and an adiabatic efficiency of
// 0.7 from 325 K, with the air in proportion to density; the drive, of 90 %
// efficiency, takes 90.47 kW.
func TestSuperchargerExample(t *testing.T) {
	in := State{97.4 * quantity.Kilopascal, 325 * quantity.Kelvin} // 730 mmHg; cancels
	c := Compressor{Ratio: 1.6, Efficiency: 0.7}
	before := 0.350 * 735 * 12.8 / 3600
	air := before * float64(c.Outlet(in).Density()/in.Density())
	got := c.Power(in, quantity.MassFlow(air)).In(quantity.Kilowatt) / 0.9
	within(t, "power of the drive", got, 90.47, 5e-4) // c_p 1.005
}

// TestCompressorLibrary compares with isentropic_T_rise_compression of the fluids
// library 1.0.22 for k = 1.4; the case of 286.8 K is from its own tests.
func TestCompressorLibrary(t *testing.T) {
	for _, tt := range []struct{ inlet, ratio, efficiency, outlet float64 }{
		{286.8, 8, 1, 519.5230938217768},
		{286.8, 8, 0.78, 585.1629407971498},
		{298.15, 2.0, 0.70, 391.4341728586633},
		{300, 2.5, 0.75, 419.70528904376374},
		{288.15, 3, 0.78, 424.3703659345517},
		{310, 1.8, 0.60, 404.47999654704904},
	} {
		c := Compressor{Ratio: quantity.Ratio(tt.ratio), Efficiency: quantity.Ratio(tt.efficiency)}
		got := c.Outlet(State{1 * quantity.Bar, quantity.Temperature(tt.inlet)})
		within(t, "outlet temperature", float64(got.Temperature), tt.outlet, 1e-12)
	}
	// Its isentropic_work_compression for the same, per mass of 28.9644 g/mol.
	for _, tt := range []struct{ inlet, ratio, efficiency, work float64 }{
		{298.15, 2.0, 0.70, 93722.88700423468}, {288.15, 3, 0.78, 136861.00838888256},
	} {
		c := Compressor{Ratio: quantity.Ratio(tt.ratio), Efficiency: quantity.Ratio(tt.efficiency)}
		got := c.Power(State{1 * quantity.Bar, quantity.Temperature(tt.inlet)}, quantity.KilogramPerSecond)
		within(t, "work", float64(got), tt.work, 2e-5) // molar gas constant 8.314463 against 8.31432
	}
}

// TestCompressorRealAir shows the limit of a constant heat capacity: air of
// variable heat capacity from 12 °C at a ratio of 8 and 80 % leaves at 569.5 K
// (Çengel and Boles, Thermodynamics, example on a compressor's efficiency; from
// memory).
func TestCompressorRealAir(t *testing.T) {
	got := float64(Compressor{Ratio: 8, Efficiency: 0.8}.Outlet(State{1 * quantity.Bar, quantity.Temperature(285)}).Temperature)
	within(t, "outlet temperature", got, 569.5, 0.01)
	if got < 569.5 {
		t.Errorf("%.1f K: a constant heat capacity must give the hotter air", got)
	}
}

// TestCompressorLimits: efficiency 1 is isentropic, p/T^3.5 constant; ratio 1 does
// nothing; less efficiency is hotter and takes more power; stages in series at
// efficiency 1 make one compressor.
func TestCompressorLimits(t *testing.T) {
	in := State{98 * quantity.Kilopascal, quantity.Celsius(30)}
	entropy := func(s State) float64 { return float64(s.Pressure) / math.Pow(float64(s.Temperature), 3.5) }
	for ratio := quantity.Ratio(1); ratio <= 5; ratio += 0.25 {
		ideal := Compressor{Ratio: ratio, Efficiency: 1}.Outlet(in)
		within(t, "isentropic", entropy(ideal), entropy(in), 1e-13)
		last := quantity.Temperature(math.Inf(1))
		for e := quantity.Ratio(0.5); e <= 1; e += 0.05 {
			out := Compressor{Ratio: ratio, Efficiency: e}.Outlet(in)
			if ratio > 1 && out.Temperature >= last {
				t.Errorf("ratio %v: efficiency %v does not cool", ratio, e)
			}
			within(t, "ideal rise over real", float64(ideal.Temperature-in.Temperature), float64(e)*float64(out.Temperature-in.Temperature), 1e-9)
			last = out.Temperature
		}
		twice := Compressor{Ratio: ratio, Efficiency: 1}.Outlet(ideal)
		once := Compressor{Ratio: ratio * ratio, Efficiency: 1}.Outlet(in)
		within(t, "two stages", float64(twice.Temperature), float64(once.Temperature), 1e-13)
	}
	if out := (Compressor{Ratio: 1, Efficiency: 0.6}).Outlet(in); out != in {
		t.Errorf("ratio 1 turns %v into %v", in, out)
	}
}

// TestIntercoolerLimits: effectiveness 1 gives the coolant's temperature, 0 does
// nothing, and between them the charge is between the two, by the definition.
func TestIntercoolerLimits(t *testing.T) {
	hot := State{240 * quantity.Kilopascal, quantity.Celsius(140)}
	coolant := quantity.Celsius(30)
	full := Intercooler{Effectiveness: 1, Coolant: coolant, Loss: 10 * quantity.KilopascalDiff}.Outlet(hot)
	within(t, "effectiveness 1", float64(full.Temperature), float64(coolant), 1e-15)
	within(t, "loss", float64(full.Pressure), 230e3, 1e-15)
	if out := (Intercooler{}).Outlet(hot); out != hot {
		t.Errorf("no intercooler turns %v into %v", hot, out)
	}
	// By hand: 140 - 0.7 (140 - 30) = 63 °C.
	out := Intercooler{Effectiveness: 0.70, Coolant: coolant}.Outlet(hot)
	within(t, "effectiveness 0.7", out.Temperature.Celsius(), 63, 1e-12)
	// A hotter coolant heats: 40 + 0.5 (90 - 40) = 65 °C.
	out = Intercooler{Effectiveness: 0.5, Coolant: quantity.Celsius(90)}.Outlet(State{1 * quantity.Bar, quantity.Celsius(40)})
	within(t, "hot coolant", out.Temperature.Celsius(), 65, 1e-12)
}

// TestChargeByHand follows 100 kPa and 300 K through 2 kPa of filter, a compressor
// of 70 % and an intercooler of 80 % with 6 kPa to 190 kPa: the ratio is 196/98 = 2,
// the ideal rise 300 (2^(2/7) - 1) = 65.704 K, the real one 93.863 K, and a fifth of
// it is left.
func TestChargeByHand(t *testing.T) {
	c := Charging{
		InletLoss: 2 * quantity.KilopascalDiff, Efficiency: 0.70,
		Intercooler: Intercooler{Effectiveness: 0.80, Coolant: quantity.Temperature(300), Loss: 6 * quantity.KilopascalDiff},
	}
	got := c.Charge(State{100 * quantity.Kilopascal, quantity.Temperature(300)}, 190*quantity.Kilopascal)
	within(t, "ratio", float64(got.Ratio), 2, 1e-14)
	within(t, "inlet", float64(got.Inlet.Pressure), 98e3, 1e-14)
	within(t, "discharge pressure", float64(got.Discharge.Pressure), 196e3, 1e-14)
	within(t, "discharge temperature", float64(got.Discharge.Temperature), 393.863, 1e-6)
	within(t, "charge temperature", float64(got.Manifold.Temperature), 300+93.863/5, 1e-6)
	within(t, "manifold pressure", float64(got.Manifold.Pressure), 190e3, 1e-15)
	within(t, "power", float64(got.Power(0.5*quantity.KilogramPerSecond)), 0.5*1004.685*93.863, 1e-5)
}

// TestChargeAgreesWithItsParts holds the way through to its parts over a grid, and
// wants losses to make the charge hotter.
func TestChargeAgreesWithItsParts(t *testing.T) {
	ambient := State{95 * quantity.Kilopascal, quantity.Celsius(35)}
	cooler := Intercooler{Effectiveness: 0.65, Coolant: quantity.Celsius(40), Loss: 8 * quantity.KilopascalDiff}
	c := Charging{InletLoss: 3 * quantity.KilopascalDiff, Efficiency: 0.68, Intercooler: cooler}
	free := Charging{Efficiency: 0.68, Intercooler: Intercooler{Effectiveness: 0.65, Coolant: quantity.Celsius(40)}}
	last := quantity.Temperature(0)
	for p := 100 * quantity.Kilopascal; p <= 400*quantity.Kilopascal; p += 10 * quantity.Kilopascal {
		got := c.Charge(ambient, p)
		parts := cooler.Outlet(Compressor{Ratio: got.Ratio, Efficiency: 0.68}.Outlet(got.Inlet))
		within(t, "pressure of the parts", float64(parts.Pressure), float64(p), 1e-14)
		within(t, "temperature of the parts", float64(parts.Temperature), float64(got.Manifold.Temperature), 1e-14)
		if got.Manifold.Temperature <= last {
			t.Errorf("%v: the charge does not get hotter with boost", p)
		}
		if free.Charge(ambient, p).Manifold.Temperature >= got.Manifold.Temperature {
			t.Errorf("%v: losses do not make the charge hotter", p)
		}
		last = got.Manifold.Temperature
	}
}

// Below ambient the compressor idles and a throttle takes the rest; without air
// there is no charge.
func TestChargeThrottled(t *testing.T) {
	ambient := State{100 * quantity.Kilopascal, quantity.Celsius(20)}
	c := Charging{Efficiency: 0.7}
	got := c.Charge(ambient, 60*quantity.Kilopascal)
	if got.Ratio != 1 || got.Manifold != (State{60 * quantity.Kilopascal, ambient.Temperature}) || got.Power(quantity.KilogramPerSecond) != 0 {
		t.Errorf("throttled: %+v", got)
	}
	c.InletLoss = 100 * quantity.KilopascalDiff
	if got := c.Charge(ambient, 200*quantity.Kilopascal); got != (Charge{}) {
		t.Errorf("no air: %+v", got)
	}
}

func TestChargingValidate(t *testing.T) {
	good := Charging{InletLoss: 2 * quantity.KilopascalDiff, Efficiency: 0.7, Intercooler: Intercooler{Effectiveness: 0.7, Coolant: quantity.Celsius(25), Loss: 5 * quantity.KilopascalDiff}}
	if err := good.Validate(); err != nil {
		t.Errorf("good: %v", err)
	}
	if err := (Charging{Efficiency: 1}).Validate(); err != nil {
		t.Errorf("without losses and intercooler: %v", err)
	}
	for _, tt := range []struct {
		spoil func(*Charging)
		says  string
	}{
		{func(c *Charging) { c.InletLoss = -1 * quantity.KilopascalDiff }, "inlet pressure loss"},
		{func(c *Charging) { c.Efficiency = 0 }, "isentropic efficiency"},
		{func(c *Charging) { c.Efficiency = 70 }, "isentropic efficiency"},
		{func(c *Charging) { c.Efficiency = quantity.Ratio(math.NaN()) }, "isentropic efficiency"},
		{func(c *Charging) { c.Intercooler.Effectiveness = 1.2 }, "intercooler effectiveness"},
		{func(c *Charging) { c.Intercooler.Coolant = 0 }, "coolant temperature"},
		{func(c *Charging) { c.Intercooler.Loss = -1 * quantity.KilopascalDiff }, "intercooler pressure loss"},
	} {
		c := good
		tt.spoil(&c)
		if err := c.Validate(); err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%+v: error %v, want one on %s", c, err, tt.says)
		}
	}
	if err := (Compressor{Ratio: 0.9, Efficiency: 0.7}).Validate(); err == nil || !strings.Contains(err.Error(), "pressure ratio") {
		t.Errorf("a compressor that expands: %v", err)
	}
	if err := (Compressor{Ratio: 2, Efficiency: 0.7}).Validate(); err != nil {
		t.Errorf("a good compressor: %v", err)
	}
}
