package spirit

// Gravity returns the specific gravity in vacuum of mass fraction p: its
// density at t over the density of water at waterAt (both -20 to +40 °C).
func Gravity(p MassFraction, t, waterAt Celsius) (float64, error) {
	d, err := DensityOf(p, t)
	if err != nil {
		return 0, err
	}
	water, err := DensityOf(0, waterAt)
	return float64(d / water), err
}

// GravityInAir returns the specific gravity as found by weighing in air: both
// liquids are lighter by the air they push aside.
func GravityInAir(p MassFraction, t, waterAt Celsius) (float64, error) {
	d, err := DensityOf(p, t)
	if err != nil {
		return 0, err
	}
	water, err := DensityOf(0, waterAt)
	return float64((d - AirDensity) / (water - AirDensity)), err
}

// MassFractionOfGravity returns the mass fraction of a specific gravity in
// vacuum at t over water at waterAt.
func MassFractionOfGravity(sg float64, t, waterAt Celsius) (MassFraction, error) {
	water, err := DensityOf(0, waterAt)
	if err != nil {
		return 0, err
	}
	return MassFractionOf(Density(sg*float64(water)), t)
}

// MassFractionOfGravityInAir does the same for a specific gravity found in air.
func MassFractionOfGravityInAir(sg float64, t, waterAt Celsius) (MassFraction, error) {
	water, err := DensityOf(0, waterAt)
	if err != nil {
		return 0, err
	}
	return MassFractionOf(Density(sg*float64(water-AirDensity))+AirDensity, t)
}
