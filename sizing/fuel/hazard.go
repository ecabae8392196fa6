package fuel

import "example.com/railbook/sizing/quantity"

// Hazard is the fire data of one constituent of a blend.
type Hazard struct {
	Constituent  string
	Share        quantity.VolumeFraction // in the liquid, at Reference
	FlashPoint   quantity.Temperature    // closed cup
	Lower, Upper quantity.VolumeFraction // flammable range of the vapour in air
	FireClass    string                  // of NFPA 30
	Sources      []Source
}

// Hazards returns the fire data of the constituents that burn, sorted by name.
// Those of a mixture are not their averages: a little gasoline gives a whole tank
// its flash point. Judge a blend by the worst of them.
func (b Blend) Hazards() []Hazard {
	var list []Hazard
	for _, c := range b.Constituents() {
		flash, ok := c.FlashPoint()
		if !ok {
			continue
		}
		h := Hazard{Constituent: c.Name(), Share: b.VolumeFraction(c.Name()), FlashPoint: flash, FireClass: c.FireClass()}
		h.Lower, h.Upper, _ = c.FlammableRange()
		h.Sources = c.sources("flash point", "lower flammable limit", "upper flammable limit", "fire class")
		list = append(list, h)
	}
	return list
}

// sources returns the sources of the given properties, each once.
func (c Constituent) sources(properties ...string) []Source {
	var list []Source
	seen := map[string]bool{}
	for _, p := range properties {
		for _, v := range c.get().values {
			if v.Property == p && !seen[v.Source.Key] {
				seen[v.Source.Key] = true
				list = append(list, v.Source)
			}
		}
	}
	return list
}

// Caveats returns what a user of the blend should know before trusting its
// numbers, one sentence each; most blends have one or two.
func (b Blend) Caveats() []string {
	var list []string
	add := func(when bool, text string) {
		if when {
			list = append(list, text)
		}
	}
	content := b.EthanolContent()
	mixed := b.Has("gasoline") && content > 0
	pump, _ := Labelled("E85")
	add(mixed && content >= pump.Min, "Pump fuel labelled E85 holds "+pump.Min.String()+" to "+pump.Max.String()+
		" ethanol by season ("+pump.Source+"): measure what is in the tank.")
	add(mixed && content > pump.Max, "The blend holds more ethanol than pump fuel labelled E85 may have.")
	add(b.Has("gasoline"), "Gasoline is a mean: pump fuel varies from 720 to 775 kg/m³ at 15 °C (EN 228).")
	add(b.Has("water") && b.Has("gasoline"), "Water and gasoline mix only with enough alcohol; cold or more water makes two layers.")
	return list
}
