package injector

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// near fails the test unless got is within the relative tolerance of want.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s = %.10g, want %.10g within %g", what, got, want, tolerance)
	}
}

func mustParse(t testing.TB, text string) Rating {
	t.Helper()
	r, err := ParseRating(text)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestFlowPressure checks the square root of the pressure ratio. The ratios are
// arithmetic; the pair of flows is common practice, no source, and practitioners
// round it down to 160.
func TestFlowPressure(t *testing.T) {
	r := mustParse(t, "142 lb/h at 43.5 psi")
	same := r.Density()
	near(t, "142 lb/h at 43.5 psi, at 58 psi", r.Flow(same, 58*quantity.PSI).In(quantity.PoundPerHour), 164, 0.5/164)
	near(t, "the same, exactly", r.Flow(same, 58*quantity.PSI).In(quantity.PoundPerHour), 142*math.Sqrt(58/43.5), 1e-14)

	three := mustParse(t, "440 cc/min at 3 bar")
	for bar, ratio := range map[float64]float64{2.5: 0.912871, 3: 1, 3.5: 1.080123, 4: 1.154701, 5: 1.290994, 5.5: 1.354006} {
		got := float64(three.Flow(three.Density(), quantity.Of(bar, quantity.BarDiff)) / three.Mass())
		if math.Abs(got-ratio) > 0.5e-6 {
			t.Errorf("flow at %g bar over flow at 3 bar = %.7f, want %.6f", bar, got, ratio)
		}
	}
}

// TestFlowFluid checks the square root of the density ratio against arithmetic done
// apart: from n-heptane at 684 to gasoline at 745 kg/m³ mass flow goes up by
// 1.043638 and volume flow down by 0.958186. The rating's own density of n-heptane
// is near that, so the ratio is corrected for the difference.
func TestFlowFluid(t *testing.T) {
	r := mustParse(t, "440 cc/min at 3 bar on n-heptane")
	gasoline := 745 * quantity.KilogramPerCubicMetre
	own := math.Sqrt(float64(r.Density()) / 684)
	mass := r.Flow(gasoline, 3*quantity.BarDiff)
	near(t, "mass flow ratio", float64(mass/r.Mass())*own, 1.043638, 5e-7)
	near(t, "volume flow ratio", float64(mass.Volume(gasoline)/r.Volume())/own, 0.958186, 1e-6)

	// Rated on the fuel itself, nothing changes but the pressure.
	on := mustParse(t, "60 lb/h at 300 kPa on gasoline")
	near(t, "on the fuel of the test", on.Flow(on.Density(), 300*quantity.KilopascalDiff).In(quantity.PoundPerHour), 60, 1e-14)
}

// TestFlowOrifice compares with Bernoulli's equation computed apart: Cd 0.6, a
// hole of 0.5 mm, n-heptane at 684 kg/m³, 300 kPa gives 2.386628 g/s and
// 209.3534 cc/min.
func TestFlowOrifice(t *testing.T) {
	orifice := func(rho, dp float64) float64 {
		return 0.6 * math.Pi / 4 * 0.5e-3 * 0.5e-3 * math.Sqrt(2*rho*dp)
	}
	near(t, "the orifice", 1e3*orifice(684, 300e3), 2.386628, 2e-7)
	r := mustParse(t, "2.386628 g/s at 300 kPa")
	scale := orifice(684, 300e3) / orifice(float64(r.Density()), 300e3)
	for _, rho := range []float64{684, 745, 789} {
		for _, dp := range []float64{50e3, 300e3, 700e3} {
			got := float64(r.Flow(quantity.Density(rho), quantity.PressureDiff(dp)))
			near(t, fmt.Sprintf("flow at %g kg/m³, %g Pa", rho, dp), got, scale*orifice(rho, dp), 2e-7)
		}
	}
}

// TestDefaultFluid: the density of n-heptane at 20 °C is 683.8 kg/m³ in the CRC
// Handbook (from memory) and 683.82 by the VDI Heat Atlas fit in the chemicals
// library.
func TestDefaultFluid(t *testing.T) {
	r := mustParse(t, "440 cc/min at 3 bar")
	if !r.FluidAssumed() || r.Fluid() != "n-heptane" || r.Temperature() != quantity.Celsius(20) {
		t.Errorf("assumed %v, fluid %q at %v", r.FluidAssumed(), r.Fluid(), r.Temperature())
	}
	near(t, "density", float64(r.Density()), 683.82, 1e-3)
	near(t, "mass flow in g/s", r.Mass().In(quantity.GramPerSecond), 440.0/60*0.68382, 1e-3)

	named := mustParse(t, "440 cc/min at 3 bar on n-heptane")
	if named.FluidAssumed() || named.Density() != r.Density() || named == r {
		t.Errorf("named: assumed %v, density %v and %v", named.FluidAssumed(), named.Density(), r.Density())
	}
	warm := mustParse(t, "440 cc/min at 3 bar on n-heptane at 40 degC")
	near(t, "density at 40 °C", float64(warm.Density()), 666.70, 1e-3) // VDI Heat Atlas fit, as above
}

// TestFlowProperties: no flow without pressure, then rising without a jump, and
// DifferentialFor undoes it.
func TestFlowProperties(t *testing.T) {
	r := mustParse(t, "440 cc/min at 3 bar")
	rho := 745 * quantity.KilogramPerCubicMetre
	for _, dp := range []float64{0, -1, -3e5, math.NaN()} {
		if got := r.Flow(rho, quantity.PressureDiff(dp)); got != 0 {
			t.Errorf("flow at %g Pa = %v, want none", dp, got)
		}
	}
	last := quantity.MassFlow(0)
	for dp := 1e-9; dp < 1e9; dp *= 1.01 {
		m := r.Flow(rho, quantity.PressureDiff(dp))
		if !(m > last) || last > 0 && float64(m/last) > 1.006 {
			t.Fatalf("flow goes from %g to %g kg/s at %g Pa", float64(last), float64(m), dp)
		}
		near(t, "differential back", float64(r.DifferentialFor(m, rho)), dp, 1e-14)
		last = m
	}
	if got := r.DifferentialFor(0, rho); got != 0 {
		t.Errorf("differential for no flow = %v", got)
	}
	if got := r.DifferentialFor(last, 0); !math.IsInf(float64(got), 1) {
		t.Errorf("differential without density = %v, want +Inf", got)
	}
	var none Rating
	if got := none.Flow(rho, 3*quantity.BarDiff); got != 0 {
		t.Errorf("no rating delivers %v", got)
	}
	if got := none.DifferentialFor(last, rho); !math.IsInf(float64(got), 1) {
		t.Errorf("differential of no rating = %v, want +Inf", got)
	}
}

func TestNewRating(t *testing.T) {
	e85, err := fuel.Parse("E85")
	if err != nil {
		t.Fatal(err)
	}
	in := Conditions{Pressure: 300 * quantity.KilopascalDiff, Fluid: e85, Temperature: quantity.Celsius(25)}
	r, err := NewRating(100*quantity.PoundPerHour, in)
	if err != nil {
		t.Fatal(err)
	}
	if want := mustParse(t, "100 lb/h at 300 kPa on E85 at 25 degC"); r != want {
		t.Errorf("NewRating %+v, ParseRating %+v", r, want)
	}
	if r.Mass() != 100*quantity.PoundPerHour || r.Pressure() != in.Pressure || r.Temperature() != in.Temperature {
		t.Errorf("%+v does not hold what it was given", r)
	}
	_, err = NewRating(-1*quantity.CCPerMinute, Conditions{Temperature: quantity.Celsius(200)})
	if err == nil || !errors.Is(err, quantity.ErrRange) {
		t.Fatalf("error %v, want a range error", err)
	}
	for _, field := range []string{"flow: ", "test pressure: ", "test temperature: "} {
		if !strings.Contains("\n"+err.Error(), "\n"+field) {
			t.Errorf("error %q does not name %q", err, field)
		}
	}
}

func TestAllocations(t *testing.T) {
	i := Injector{Rating: mustParse(t, "440 cc/min at 3 bar"), DeadTime: mustDeadTime(t, "1.35 ms at 12 V; 1.05 ms at 13.5 V; 0.9 ms at 15 V"), Spread: 0.02}
	var sum float64
	n := testing.AllocsPerRun(100, func() {
		m := i.Weakest(i.Rating.Flow(745*quantity.KilogramPerCubicMetre, 4*quantity.BarDiff))
		period := Cycle(7000*quantity.RPM, 4)
		pulse := i.Pulse(30e-6*quantity.Kilogram, m, 13*quantity.Volt)
		sum += float64(Duty(pulse, period))
		sum += float64(StaticFlowNeededOpen(m, 6, 0.85, period, pulse))
		sum += float64(Delivered(m, 6, 0.85, period, pulse))
		sum += float64(i.Rating.DifferentialFor(m, 745*quantity.KilogramPerCubicMetre))
	})
	if n != 0 {
		t.Errorf("%v allocations, want none (%g)", n, sum)
	}
}

func BenchmarkFlow(b *testing.B) {
	r := mustParse(b, "440 cc/min at 3 bar")
	b.ReportAllocs()
	for b.Loop() {
		r.Flow(745*quantity.KilogramPerCubicMetre, 4*quantity.BarDiff)
	}
}
