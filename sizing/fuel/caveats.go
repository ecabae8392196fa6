package fuel

import "example.com/railbook/sizing/quantity"

// Caveats returns what a user of the blend should know before trusting its
// numbers, one sentence each: where the fuel itself varies, and where the models
// here are known to miss. Most blends have up to three.
func (b Blend) Caveats() []string {
	var list []string
	add := func(when bool, text string) {
		if when {
			list = append(list, text)
		}
	}
	ethanol, methanol := b.EthanolContent(), b.VolumeFraction("methanol")
	gasoline, water := b.GasolineContent() > 0, b.Has("water")
	other := b.share(func(f Family) bool { return !f.polar() }) > 0
	pump, _ := Labelled("E85")
	lost := b.contraction()
	add(gasoline && ethanol >= pump.Min, "Pump fuel labelled E85 holds "+pump.Min.String()+" to "+pump.Max.String()+
		" ethanol by season ("+pump.Source+"): measure what is in the tank.")
	add(gasoline && ethanol > pump.Max, "The blend holds more ethanol than pump fuel labelled E85 may have.")
	add(gasoline, "Gasoline is a mean: pump fuel varies from 720 to 775 kg/m³ at 15 °C (EN 228).")
	add(other && ethanol > 0, "Ethanol raises the vapour pressure of gasoline, 10 % of it by about 1 psi (US EPA, 89 FR 14760). "+
		"The rise is fitted to gasoline of 9 psi Reid at 100 °F, where it holds within 5 %.")
	add(other && methanol > 0, "Methanol raises the vapour pressure of gasoline more than ethanol does (from memory), "+
		"and the rise is reckoned with the constants of ethanol: leave more room to boiling.")
	add(water && other, "Water and gasoline mix only with enough alcohol; cold or more water makes two layers.")
	add(lost > 0.0005, "Ethanol and water take up less room mixed: the density lies "+
		quantity.Digits(100*lost, 2)+" % above the one reckoned here, which adds volumes (OIML R 22).")
	add(water && methanol > 0, "Methanol and water take up less room mixed, by up to 4 % (from memory); the density reckoned here adds volumes.")
	return list
}
