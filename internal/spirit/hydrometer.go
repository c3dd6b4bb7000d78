package spirit

// GlassExpansion is the cubic expansion of soda-lime glass per °C, as OIML R 44
// and R 22 use it for alcoholometers.
const GlassExpansion = 25e-6

// Scale says what a hydrometer's stem is marked in.
type Scale uint8

// The scales that a stem may carry.
const (
	ScaleStrength Scale = iota // % vol at 20 °C
	ScaleProof                 // US proof at 60 °F
	ScaleDensity               // kg/m³ at the instrument's base temperature
	ScaleGravity               // specific gravity: density over water's, both at the base temperature, in vacuum
)

// Hydrometer is a floating instrument of glass: what its stem reads and the
// temperature that it was made for (20 °C or 60 °F as a rule).
type Hydrometer struct {
	Scale Scale
	Base  Celsius
}

// True returns the mass fraction of the liquid in which the hydrometer reads
// `reading` while the liquid is at t (-20 to +40 °C). The stem shows the density
// that would float it the same way at its base temperature; at t the bulb is
// larger by the expansion of the glass, so the liquid is lighter by that much.
func (h Hydrometer) True(reading float64, t Celsius) (MassFraction, error) {
	shown, err := h.densityShown(reading)
	if err != nil {
		return 0, err
	}
	if err := checkTemperature(t); err != nil {
		return 0, err
	}
	return MassFractionOf(Density(float64(shown)/h.swelling(t)), t)
}

// Reading is the inverse of True: what the stem shows in liquid of mass
// fraction p at temperature t.
func (h Hydrometer) Reading(p MassFraction, t Celsius) (float64, error) {
	d, err := DensityOf(p, t)
	if err != nil {
		return 0, err
	}
	return h.marked(Density(float64(d) * h.swelling(t)))
}

// swelling is the bulb's volume at t over its volume at the base temperature.
func (h Hydrometer) swelling(t Celsius) float64 { return 1 + GlassExpansion*float64(t-h.Base) }

// densityShown turns a mark on the stem into the density it stands for at the base temperature.
func (h Hydrometer) densityShown(reading float64) (Density, error) {
	switch h.Scale {
	case ScaleProof:
		p, err := Proof(reading).MassFraction()
		if err != nil {
			return 0, err
		}
		return DensityOf(p, h.Base)
	case ScaleDensity:
		return Density(reading), nil
	case ScaleGravity:
		return densityOfGravity(reading, h.Base)
	default:
		p, err := Strength(reading).MassFraction()
		if err != nil {
			return 0, err
		}
		return DensityOf(p, h.Base)
	}
}

// marked turns a density at the base temperature into a mark on the stem.
func (h Hydrometer) marked(d Density) (float64, error) {
	switch h.Scale {
	case ScaleDensity:
		return float64(d), nil
	case ScaleGravity:
		water, err := DensityOf(0, h.Base)
		return float64(d / water), err
	}
	p, err := MassFractionOf(d, h.Base)
	if err != nil {
		return 0, err
	}
	if h.Scale == ScaleProof {
		q, err := p.Proof()
		return float64(q), err
	}
	q, err := p.Strength()
	return float64(q), err
}

func densityOfGravity(sg float64, base Celsius) (Density, error) {
	water, err := DensityOf(0, base)
	return Density(sg * float64(water)), err
}
