package gauge

import "math"

// points is the order of the Gauss-Legendre rule: exact for polynomials to
// degree 63, and to 1e-9 for the smooth functions that are left after the
// substitution in toEdge.
const points = 32

type rule struct{ at, weight [points]float64 }

// legendre is the rule on -1 to 1.
var legendre = newRule()

// newRule finds the zeros of the Legendre polynomial by Newton's method.
func newRule() rule {
	var r rule
	for i := range points {
		x := math.Cos(math.Pi * (float64(i) + 0.75) / (points + 0.5))
		var slope float64
		for range 20 {
			previous, value := 1.0, x
			for k := 2; k <= points; k++ {
				n := float64(k)
				previous, value = value, ((2*n-1)*x*value-(n-1)*previous)/n
			}
			slope = points * (x*value - previous) / (x*x - 1)
			x -= value / slope
		}
		r.at[i] = x
		r.weight[i] = 2 / ((1 - x*x) * slope * slope)
	}
	return r
}

// integrate sums a smooth f from a to b.
func integrate(a, b float64, f func(float64) float64) float64 {
	middle, half := (a+b)/2, (b-a)/2
	sum := 0.0
	for i, x := range legendre.at {
		sum += legendre.weight[i] * f(middle+half*x)
	}
	return half * sum
}

// toEdge sums f from 0 to b where f ends at b like a root of the distance, as
// the wet part of a lying cask does where the liquid's edge leaves the staves:
// z = b(1 - u²) makes a polynomial of the root.
func toEdge(b float64, f func(float64) float64) float64 {
	return integrate(0, 1, func(u float64) float64 { return 2 * b * u * f(b*(1-u*u)) })
}
