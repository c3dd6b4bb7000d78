package spirit

// Conventional densities for weighing, kg/m³ (OIML R 33: air 1.2, weights 8000).
const (
	AirDensity    Density = 1.2
	WeightDensity Density = 8000
)

// MassOfWeighed turns the reading of a balance in air into the mass of a
// liquid of density d: the liquid is borne up by the air it pushes aside, the
// balance's weights by less. d must be above the density of air.
func MassOfWeighed(reading Kilograms, d Density) (Kilograms, error) {
	factor, err := buoyancy(d)
	return reading * Kilograms(factor), err
}

// WeighedOfMass is the inverse of MassOfWeighed: what a balance in air shows.
func WeighedOfMass(m Kilograms, d Density) (Kilograms, error) {
	factor, err := buoyancy(d)
	if err != nil {
		return 0, err
	}
	return m / Kilograms(factor), nil
}

// Weighed returns what a balance in air shows for the liquid alone at 20 °C,
// to be set down beside volumes; it is 1.0 to 1.4 g/kg less than the mass.
func (a Amount) Weighed() Kilograms {
	d := isothermReference.density(float64(a.MassFraction()))
	return a.Mass() * Kilograms((1-float64(AirDensity)/d)/(1-float64(AirDensity/WeightDensity)))
}

// lightestLiquid is a density below every mixture here; less is a slip of units.
const lightestLiquid Density = 700

func buoyancy(d Density) (float64, error) {
	if !inRange(float64(d), float64(lightestLiquid), float64(WeightDensity)) {
		return 0, &RangeError{"density of what is weighed", "kg/m³", float64(d), float64(lightestLiquid), float64(WeightDensity)}
	}
	return float64((1 - AirDensity/WeightDensity) / (1 - AirDensity/d)), nil
}
