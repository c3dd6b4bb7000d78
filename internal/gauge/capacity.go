package gauge

import (
	"math"

	"example.org/croze/internal/spirit"
)

// Capacity is what a vessel holds when full, and how well that is known. A
// dip says what part of a vessel is full by its shape; the capacity says of
// how much. One found by filling with weighed water is worth far more than one
// figured from a tape: which of the old curves a cask follows is seldom known.
type Capacity struct {
	Volume spirit.Litres `json:"volume_l"` // above 0
	SD     spirit.Litres `json:"sd_l"`
}

// Parts of a capacity taken for its standard uncertainty when it is figured
// from measures. Common practice.
const (
	UsualCaskSD = 0.02 // between the four curves lie 10 %, but most casks are near the first two
	UsualJarSD  = 0.01
)

// Figured returns the capacity worked out from the shape, with the usual uncertainty.
func (s Shape) Figured() (Capacity, error) {
	v, err := s.Volume()
	return Capacity{v, v * UsualCaskSD}, err
}

// Figured returns the capacity worked out from the measures, with the usual uncertainty.
func (j Jar) Figured() (Capacity, error) {
	v, err := j.Volume()
	return Capacity{v, v * UsualJarSD}, err
}

func (c Capacity) check() error {
	const least = 0.001 // a millilitre: less is no vessel
	if err := between("capacity", "L", float64(c.Volume), least, float64(LargestVolume)); err != nil {
		return err
	}
	return checkSD("the capacity", "L", float64(c.SD))
}

// filled returns the volume under a level, and its uncertainty, in a vessel
// whose shape holds below(h) of `full` (any unit) under a level h, 0 to top.
// A level error moves the volume by the slope; a capacity error scales it.
func (c Capacity) filled(below func(h float64) float64, full, h, sd, top float64) (v, vSD spirit.Litres) {
	scale := float64(c.Volume) / full
	at := scale * below(h)
	byLevel := 0.0
	if from, to := math.Max(0, h-sd), math.Min(top, h+sd); to > from {
		byLevel = scale * (below(to) - below(from)) / (to - from) * sd
	}
	byCapacity := at * float64(c.SD/c.Volume)
	return spirit.Litres(at), spirit.Litres(math.Hypot(byLevel, byCapacity))
}
