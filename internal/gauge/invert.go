package gauge

import "math"

// heightFor finds the height between 0 and top at which a rising f reaches a
// target of 0 to f(top), to 1e-12 of f(top). It steps along the chord, and
// halves the weight of an end that stays twice (the Illinois step). Every
// fourth step halves the bracket instead, so that it never stalls where f is
// flat, at the bottom of a lying cask.
func heightFor(f func(float64) float64, top, target float64) float64 {
	b := bracket{high: top, below: f(0) - target, above: f(top) - target}
	if b.below >= 0 {
		return 0
	}
	if b.above <= 0 {
		return top
	}
	near := 1e-12 * (b.above - b.below)
	for i := 1; i <= 200; i++ {
		x := b.chord()
		if i%4 == 0 {
			x = (b.low + b.high) / 2
		}
		y := f(x) - target
		if math.Abs(y) <= near || b.high-b.low <= 1e-14*top {
			return x
		}
		b.narrow(x, y)
	}
	return (b.low + b.high) / 2
}

// bracket is two heights with what f misses the target by at each.
type bracket struct {
	low, high    float64
	below, above float64 // below zero at low, above zero at high
	last         int     // which end moved last: -1 low, +1 high
}

// chord is where the straight line between the ends crosses zero.
func (b *bracket) chord() float64 {
	x := (b.low*b.above - b.high*b.below) / (b.above - b.below)
	if x > b.low && x < b.high {
		return x
	}
	return (b.low + b.high) / 2
}

func (b *bracket) narrow(x, y float64) {
	if y > 0 {
		b.high, b.above = x, y
		if b.last > 0 {
			b.below /= 2
		}
		b.last = 1
		return
	}
	b.low, b.below = x, y
	if b.last < 0 {
		b.above /= 2
	}
	b.last = -1
}
