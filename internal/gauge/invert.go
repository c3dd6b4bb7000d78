package gauge

import "math"

// heightFor finds the height between 0 and top at which a rising f reaches target,
// by regula falsi with the Illinois step, which keeps the bracket.
func heightFor(f func(float64) float64, top, target float64) float64 {
	low, high := 0.0, top
	below, above := f(low)-target, f(high)-target
	if below >= 0 {
		return low
	}
	if above <= 0 {
		return high
	}
	side := 0
	for range 200 {
		x := (low*above - high*below) / (above - below)
		if !(x > low && x < high) {
			x = (low + high) / 2
		}
		y := f(x) - target
		if math.Abs(y) <= 1e-12*target || high-low <= 1e-12*top {
			return x
		}
		if y > 0 {
			high, above = x, y
			if side == 1 {
				below /= 2
			}
			side = 1
		} else {
			low, below = x, y
			if side == -1 {
				above /= 2
			}
			side = -1
		}
	}
	return (low + high) / 2
}
