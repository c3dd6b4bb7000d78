package gauge

import "math"

// heightFor finds the height between 0 and top at which a rising f reaches a
// target of 0 to f(top), to 1e-12 of f(top). Steps along the chord and halvings
// of the bracket take turns: the chord is quick where f is nearly straight, and
// the halving never stalls where it is flat, at the bottom of a lying cask.
func heightFor(f func(float64) float64, top, target float64) float64 {
	low, high := 0.0, top
	below, above := f(low)-target, f(high)-target
	if below >= 0 {
		return low
	}
	if above <= 0 {
		return high
	}
	near := 1e-12 * (above - below)
	for i := range 200 {
		x := (low + high) / 2
		if chord := (low*above - high*below) / (above - below); i%2 == 0 && chord > low && chord < high {
			x = chord
		}
		y := f(x) - target
		if math.Abs(y) <= near || high-low <= 1e-14*top {
			return x
		}
		if y > 0 {
			high, above = x, y
		} else {
			low, below = x, y
		}
	}
	return (low + high) / 2
}
