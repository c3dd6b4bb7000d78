package blend

import (
	"fmt"
	"math"
)

// step is a line of a table of errors by nominal quantity: up to a quantity in
// mL, either a percentage of it or a fixed number of mL.
type step struct{ upTo, percent, fixed float64 }

// tolerable is the table of tolerable negative errors (UK SI 2006/659; the same
// as Directive 76/211/EEC Annex I, which is from memory).
var tolerable = []step{
	{50, 9, 0},
	{100, 0, 4.5},
	{200, 4.5, 0},
	{300, 0, 9},
	{500, 3, 0},
	{1000, 0, 15},
	{10_000, 1.5, 0},
	{15_000, 0, 150},
	{math.Inf(1), 1, 0},
}

// container is the table of errors of measuring container bottles (Directive
// 75/107/EEC, as in UK SI 2019/696).
var container = []step{
	{100, 0, 3},
	{200, 3, 0},
	{300, 0, 6},
	{500, 2, 0},
	{1000, 0, 10},
	{5000, 1, 0},
}

// TolerableError is how much less than its nominal quantity (5 mL and more) a
// bottle may hold, in mL; errors given as a percentage are rounded up to 0.1 mL.
func TolerableError(nominalMl float64) float64 {
	for _, s := range tolerable {
		if nominalMl > s.upTo {
			continue
		}
		if s.percent == 0 {
			return s.fixed
		}
		return math.Ceil(nominalMl*s.percent/10-1e-9) / 10
	}
	return math.NaN()
}

// ContainerError is how far the capacity of a measuring container bottle (50 to
// 5000 mL) may be from its nominal one, in mL.
func ContainerError(nominalMl float64) (float64, error) {
	if !(nominalMl >= 50 && nominalMl <= 5000) {
		return 0, fmt.Errorf("nominal capacity: %s mL is outside 50 to 5000; there is no rule for measuring container bottles of that size", plainNumber(nominalMl))
	}
	for _, s := range container {
		if nominalMl <= s.upTo {
			return s.fixed + nominalMl*s.percent/100, nil
		}
	}
	return 0, nil
}

// MeanFill is the least mean fill (mL at 20 °C) that keeps the three rules for
// packers (SI 2006/659): the mean is at least nominal, no more than 2.5 % (from
// memory) hold less than nominal by the tolerable error, and none, taken as 1 in
// 10 000, less by twice that. sd is the spread of single fills, mL.
func MeanFill(nominalMl, sd float64) float64 {
	e := TolerableError(nominalMl)
	const oneInForty, oneInTenThousand = 1.959963984540054, 3.719016485455709
	return math.Max(nominalMl, math.Max(nominalMl-e+oneInForty*sd, nominalMl-2*e+oneInTenThousand*sd))
}

// Fills is the verdict on a batch of measured fills.
type Fills struct {
	Count      int     `json:"count"`
	MeanMl     float64 `json:"mean_ml"`
	ErrorMl    float64 `json:"tolerable_error_ml"`
	Short      int     `json:"short"`       // below nominal less the tolerable error
	VeryShort  int     `json:"very_short"`  // below nominal less twice that
	ShortLimit int     `json:"short_limit"` // how many may be short
	Passes     bool    `json:"passes"`
}

// CheckFills holds measured fills (mL at 20 °C) against the rules for packers.
func CheckFills(nominalMl float64, fills []float64) (Fills, error) {
	found := &problems{}
	checkNumber(found, "", "nominal_ml", nominalMl, scope{5, 100_000, false})
	for i, v := range fills {
		checkNumber(found, "", fmt.Sprintf("fills[%d]", i), v, scope{0, 200_000, false})
	}
	if len(fills) == 0 {
		found.add("fills", "is empty; measure some bottles")
	}
	if err := found.err(); err != nil {
		return Fills{}, err
	}
	out := Fills{Count: len(fills), ErrorMl: TolerableError(nominalMl), ShortLimit: len(fills) / 40}
	for _, v := range fills {
		out.MeanMl += v / float64(len(fills))
		if v < nominalMl-out.ErrorMl {
			out.Short++
		}
		if v < nominalMl-2*out.ErrorMl {
			out.VeryShort++
		}
	}
	out.Passes = out.MeanMl >= nominalMl-1e-9 && out.Short <= out.ShortLimit && out.VeryShort == 0
	return out, nil
}
