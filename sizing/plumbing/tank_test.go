package plumbing

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestTankCengel is example 4-1 of Çengel, Heat and Mass Transfer, as a Scilab textbook
// companion has it: the bead of a thermocouple, 1 mm of 8500 kg/m³ and 320 J/(kg K) in
// gas at 210 W/(m² K), goes 99 % of the way in 10 s.
func TestTankCengel(t *testing.T) {
	const d = 0.001
	mass := 8500 * math.Pi / 6 * d * d * d
	tank := Tank{Mass: quantity.Mass(mass), SpecificHeat: 320 * quantity.JoulePerKilogramKelvin, Cooling: quantity.Time(mass * 320 / (210 * math.Pi * d * d))}
	near(t, "time constant", 1/float64(tank.Cooling), 0.4632, 1e-3) // 0.462 in the book, from memory
	start, gas := quantity.Celsius(0), quantity.Celsius(100)
	if got := tank.Until(quantity.Celsius(99), start, gas, 0); math.Round(float64(got)) != 10 {
		t.Errorf("99 %% of the way takes %v s, want 10", float64(got))
	}
	near(t, "after 10 s", tank.After(10*quantity.Second, start, gas, 0).Celsius(), 99, 1e-3)
}

func TestTankByHand(t *testing.T) {
	tank := Tank{Mass: 30 * quantity.Kilogram, SpecificHeat: 2 * quantity.KilojoulePerKilogramKelvin}
	start, ambient := quantity.Celsius(25), quantity.Celsius(25)
	// 200 W into 60 kJ/K: 0.2 K a minute.
	near(t, "no loss", tank.After(30*quantity.Minute, start, ambient, 200*quantity.WattPower).Celsius(), 31, 1e-12)
	tank.Cooling = 1 * quantity.Hour // U = 16.667 W/K
	near(t, "balance", tank.Balance(ambient, 200*quantity.WattPower).Celsius(), 37, 1e-12)
	near(t, "after the time constant", tank.After(1*quantity.Hour, start, ambient, 200*quantity.WattPower).Celsius(), 37-12/math.E, 1e-12)
	near(t, "cooling", tank.After(1*quantity.Hour, quantity.Celsius(45), ambient, 0).Celsius(), 25+20/math.E, 1e-12)
	// With the draw of example: half gone warms as ln 2 does.
	tank.Cooling, tank.Draw = 0, 15*quantity.KilogramPerHour
	near(t, "half gone", tank.After(1*quantity.Hour, start, ambient, 200*quantity.WattPower).Celsius(), 25+200.0/2000/(15.0/3600)*math.Ln2, 1e-12)
	if got := tank.Empty(); got != 2*quantity.Hour || !math.IsInf(float64((Tank{Mass: 1 * quantity.Kilogram}).Empty()), 1) {
		t.Errorf("empty after %v", got)
	}
}

// TestTankIntegrates compares the closed form with its differential equation, stepped
// by the classical Runge-Kutta method.
func TestTankIntegrates(t *testing.T) {
	random := rand.New(rand.NewPCG(41, 42))
	for range 200 {
		tank := Tank{Mass: quantity.Mass(10 + 50*random.Float64()), SpecificHeat: quantity.SpecificHeat(1800 + 700*random.Float64())}
		if random.IntN(3) > 0 {
			tank.Cooling = quantity.Of(0.3+4*random.Float64(), quantity.Hour)
		}
		if random.IntN(3) > 0 {
			tank.Draw = quantity.Of(20*random.Float64(), quantity.KilogramPerHour)
		}
		if err := tank.Validate(); err != nil {
			t.Fatal(err)
		}
		heat := quantity.Power(600 * random.Float64())
		start, ambient := quantity.Celsius(50*random.Float64()), quantity.Celsius(40*random.Float64())
		end := min(3600*3*random.Float64(), 0.9*float64(tank.Empty()))
		u := 0.0
		if tank.Cooling > 0 {
			u = float64(tank.Mass) * float64(tank.SpecificHeat) / float64(tank.Cooling)
		}
		slope := func(at, temp float64) float64 {
			return (float64(heat) - u*(temp-float64(ambient))) / ((float64(tank.Mass) - float64(tank.Draw)*at) * float64(tank.SpecificHeat))
		}
		const n = 400
		h, temp := end/n, float64(start)
		for i := range n {
			at := float64(i) * h
			k1 := slope(at, temp)
			k2 := slope(at+h/2, temp+h/2*k1)
			k3 := slope(at+h/2, temp+h/2*k2)
			k4 := slope(at+h, temp+h*k3)
			temp += h / 6 * (k1 + 2*k2 + 2*k3 + k4)
		}
		if got := float64(tank.After(quantity.Time(end), start, ambient, heat)); math.Abs(got-temp) > 1e-5 {
			t.Errorf("%+v: %.7f K after %g s, integrated %.7f", tank, got, end, temp)
		}
	}
}

