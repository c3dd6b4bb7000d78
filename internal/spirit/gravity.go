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
// vacuum at t over water at waterAt (both -20 to +40 °C). A gravity that no
// mixture has at t is a RangeError.
func MassFractionOfGravity(sg float64, t, waterAt Celsius) (MassFraction, error) {
	return fromGravity(sg, t, waterAt, 0)
}

// MassFractionOfGravityInAir does the same for a specific gravity found in air.
func MassFractionOfGravityInAir(sg float64, t, waterAt Celsius) (MassFraction, error) {
	return fromGravity(sg, t, waterAt, AirDensity)
}

// fromGravity inverts sg = (d - air) / (water - air).
func fromGravity(sg float64, t, waterAt Celsius, air Density) (MassFraction, error) {
	water, err := DensityOf(0, waterAt)
	if err != nil {
		return 0, err
	}
	if err := checkTemperature(t); err != nil {
		return 0, err
	}
	p, err := MassFractionOf(Density(sg*float64(water-air))+air, t)
	if err != nil {
		poly := atTemperature(t)
		low, high := Density(poly.density(1)), Density(poly.density(0))
		return 0, &RangeError{
			"specific gravity", "", sg,
			float64((low - air) / (water - air)), float64((high - air) / (water - air)),
		}
	}
	return p, nil
}
