package picture

import (
	"math"
	"strconv"
)

// axis maps values to pixels, with ticks at round numbers.
type axis struct {
	low, high float64 // values at the two ends
	from, to  float64 // pixels at the two ends
	step      float64 // between ticks
}

// newAxis widens a range of values to round numbers. A range without width gets some.
func newAxis(low, high, from, to float64, mostTicks int) axis {
	if !(high > low) {
		pad := math.Max(1, math.Abs(low)*0.05)
		low, high = low-pad, high+pad
	}
	step := roundStep((high - low) / float64(mostTicks))
	return axis{
		low: math.Floor(low/step) * step, high: math.Ceil(high/step) * step,
		from: from, to: to, step: step,
	}
}

// roundStep is the smallest of 1, 2 and 5 times a power of ten that is not below x.
func roundStep(x float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(x)))
	for _, m := range []float64{1, 2, 5} {
		if x <= m*power {
			return m * power
		}
	}
	return 10 * power
}

func (a axis) at(v float64) float64 {
	return a.from + (v-a.low)/(a.high-a.low)*(a.to-a.from)
}

func (a axis) ticks() []float64 {
	var ticks []float64
	for i := 0; ; i++ {
		v := a.low + float64(i)*a.step
		if v > a.high+a.step/1000 {
			return ticks
		}
		ticks = append(ticks, v)
	}
}

// label writes a tick with no more decimals than the step needs.
func (a axis) label(v float64) string {
	decimals := max(0, -int(math.Floor(math.Log10(a.step)+1e-9)))
	return strconv.FormatFloat(v, 'f', decimals, 64)
}
