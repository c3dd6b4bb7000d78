package spirit

import "math"

// UsualTemperatureSD is the standard uncertainty taken for a thermometer in a
// sample glass where none is stated, °C. Common practice, not a certificate.
const UsualTemperatureSD Celsius = 0.2

// UsualReadingSD returns the standard uncertainty taken for a reading on this
// scale where none is stated: 0.1 % vol, and what that is on the other scales
// near 50 % vol (0.2 proof, 0.2 kg/m³, 0.0002). Common practice with a good
// stem in a clean glass, not a certificate.
func (s Scale) UsualReadingSD() float64 {
	switch s {
	case ScaleProof, ScaleDensity:
		return 0.2
	case ScaleGravity:
		return 0.0002
	default:
		return 0.1
	}
}

// Observation is a hydrometer read in a liquid, each number with its standard
// uncertainty.
type Observation struct {
	Reading, ReadingSD float64 // in the unit of the stem
	At, AtSD           Celsius // temperature of the liquid, -20 to +40 °C
}

// Observed returns an observation with the usual uncertainties of the scale.
func (h Hydrometer) Observed(reading float64, at Celsius) Observation {
	return Observation{reading, h.Scale.UsualReadingSD(), at, UsualTemperatureSD}
}

// Strength returns the % vol at 20 °C that an observation stands for and its
// standard uncertainty: each input is moved by its own, the strength follows,
// and the two movements, being independent, are added in square (GUM 5.1.2).
func (h Hydrometer) Strength(o Observation) (q, sd Strength, err error) {
	if err := o.check(); err != nil {
		return 0, 0, err
	}
	q, err = h.strength(o.Reading, o.At)
	if err != nil {
		return 0, 0, err
	}
	byReading := h.moved(o, o.ReadingSD, 0)
	byTemperature := h.moved(o, 0, o.AtSD)
	return q, Strength(math.Hypot(byReading, byTemperature)), nil
}

func (h Hydrometer) strength(reading float64, t Celsius) (Strength, error) {
	p, err := h.True(reading, t)
	if err != nil {
		return 0, err
	}
	return p.Strength()
}

// moved returns how far the strength goes when an input goes by its
// uncertainty. At the end of a scale only the side that exists is used, and
// where neither does, a smaller step is taken for the slope.
func (h Hydrometer) moved(o Observation, readingSD float64, atSD Celsius) float64 {
	for step := 1.0; step > 1e-6; step /= 8 {
		r, t := step*readingSD, Celsius(step)*atSD
		up, errUp := h.strength(o.Reading+r, o.At+t)
		down, errDown := h.strength(o.Reading-r, o.At-t)
		here, _ := h.strength(o.Reading, o.At) // taken as checked
		switch {
		case errUp == nil && errDown == nil:
			return float64(up-down) / (2 * step)
		case errUp == nil:
			return float64(up-here) / step
		case errDown == nil:
			return float64(here-down) / step
		}
	}
	return 0
}

func (o Observation) check() error {
	if !inRange(o.ReadingSD, 0, 100) {
		return &RangeError{"standard uncertainty of the reading", "in its unit", o.ReadingSD, 0, 100}
	}
	if !inRange(float64(o.AtSD), 0, 30) {
		return &RangeError{"standard uncertainty of the temperature", "°C", float64(o.AtSD), 0, 30}
	}
	return nil
}
