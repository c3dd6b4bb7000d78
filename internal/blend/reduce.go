package blend

import (
	"fmt"
	"math"
)

// Reducing is a lot proofed down with water, whole or in portions. It is the
// output of `croze reduce`. Volumes are litres at 20 °C, masses kg in vacuum.
type Reducing struct {
	WaterL       float64   `json:"water_l"`
	WaterKg      float64   `json:"water_kg"`
	VolumeL      float64   `json:"volume_l"`
	ContractionL float64   `json:"contraction_l"`
	WeighsKg     float64   `json:"water_weighs_kg"` // what a balance in air shows for all the water
	Portions     []Portion `json:"portions"`
}

// Portion is one measure of a reduction: its spirit, its water and what it makes.
type Portion struct {
	SpiritL  float64 `json:"spirit_l"`
	WaterL   float64 `json:"water_l"`
	WaterKg  float64 `json:"water_kg"`
	VolumeL  float64 `json:"volume_l"`
	WeighsKg float64 `json:"water_weighs_kg"`
}

// MostPortions bounds how finely a lot may be divided.
const MostPortions = 10_000

// ReduceInPortions works out the water that brings a volume (litres at 20 °C)
// from one strength down to another, as equal portions that each fit, water
// included, in a measure of portion litres. It is the result that must fit: the
// mixture never takes more room than that on the way, since it contracts. A
// portion of 0 means one measure for the whole lot. The portions add up to the
// lot exactly: the last takes up the rounding.
func ReduceInPortions(volume, from, to, portion float64) (Reducing, error) {
	if err := checkReduction(volume, from, to, portion); err != nil {
		return Reducing{}, err
	}
	r := Reducing{VolumeL: volume * from / to} // the alcohol stays the same
	r.WaterKg = max(0, r.VolumeL*density(to)-volume*density(from))
	r.WaterL = r.WaterKg / waterDensity
	r.ContractionL = volume + r.WaterL - r.VolumeL
	r.WeighsKg = weighed(r.WaterKg, waterDensity)
	n := 1
	if portion > 0 {
		n = portionsFor(r.VolumeL, portion)
	}
	if n > MostPortions {
		return Reducing{}, fmt.Errorf("portion: %v L would make %d portions of %.1f L; the most is %d", portion, n, r.VolumeL, MostPortions)
	}
	r.Portions = portions(volume, r, n)
	return r, nil
}

// portionsFor is how many measures hold the result; a hair over the last full
// one is rounding, not another portion.
func portionsFor(made, measure float64) int {
	return max(1, int(math.Ceil(made/measure-1e-9)))
}

// portions divides a reduction into n equal ones.
func portions(spiritL float64, r Reducing, n int) []Portion {
	out := make([]Portion, n)
	rest := Portion{spiritL, r.WaterL, r.WaterKg, r.VolumeL, r.WeighsKg}
	each := Portion{spiritL / float64(n), r.WaterL / float64(n), r.WaterKg / float64(n), r.VolumeL / float64(n), r.WeighsKg / float64(n)}
	for i := range n - 1 {
		out[i] = each
		rest = Portion{
			rest.SpiritL - each.SpiritL, rest.WaterL - each.WaterL, rest.WaterKg - each.WaterKg,
			rest.VolumeL - each.VolumeL, rest.WeighsKg - each.WeighsKg,
		}
	}
	out[n-1] = rest
	return out
}

// checkReduction names the value that is out of range.
func checkReduction(volume, from, to, portion float64) error {
	found := &problems{}
	checkNumber(found, "", "volume", volume, aVolume)
	checkNumber(found, "", "from", from, scope{0, 100, true})
	checkNumber(found, "", "to", to, scope{0, 100, true})
	if portion != 0 {
		checkNumber(found, "", "portion", portion, aVolume)
	}
	if err := found.err(); err != nil {
		return err
	}
	if to > from {
		found.add("to", "%s %% vol is above the spirit's %s; water only brings it down", plainNumber(to), plainNumber(from))
	}
	return found.err()
}
