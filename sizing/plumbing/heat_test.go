package plumbing

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestWarmedCengel is example 5-12 of Çengel and Cimbala, Fluid Mechanics,
// Fundamentals and Applications (data as a Scilab textbook companion has them, the
// answer of 0.017 °C from memory): 15 kW into a motor of 90 %, 50 L/s of water raised
// by 200 kPa, so that 3.5 kW of 13.5 stay as heat.
func TestWarmedCengel(t *testing.T) {
	lost := 15*0.9 - 0.050*200.0 // kW
	got := Warmed(quantity.Power(lost*1e3), 50*quantity.KilogramPerSecond, 4.18*quantity.KilojoulePerKilogramKelvin)
	near(t, "rise", float64(got), 0.017, 0.02)
	// The rule of the trade in hydraulics: a watt warms a gallon of oil by 1 °F in an hour
	// (hydrotech.com, guidelines; rounded to a figure).
	oil := 0.87 * 8.345404 * quantity.PoundPerHour // a gallon of it an hour
	near(t, "watt and gallon", Warmed(1*quantity.WattPower, oil, 0.45*quantity.BtuPerPoundFahrenheit).In(quantity.FahrenheitDiff), 1, 0.1)
	if got := Warmed(0, 0, 2000); got != 0 || !math.IsInf(float64(Warmed(1*quantity.WattPower, 0, 2000)), 1) {
		t.Errorf("no heat and no flow: %v", got)
	}
}

// TestLoop works by hand: 150 W and 100 W into 0.05 kg/s of 2 kJ/(kg K) are 2.5 K at
// the rail; 0.03 come back and take another 60 W, 1 K.
func TestLoop(t *testing.T) {
	l := Loop{Flow: 0.05 * quantity.KilogramPerSecond, Burnt: 0.02 * quantity.KilogramPerSecond, Pump: 150 * quantity.WattPower, Feed: 100 * quantity.WattPower, Return: 60 * quantity.WattPower, SpecificHeat: 2 * quantity.KilojoulePerKilogramKelvin}
	if err := l.Validate(); err != nil {
		t.Fatal(err)
	}
	near(t, "at the rail", float64(l.AtRail()), 2.5, 1e-14)
	near(t, "a lap", float64(l.Lap()), 3.5, 1e-14)
	near(t, "to the tank", float64(l.ToTank()), 210, 1e-13)
	l.Burnt = l.Flow
	if l.ToTank() != 0 || l.Lap() != l.AtRail() {
		t.Errorf("nothing returned brings %v", l.ToTank())
	}
}

// TestLoopBalance: what is picked up goes to the tank or out through the injectors.
func TestLoopBalance(t *testing.T) {
	random := rand.New(rand.NewPCG(31, 32))
	for range 1000 {
		flow := 0.01 + 0.2*random.Float64()
		l := Loop{
			Flow: quantity.MassFlow(flow), Burnt: quantity.MassFlow(flow * random.Float64()), SpecificHeat: quantity.SpecificHeat(1700 + 900*random.Float64()),
			Pump: quantity.Power(300 * random.Float64()), Feed: quantity.Power(900 * random.Float64()), Return: quantity.Power(300 * random.Float64()),
		}
		burnt := float64(l.Burnt) * float64(l.SpecificHeat) * float64(l.AtRail())
		near(t, "heat", float64(l.ToTank())+burnt, float64(l.Pump+l.Feed+l.Return), 1e-12)
	}
}

func TestLoopValidate(t *testing.T) {
	err := Loop{Burnt: 1 * quantity.GramPerSecond, Pump: -1, Feed: quantity.Power(math.NaN()), Return: quantity.Power(math.Inf(1))}.Validate()
	checkLines(t, err, []string{"flow: ", "flow burnt: ", `pump power: "-1 W": must not be negative; want an electric power`, "heat of the feed: ", "heat of the return: ", `specific heat: "0 kJ/(kg·K)": must be greater`})
}

func TestHeatAllocations(t *testing.T) {
	l := Loop{Flow: 50 * quantity.GramPerSecond, Burnt: 20 * quantity.GramPerSecond, Pump: 150 * quantity.WattPower, Feed: 100 * quantity.WattPower, Return: 60 * quantity.WattPower, SpecificHeat: 2 * quantity.KilojoulePerKilogramKelvin}
	tank := Tank{Mass: 40 * quantity.Kilogram, SpecificHeat: 2080 * quantity.JoulePerKilogramKelvin, Draw: 10 * quantity.KilogramPerHour, Cooling: 2 * quantity.Hour}
	var sum float64
	n := testing.AllocsPerRun(100, func() {
		sum += float64(l.Lap()) + float64(l.ToTank())
		sum += float64(tank.After(1*quantity.Hour, 300*quantity.Kelvin, 290*quantity.Kelvin, l.ToTank()))
		sum += float64(tank.Until(310*quantity.Kelvin, 300*quantity.Kelvin, 290*quantity.Kelvin, l.ToTank()))
	})
	if n != 0 {
		t.Errorf("%v allocations, want none (%g)", n, sum)
	}
}
