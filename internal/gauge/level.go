package gauge

import "math"

// UsualLevelSD is the standard uncertainty taken for a level seen through
// glass, cm. Common practice.
const UsualLevelSD Centimetres = 0.1

// Level is the height of the liquid in a jar, seen from outside, floor to
// surface. Staves standing in it take room.
type Level struct {
	Jar      Jar         `json:"jar"`
	Capacity Capacity    `json:"capacity"` // brim-full and without staves; Jar.Figured() if never measured
	Staves   Staves      `json:"staves"`   // none: the zero value
	Height   Centimetres `json:"height_cm"`
	HeightSD Centimetres `json:"height_sd_cm"`
}

// ByLevel returns the content of a jar of which only the measures are known,
// with the usual uncertainties.
func ByLevel(j Jar, s Staves, height Centimetres, l Liquid) (Measured, error) {
	capacity, err := j.Figured()
	if err != nil {
		return Measured{}, err
	}
	return Level{Jar: j, Capacity: capacity, Staves: s, Height: height, HeightSD: UsualLevelSD}.Content(l)
}

// Content returns what the level shows, brought to 20 °C.
func (h Level) Content(l Liquid) (Measured, error) {
	if err := h.Jar.Check(); err != nil {
		return Measured{}, err
	}
	top := h.Jar.Height()
	for _, err := range []error{
		h.Staves.Check(),
		h.Capacity.check(),
		between("level in a jar", "cm", float64(h.Height), 0, float64(top)),
		checkSD("the level", "cm", float64(h.HeightSD)),
	} {
		if err != nil {
			return Measured{}, err
		}
	}
	full := h.Jar.below(float64(top))
	// The measured capacity corrects the jar, so the wood is put on its scale.
	wood := full / (float64(h.Capacity.Volume) * cubicCentimetresPerLitre)
	below := func(at float64) float64 {
		return math.Max(0, h.Jar.below(at)-wood*h.Staves.below(at))
	}
	v, sd := h.Capacity.filled(below, full, float64(h.Height), float64(h.HeightSD), float64(top))
	return VolumeContent(FromLevel, v, sd, l)
}