// TestTankInverts: the tank has the temperature at the time that it is said to take.
func TestTankInverts(t *testing.T) {
	start, ambient := quantity.Celsius(30), quantity.Celsius(20)
	for _, tank := range []Tank{
		{Mass: 40 * quantity.Kilogram, SpecificHeat: 2080 * quantity.JoulePerKilogramKelvin}, {Mass: 40 * quantity.Kilogram, SpecificHeat: 2080 * quantity.JoulePerKilogramKelvin, Cooling: 2 * quantity.Hour},
		{Mass: 40 * quantity.Kilogram, SpecificHeat: 2080 * quantity.JoulePerKilogramKelvin, Draw: 10 * quantity.KilogramPerHour}, {Mass: 40 * quantity.Kilogram, SpecificHeat: 2080 * quantity.JoulePerKilogramKelvin, Draw: 10 * quantity.KilogramPerHour, Cooling: 2 * quantity.Hour},
	} {
		for target := start.Plus(0.1 * quantity.KelvinDiff); target < min(tank.Balance(ambient, 400*quantity.WattPower), quantity.Celsius(70)); target = target.Plus(0.7 * quantity.KelvinDiff) {
			at := tank.Until(target, start, ambient, 400*quantity.WattPower)
			near(t, "temperature", float64(tank.After(at, start, ambient, 400*quantity.WattPower)), float64(target), 1e-12)
		}
		for _, never := range []quantity.Temperature{quantity.Celsius(29), tank.Balance(ambient, 400*quantity.WattPower).Plus(1 * quantity.KelvinDiff)} {
			if math.IsInf(float64(never), 1) {
				continue // no balance to lie beyond
			}
			if got := tank.Until(never, start, ambient, 400*quantity.WattPower); !math.IsInf(float64(got), 1) {
				t.Errorf("%+v has %v after %v", tank, never, got)
			}
		}
		if got := tank.Until(start, start, ambient, 400*quantity.WattPower); got != 0 {
			t.Errorf("it is at the start after %v", got)
		}
	}
}

// TestTankNeverWarms: what nothing warms or cools stays, also as it is drawn down, and
// heat taken out of a tank that loses none has no balance above.
func TestTankNeverWarms(t *testing.T) {
	start, ambient := quantity.Celsius(30), quantity.Celsius(20)
	tank := Tank{Mass: 40 * quantity.Kilogram, SpecificHeat: 2080 * quantity.JoulePerKilogramKelvin}
	for _, draw := range []quantity.MassFlow{0, 10 * quantity.KilogramPerHour} {
		tank.Draw = draw
		for _, target := range []quantity.Temperature{quantity.Celsius(29), quantity.Celsius(31)} {
			if got := tank.Until(target, start, ambient, 0); !math.IsInf(float64(got), 1) {
				t.Errorf("drawn by %v it has %v after %v without heat", draw, target, got)
			}
		}
	}
	if got := tank.Balance(ambient, -10*quantity.WattPower); !math.IsInf(float64(got), -1) {
		t.Errorf("cooled and not warmed by the air it balances at %v", got)
	}
}

// TestTankContinuous: nothing breaks as cooling, draw or heat go to nothing, nor when
// the tank runs dry.
func TestTankContinuous(t *testing.T) {
	start, ambient := quantity.Celsius(30), quantity.Celsius(20)
	const heat, at = 300 * quantity.WattPower, 1 * quantity.Hour
	plain := Tank{Mass: 40 * quantity.Kilogram, SpecificHeat: 2080 * quantity.JoulePerKilogramKelvin}
	want := float64(plain.After(at, start, ambient, heat))
	slow, drip := plain, plain
	slow.Cooling, drip.Draw = 1e12*quantity.Second, 1e-12*quantity.KilogramPerSecond
	near(t, "hardly cooling", float64(slow.After(at, start, ambient, heat)), want, 1e-9)
	near(t, "hardly drawn", float64(drip.After(at, start, ambient, heat)), want, 1e-9)
	if got := plain.After(at, start, ambient, 0); got != start || plain.Balance(ambient, 0) != ambient {
		t.Errorf("nothing changes it to %v", got)
	}
	dry := Tank{Mass: 40 * quantity.Kilogram, SpecificHeat: 2080 * quantity.JoulePerKilogramKelvin, Draw: 20 * quantity.KilogramPerHour, Cooling: 1 * quantity.Hour}
	if got := dry.After(5*quantity.Hour, start, ambient, heat); math.Abs(float64(got-dry.Balance(ambient, heat))) > 1e-9 {
		t.Errorf("dry: %v, want the balance %v", got, dry.Balance(ambient, heat))
	}
	dry.Cooling = 0
	if got := dry.After(5*quantity.Hour, start, ambient, heat); !math.IsInf(float64(got), 1) {
		t.Errorf("dry without loss: %v", got)
	}
	if got := dry.After(5*quantity.Hour, start, ambient, 0); got != start {
		t.Errorf("dry without heat: %v", got)
	}
	last := start
	for s := quantity.Time(0); s < 6*quantity.Hour; s += 10 * quantity.Second {
		now := slow.After(s, start, ambient, heat)
		if !(now >= last && now.Less(last) < 0.05*quantity.KelvinDiff) {
			t.Fatalf("from %v to %v", last, now)
		}
		last = now
	}
}

func TestTankValidate(t *testing.T) {
	err := Tank{Mass: -1 * quantity.Kilogram, Draw: -1 * quantity.GramPerSecond, Cooling: quantity.Time(math.Inf(1))}.Validate()
	checkLines(t, err, []string{"mass of fuel: ", "draw: ", "specific heat: ", "cooling time: "})
	if err == nil || !errors.Is(err, quantity.ErrRange) || !strings.Contains(err.Error(), "want") {
		t.Error(err)
	}
}
