package sizing_test

import (
	"fmt"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

func Example() {
	build, err := sizing.Open("../testdata/sheets/turbo.toml")
	if err != nil {
		fmt.Println(err)
		return
	}
	a, err := sizing.Assess(build)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(a.Verdict(quantity.US))

	// What if we turn it up?
	up, err := sizing.Assess(build.AtPower(800 * quantity.Horsepower))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(up.Verdict(quantity.US))
	// Output:
	// The system carries 640 hp with the margins asked for; the injectors give out first, at 713.7 hp.
	// The system does not carry 800 hp: short at the injectors; the injectors give out first, at 713.7 hp.
}

// A sheet with mistakes is told about all of them at once.
func ExampleRead() {
	_, err := sizing.Read("slip.toml", []byte(`
[engine]
displacement = "3.4 L"
cylinders = 6
speed = "7200"
[target]
power = "640 whp"
lambda = 0.8
[induction]
kind = "turbocharged"
boost = "22 psia"
charge_temperature = "48 degC"
[fuel]
blend = "E70"
[injectors]
flow = "1550 cc/min at 3 bar"
dead_time = "1.0 ms"
[regulator]
kind = "fixed"
base_pressure = "4 bar"
[[pumps]]
curves = [{voltage = "13.5 V", points = ["400 L/h at 200 kPa", "300 L/h at 500 kPa"]}]
`))
	fmt.Println(err)
	// Output:
	// slip.toml has 3 problems:
	//   line 5: engine.speed = "7200": the unit is missing; want a speed of rotation such as "7200 rpm" (units: rad/s, rpm)
	//   line 7: target.power = "640 whp": wheel power cannot stand for crank power; want a crank power such as "640 hp" (units: W, kW, hp, PS)
	//   line 11: induction.boost = "22 psia": an absolute pressure cannot stand for a gauge pressure or a difference; want a pressure difference such as "43.5 psi" (units: Pa, kPa, MPa, mbar, bar, psi, inHg, mmHg, inH2O, atm)
}
