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
