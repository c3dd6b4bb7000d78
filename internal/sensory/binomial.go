package sensory

import "math"

// atLeast is the chance of right or more successes in n tries of chance c. The
// tail away from the mean is the one that is summed, so that small chances
// keep their digits.
func atLeast(right, n int, c float64) float64 {
	switch {
	case right <= 0 || c >= 1:
		return indicator(right <= n)
	case right > n || c <= 0:
		return 0
	case float64(right) >= float64(n)*c:
		return tail(right, n, c)
	}
	return 1 - tail(n-right+1, n, 1-c)
}

// tail sums the binomial terms from right upwards, each from the one before
// it. right is at or above the mean, so the terms fall and the sum may end when
// they no longer count.
func tail(right, n int, c float64) float64 {
	term := math.Exp(logChoose(n, right) + float64(right)*math.Log(c) + float64(n-right)*math.Log1p(-c))
	odds, sum := c/(1-c), term
	for i := right; i < n && term > sum*1e-18; i++ {
		term *= float64(n-i) / float64(i+1) * odds
		sum += term
	}
	return math.Min(sum, 1)
}

func indicator(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}

func logChoose(n, k int) float64 {
	return logFactorial(n) - logFactorial(k) - logFactorial(n-k)
}

func logFactorial(n int) float64 {
	value, _ := math.Lgamma(float64(n) + 1)
	return value
}
