package whatif

import (
	"fmt"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// alcohols makes the sliders of a fuel's content: ethanol, methanol where the fuel holds
// it, and both where it holds both.
func alcohols(f fuel.Blend, sys quantity.System) []slider {
	var list []slider
	add := func(id, name string) {
		list = append(list, newSlider(id, name, sys, span[quantity.VolumeFraction]{home: f.VolumeFraction(id), high: 1, most: 1}))
	}
	if f.Has(Ethanol) || !f.Has(Methanol) {
		add(Ethanol, "Ethanol content")
	}
	if f.Has(Methanol) {
		add(Methanol, "Methanol content")
	}
	return list
}

// rest returns what a fuel holds beside ethanol and methanol, by volume; gasoline where
// that is nothing.
func rest(f fuel.Blend) (parts []fuel.VolumePart, whole quantity.VolumeFraction) {
	for _, c := range f.Constituents() {
		if name := c.Name(); name != Ethanol && name != Methanol {
			parts = append(parts, fuel.VolumePart{Name: name, Fraction: f.VolumeFraction(name)})
			whole += f.VolumeFraction(name)
		}
	}
	if len(parts) == 0 {
		return []fuel.VolumePart{{Name: "gasoline", Fraction: 1}}, 1
	}
	return parts, whole
}

// restOf says what the rest of a fuel is.
func restOf(f fuel.Blend) string {
	if parts, _ := rest(f); len(parts) == 1 {
		return "the rest is " + parts[0].Name
	}
	return "the rest keeps its proportions"
}

// blended returns the fuel with its alcohols at the contents given, the rest keeping its
// proportions. The error says so where there is no room for both.
func blended(f fuel.Blend, ethanol, methanol quantity.VolumeFraction) (fuel.Blend, error) {
	left := 1 - ethanol - methanol
	if left < -roundoff {
		return fuel.Blend{}, fmt.Errorf("%s of ethanol and %s of methanol are more than a whole", ethanol, methanol)
	}
	left = max(0, left)
	parts, whole := rest(f)
	for i := range parts {
		parts[i].Fraction = quantity.VolumeFraction(float64(left) * float64(parts[i].Fraction/whole))
	}
	return fuel.ByVolume(fuel.Reference, append(parts,
		fuel.VolumePart{Name: Ethanol, Fraction: ethanol}, fuel.VolumePart{Name: Methanol, Fraction: methanol})...)
}

// roundoff is what adding up two shares may miss.
const roundoff = 1e-12
