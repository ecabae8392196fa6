package fuel_test

import (
	"fmt"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

func ExampleParse() {
	b, err := fuel.Parse("E70")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("density at 30 °C:", b.Density(quantity.Celsius(30)))
	fmt.Println("stoichiometric air-fuel ratio:", b.StoichiometricAFR())
	fmt.Println("lower heating value:", b.LHV())
	fmt.Println("latent heat:", quantity.FormatIn(b.LatentHeat(), quantity.KilojoulePerKilogram))
	fmt.Println("heat released at λ 0.80:", b.Completeness(0.80).Percent(1))
	// Output:
	// density at 30 °C: 765.8 kg/m³
	// stoichiometric air-fuel ratio: 10.61
	// lower heating value: 31.59 MJ/kg
	// latent heat: 755.1 kJ/kg
	// heat released at λ 0.80: 73.8 %
}

func ExampleParse_error() {
	_, err := fuel.Parse("E120")
	fmt.Println(err)
	// Output:
	// fuel "E120": no such blend: ethanol content 120 % is not from 0 to 100 %; want "E0" to "E100" or "M0" to "M100" (percent by volume of ethanol or methanol in gasoline), the name of a liquid such as "n-heptane", or a mixture such as "50 % toluene + 50 % isooctane"
}

func ExampleLookup() {
	_, err := fuel.Lookup("ethanl")
	fmt.Println(err)
	heptane, err := fuel.Lookup("n-heptane")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(heptane.Formula(), heptane.Density(quantity.Celsius(20)))
	// Output:
	// unknown fuel "ethanl"; did you mean "ethanol"? known are ETBE, ethanol, gasoline, isooctane, methanol, MTBE, n-heptane, premium gasoline, regular gasoline, test gasoline, toluene, water, winter gasoline
	// C7H16 683.8 kg/m³
}

// What is in the tank plus what goes in.
func ExampleMix() {
	e10, _ := fuel.Parse("E10")
	e85, _ := fuel.Parse("E85")
	mixed, err := fuel.Mix(
		fuel.Portion{Blend: e10, Volume: 20 * quantity.Litre},
		fuel.Portion{Blend: e85, Volume: 30 * quantity.Litre},
	)
	fmt.Println(mixed, err)
	add, err := fuel.TopUp(0.50, fuel.Portion{Blend: e10, Volume: 20 * quantity.Litre}, e85)
	fmt.Println(add, err)
	// Output:
	// E55 <nil>
	// 22.86 L <nil>
}

// A pump label is a range, not a number.
func ExampleLabelled() {
	r, err := fuel.Labelled("E85")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, content := range []quantity.VolumeFraction{r.Min, r.Max} {
		b, err := fuel.Ethanol(content)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(b, b.LHV())
	}
	// Output:
	// E51 34.7 MJ/kg
	// E83 29.5 MJ/kg
}

func ExampleConstituent_Values() {
	c, err := fuel.Lookup("n-heptane")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, v := range c.Values() {
		if v.Property == "density" && v.At == "20 °C" || v.Property == "flash point" {
			fmt.Println(v)
		}
	}
	// Output:
	// density at 20 °C: 683.82 kg/m3 (VDI Heat Atlas, 2nd edition, equations for density, viscosity and vapour pressure; coefficients read in the data of the chemicals library (C. Bell))
	// flash point: -7 degC (IEC 60079-20-1:2010; values read in the data of the chemicals library (C. Bell))
}

func ExampleBlend_BoilingPoint() {
	for _, name := range []string{"E10", "10 % ethanol + 90 % winter gasoline"} {
		b, err := fuel.Parse(name)
		if err != nil {
			fmt.Println(err)
			return
		}
		at, err := b.BoilingPoint(quantity.Atmosphere)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%v boils at %v; at 60 °C and 4 bar there are %v to spare\n", b, at,
			b.BoilingMargin(quantity.Celsius(60), 4*quantity.Bar))
	}
	// Output:
	// E10 boils at 47.53 °C; at 60 °C and 4 bar there are 248.7 kPa to spare
	// 10 % ethanol + 90 % winter gasoline boils at 34.29 °C; at 60 °C and 4 bar there are 181.1 kPa to spare
}
