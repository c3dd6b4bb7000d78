package spirit

// VolumeFrom returns the volume at temperature `at` of liquid of strength q
// whose volume is v (L, 0 to 1e9) at temperature `measured`; both temperatures
// -20 to +40 °C.
func VolumeFrom(v Litres, q Strength, measured, at Celsius) (Litres, error) {
	if err := checkVolume(v); err != nil {
		return 0, err
	}
	growth, err := Expansion(q, measured, at)
	return v * Litres(growth), err
}

// Expansion returns the volume at temperature `to` over the volume at
// temperature `from` of the same liquid of strength q, by OIML R 22.
// Spirit of 60 % by weight grows by 2.9 % from 10 to 40 °C.
func Expansion(q Strength, from, to Celsius) (float64, error) {
	p, err := q.MassFraction()
	if err != nil {
		return 0, err
	}
	before, err := DensityOf(p, from)
	if err != nil {
		return 0, err
	}
	after, err := DensityOf(p, to)
	if err != nil {
		return 0, err
	}
	return float64(before / after), nil
}

// HeadSpace returns the least fraction of a sealed vessel, 0 to 1, that has to
// stay empty when it is filled at temperature `filled`, so that the liquid does
// not fill it at temperature `warmest`. It reckons with a vessel that does not
// stretch, which is the safe side for glass, and allows no cushion of air: leave
// more. A vessel that only gets colder needs none, and the answer is 0.
func HeadSpace(q Strength, filled, warmest Celsius) (float64, error) {
	growth, err := Expansion(q, filled, warmest)
	if err != nil {
		return 0, err
	}
	return max(0, 1-1/growth), nil
}
