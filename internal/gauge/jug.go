package gauge

import (
	"math"

	"example.org/croze/internal/spirit"
)

// Jug is a measure that is filled to its mark a number of times, and a last
// part of it.
type Jug struct {
	Holds   spirit.Litres `json:"holds_l"`    // to the mark, 0.01 to 1000 L
	HoldsSD spirit.Litres `json:"holds_sd_l"` // of the mark: the same error every time
	FillSD  spirit.Litres `json:"fill_sd_l"`  // of filling to the mark: another error every time
	Times   int           `json:"times"`      // 0 to 10 000
	Last    spirit.Litres `json:"last_l"`     // 0 to Holds
	LastSD  spirit.Litres `json:"last_sd_l"`
}

// UsualJug returns a measure of that size with the uncertainties taken where
// none is stated: 0.5 % of its size for the mark, 0.5 % for each filling and
// 1 % for reading the last part. Common practice.
func UsualJug(holds spirit.Litres, times int, last spirit.Litres) Jug {
	return Jug{
		Holds: holds, HoldsSD: 0.005 * holds, FillSD: 0.005 * holds,
		Times: times, Last: last, LastSD: 0.01 * holds,
	}
}

// ByJug returns the content poured through a jug, with the usual uncertainties.
func ByJug(holds spirit.Litres, times int, last spirit.Litres, l Liquid) (Measured, error) {
	return UsualJug(holds, times, last).Content(l)
}

// Content returns what was poured, brought to 20 °C. The jug is taken to hold
// the same at every temperature: glass grows by 0.03 % from 10 to 20 °C.
func (j Jug) Content(l Liquid) (Measured, error) {
	for _, err := range []error{
		between("size of the jug", "L", float64(j.Holds), 0.01, 1000),
		between("number of jugs", "jugs", float64(j.Times), 0, 10_000),
		between("last part of a jug", "L", float64(j.Last), 0, float64(j.Holds)),
		checkSD("the jug", "L", float64(j.HoldsSD)),
		checkSD("filling the jug", "L", float64(j.FillSD)),
		checkSD("the last part", "L", float64(j.LastSD)),
	} {
		if err != nil {
			return Measured{}, err
		}
	}
	n := float64(j.Times)
	v := spirit.Litres(n)*j.Holds + j.Last
	lastSD := float64(j.LastSD)
	if j.Last == 0 {
		lastSD = 0 // nothing was left to read
	}
	mark := (n + float64(j.Last/j.Holds)) * float64(j.HoldsSD)
	sd := math.Sqrt(mark*mark + n*float64(j.FillSD)*float64(j.FillSD) + lastSD*lastSD)
	return VolumeContent(FromJug, v, spirit.Litres(sd), l)
}
