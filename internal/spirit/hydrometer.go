package spirit

import "fmt"

// GlassExpansion is the cubic expansion of soda-lime glass per °C, as OIML R 44
// and R 22 use it for alcoholometers.
const GlassExpansion = 25e-6

// Hydrometer is a floating instrument of glass: what its stem reads and the
// temperature that it was made for (20 °C or 60 °F as a rule, -20 to +40 °C).
// A stem in % vol shows the alcohol by volume at that temperature, so one made
// for 60 °F shows a little less than % vol at 20 °C: 50.00 where the strength
// is 50.06. A stem in proof is by volume at 60 °F whatever it was made for.
type Hydrometer struct {
	Scale Scale
	Base  Celsius
}

// True returns the mass fraction of the liquid in which the hydrometer reads
// `reading` while the liquid is at t (-20 to +40 °C). The stem shows the density
// that would float it the same way at its base temperature; at t the bulb is
// larger by the expansion of the glass, so the liquid is lighter by that much.
// A reading that no mixture gives at t is a RangeError with the readings that
// are possible.
func (h Hydrometer) True(reading float64, t Celsius) (MassFraction, error) {
	if err := h.check(t); err != nil {
		return 0, err
	}
	shown, err := h.densityShown(reading)
	if err != nil {
		return 0, h.offStem(reading, t)
	}
	p, err := MassFractionOf(Density(float64(shown)/h.swelling(t)), t)
	if err != nil {
		return 0, h.offStem(reading, t)
	}
	return p, nil
}

// Reading is the inverse of True: what the stem shows in liquid of mass
// fraction p at temperature t. A liquid in which the stem would sink, or float
// clear of its scale, is an error.
func (h Hydrometer) Reading(p MassFraction, t Celsius) (float64, error) {
	if err := h.check(t); err != nil {
		return 0, err
	}
	d, err := DensityOf(p, t)
	if err != nil {
		return 0, err
	}
	return h.marked(Density(float64(d) * h.swelling(t)))
}

func (h Hydrometer) check(t Celsius) error {
	if !h.Scale.known() {
		return errUnknownScale
	}
	if !inRange(float64(h.Base), float64(ColdestLiquid), float64(WarmestLiquid)) {
		return &RangeError{
			"base temperature of the hydrometer", "°C", float64(h.Base),
			float64(ColdestLiquid), float64(WarmestLiquid),
		}
	}
	return checkTemperature(t)
}

// offStem says which readings are possible at t.
func (h Hydrometer) offStem(reading float64, t Celsius) error {
	weak, err := h.Reading(0, t)
	if err != nil {
		weak = h.Scale.marks().weak
	}
	strong, err := h.Reading(1, t)
	if err != nil {
		strong = h.Scale.marks().strong
	}
	what := fmt.Sprintf("hydrometer reading at %.4g °C", float64(t))
	return &RangeError{what, h.Scale.Unit(), reading, min(weak, strong), max(weak, strong)}
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
		water, err := DensityOf(0, h.Base)
		return Density(reading * float64(water)), err
	default:
		if err := checkStrength(Strength(reading)); err != nil {
			return 0, err
		}
		base := atTemperature(h.Base)
		return Density(base.density(base.ofVolumeFraction(reading / 100))), nil
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
	base := atTemperature(h.Base)
	return 100 * float64(p) * float64(d) / base.density(1), nil
}

// ofVolumeFraction returns the mass fraction whose alcohol by volume at the
// isotherm's own temperature is v, 0 to 1.
func (poly *isotherm) ofVolumeFraction(v float64) float64 {
	return poly.solveByVolume(v*poly.density(1), scaleReference.massFraction(v))
}
