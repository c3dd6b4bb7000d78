package spirit

// Mixture is what comes of putting amounts together, volumes at 20 °C.
type Mixture struct {
	Amount   Amount // the sum of the parts, to the milligram
	Volume   Litres
	Strength Strength
	// Contraction is the volume of the parts less the volume of the whole. It
	// is above zero where strong meets weak. Below about 30 % vol the parts may
	// swell a little instead, and then it is below zero.
	Contraction Litres
}

// Mix puts amounts together. A part below nothing is an error.
func Mix(parts ...Amount) (Mixture, error) {
	var m Mixture
	for _, part := range parts {
		if part.IsNegative() {
			return Mixture{}, negative(part)
		}
		m.Amount = m.Amount.Add(part)
		m.Contraction += part.Volume()
	}
	m.Volume = m.Amount.Volume()
	m.Strength = m.Amount.Strength()
	m.Contraction -= m.Volume
	return m, nil
}

func negative(a Amount) error {
	if a.EthanolMg < 0 {
		return &RangeError{"ethanol to mix", "kg", float64(a.Ethanol()), 0, float64(largestKilograms)}
	}
	return &RangeError{"water to mix", "kg", float64(a.Water()), 0, float64(largestKilograms)}
}
