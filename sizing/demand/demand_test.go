package demand

import (
	"fmt"
	"math"
	"testing"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

func near(got, want, tol float64) bool { return math.Abs(got-want) <= tol*math.Abs(want) }

func blend(t testing.TB, name string) fuel.Blend {
	t.Helper()
	b, err := fuel.Parse(name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestBSFCPairs checks consumption as fuel over power on logged pairs of power in
// hp and flow in lb/h: common practice, no source. The figures are printed to two
// decimals.
func TestBSFCPairs(t *testing.T) {
	for _, tt := range []struct{ flow, power, want float64 }{
		{50, 125, 0.40}, {264, 395, 0.67}, {491, 638, 0.77}, {768, 850, 0.90}, {939, 1101, 0.85}, {655, 711, 0.92}, {1571, 797, 1.97},
	} {
		flow, power := quantity.Of(tt.flow, quantity.PoundPerHour), quantity.Of(tt.power, quantity.Horsepower)
		bsfc := quantity.SpecificConsumption(float64(flow) / float64(power))
		if got := bsfc.In(quantity.PoundPerHorsepowerHour); math.Abs(got-tt.want) > 0.005 {
			t.Errorf("%v lb/h at %v hp: %.4f lb/(hp h), want %.2f", tt.flow, tt.power, got, tt.want)
		}
		if back := bsfc.Flow(power).In(quantity.PoundPerHour); !near(back, tt.flow, 1e-14) {
			t.Errorf("flow back from consumption: %v, want %v", back, tt.flow)
		}
	}
}

// TestBandsOnLabels holds the bands to their labels: common practice, no source.
func TestBandsOnLabels(t *testing.T) {
	for _, tt := range []struct {
		kind      Induction
		fuel      string
		low, high float64
	}{
		{NaturallyAspirated, "gasoline", 0.45, 0.50}, {NaturallyAspirated, "E85", 0.63, 0.70}, {NaturallyAspirated, "methanol", 0.90, 1.00},
		{Supercharged, "gasoline", 0.55, 0.60}, {Supercharged, "E85", 0.77, 0.84},
		{Turbocharged, "gasoline", 0.60, 0.65}, {Turbocharged, "E85", 0.84, 0.91}, {Turbocharged, "methanol", 1.20, 1.30},
	} {
		b := BSFC(tt.kind, blend(t, tt.fuel))
		low, high := b.Low.In(quantity.PoundPerHorsepowerHour), b.High.In(quantity.PoundPerHorsepowerHour)
		if !near(low, tt.low, 1e-9) || !near(high, tt.high, 1e-9) {
			t.Errorf("%s on %s: %.4f to %.4f lb/(hp h), want %.2f to %.2f", tt.kind, tt.fuel, low, high, tt.low, tt.high)
		}
		if mid := b.At(Middle).In(quantity.PoundPerHorsepowerHour); !near(mid, (tt.low+tt.high)/2, 1e-9) {
			t.Errorf("middle of the band %v", mid)
		}
	}
}

// TestBandsBetweenLabels wants consumption to rise with ethanol content, and a
// blend's energy per unit of work between those of its neighbours.
func TestBandsBetweenLabels(t *testing.T) {
	last := 0.0
	e := func(name string) float64 {
		b := blend(t, name)
		return float64(BSFC(Turbocharged, b).High) * float64(b.LHV())
	}
	for content := 0; content <= 100; content += 5 {
		b := blend(t, fmt.Sprintf("E%d", content))
		high := float64(BSFC(Turbocharged, b).High)
		if high <= last {
			t.Errorf("E%d: consumption does not rise with ethanol content", content)
		}
		last = high
		if work := e(fmt.Sprintf("E%d", content)); work > e("E0")*(1+1e-12) || work < e("E100")*(1-1e-12) {
			t.Errorf("E%d: energy per work %v outside its neighbours", content, work)
		}
	}
}

// TestEfficiency checks BSFC against brake efficiency by the energy balance
// 3600/(BSFC LHV): for 44.0 MJ/kg, 270 g/kWh is 0.30303 (independent arithmetic
// on Heywood's figure for the best spark-ignition engines, chapter 2, from memory).
func TestEfficiency(t *testing.T) {
	b := blend(t, "gasoline")
	eff := quantity.Ratio(0.30303 * 44.0 / b.LHV().In(quantity.MegajoulePerKilogram))
	if got := EnergyBSFC(b, eff, 1).In(quantity.GramPerKilowattHour); !near(got, 270, 1e-4) {
		t.Errorf("got %v g/kWh, want 270", got)
	}
}

// TestDefaultEfficiencyInsideBands wants the energy route within the BSFC bands
// for gasoline at the usual full-load mixtures, as Efficiency says.
func TestDefaultEfficiencyInsideBands(t *testing.T) {
	b := blend(t, "gasoline")
	for kind, lambda := range map[Induction]quantity.Ratio{NaturallyAspirated: 0.87, Supercharged: 0.82, Turbocharged: 0.80} {
		band := BSFC(kind, b)
		if got := EnergyBSFC(b, Efficiency(kind), lambda); got < band.Low || got > band.High {
			t.Errorf("%s: %v outside %v to %v", kind, got, band.Low, band.High)
		}
	}
}

// TestAirFlow checks the speed-density relation against the density of the
// standard atmosphere at sea level, 1.225 kg/m³ at 288.15 K and 101.325 kPa (ISO
// 2533:1975): 2 L at 6000 rpm and 100 % draw 6 m³/min.
func TestAirFlow(t *testing.T) {
	b := Breathing{Displacement: 2 * quantity.Litre, Strokes: 4, VolumetricEfficiency: 1}
	got := float64(b.AirFlow(6000*quantity.RPM, quantity.Atmosphere, 288.15*quantity.Kelvin))
	if want := 1.225 * 6 / 60; !near(got, want, 1e-4) {
		t.Errorf("got %v kg/s, want %v", got, want)
	}
	b.Strokes = 2
	if two := float64(b.AirFlow(6000*quantity.RPM, quantity.Atmosphere, 288.15*quantity.Kelvin)); !near(two, 2*got, 1e-14) {
		t.Error("a two-stroke fills twice as often")
	}
}

// TestFuelForAir closes the mass balance: air over fuel is lambda times the
// stoichiometric ratio.
func TestFuelForAir(t *testing.T) {
	b := blend(t, "E30")
	air := 0.4 * quantity.KilogramPerSecond
	f := FuelForAir(b, air, 0.8)
	if got := float64(air) / float64(f); !near(got, 0.8*float64(b.StoichiometricAFR()), 1e-14) {
		t.Errorf("air-fuel ratio %v", got)
	}
}

func TestRoutes(t *testing.T) {
	r := Routes{Power: 1 * quantity.GramPerSecond, Energy: 3 * quantity.GramPerSecond, Air: 2 * quantity.GramPerSecond}
	for route, want := range map[Route]Route{Highest: Energy, Power: Power, Energy: Energy, Air: Air} {
		if _, got := r.By(route); got != want {
			t.Errorf("By(%s) chose %s, want %s", route, got, want)
		}
	}
	if !near(float64(r.Spread()), 2, 1e-14) {
		t.Errorf("spread %v, want 2", r.Spread())
	}
}

func TestNames(t *testing.T) {
	for k := NaturallyAspirated; k <= Turbocharged; k++ {
		var back Induction
		if err := back.UnmarshalText([]byte(k.String())); err != nil || back != k {
			t.Errorf("%s reads back as %s, %v", k, back, err)
		}
	}
	var k Induction
	if err := k.UnmarshalText([]byte("Naturally-Aspirated")); err != nil || k != NaturallyAspirated {
		t.Error("case and hyphens must not matter")
	}
	if err := k.UnmarshalText([]byte("steam")); err == nil {
		t.Error("an unknown induction was taken")
	}
}

func BenchmarkBSFC(b *testing.B) {
	f := blend(b, "E70")
	b.ReportAllocs()
	for b.Loop() {
		BSFC(Turbocharged, f)
	}
}
