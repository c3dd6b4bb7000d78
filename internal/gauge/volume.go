package gauge

import (
	"math"

	"example.org/croze/internal/spirit"
)

// LargestVolume is the largest volume taken, L: more is a slip of units.
const LargestVolume spirit.Litres = 1e6

// UsualVolumeSD is the standard uncertainty taken for a volume of which nothing
// more is known: 20 mL, and 0.5 % of the volume. Common practice.
func UsualVolumeSD(v spirit.Litres) spirit.Litres {
	return spirit.Litres(math.Hypot(0.02, 0.005*float64(v)))
}

// ByVolume returns the content of a volume v measured while the liquid was at
// a temperature (-20 to +40 °C), of a strength at 20 °C of 0 to 100 % vol,
// with the usual uncertainties.
func ByVolume(v spirit.Litres, at spirit.Celsius, strength spirit.Strength) (Measured, error) {
	return VolumeContent(FromVolume, v, UsualVolumeSD(v), Of(strength, at))
}

// VolumeContent returns the content of a volume, at the temperature of the
// liquid, of which the standard uncertainty is known.
func VolumeContent(by Method, v, sd spirit.Litres, l Liquid) (Measured, error) {
	if err := between("volume", "L", float64(v), 0, float64(LargestVolume)); err != nil {
		return Measured{}, err
	}
	if err := checkSD("the volume", "L", float64(sd)); err != nil {
		return Measured{}, err
	}
	return measure(by, reading{float64(v), float64(sd)}, l, func(r float64, d spirit.Density) (spirit.Kilograms, error) {
		return spirit.Kilograms(r * float64(d) / 1000), nil
	})
}
