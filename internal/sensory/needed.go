package sensory

import "fmt"

// Power returns the chance (0 to 1) that a test of so many answers finds a
// difference at risk alpha, when the share able of the tasters (above 0, at
// most 1) can tell the samples apart and the others guess. In a paired test of
// either side, able is the excess of one choice over the other.
func Power(test Test, answers int, alpha, able float64) (float64, error) {
	if !(able > 0 && able <= 1) {
		return 0, fmt.Errorf("share of tasters: %v: must be above 0 and at most 1", able)
	}
	least, ok, err := LeastRight(test, answers, alpha)
	if err != nil || !ok {
		return 0, err
	}
	return power(test, answers, least, able), nil
}

func power(test Test, answers, least int, able float64) float64 {
	c := test.Chance() + able*(1-test.Chance())
	found := atLeast(least, answers, c)
	if test == PairedEither {
		found += atLeast(least, answers, 1-c) // as lopsided the other way
	}
	return min(found, 1)
}

// NeededAnswers returns the least number of answers at which the risk of
// finding a difference that is not there is at most alpha and the risk of
// missing one that the share able of tasters can taste is at most beta. The
// power goes up and down a little with each answer more; the number returned is
// the first that does it.
func NeededAnswers(test Test, alpha, beta, able float64) (int, error) {
	if err := checkRisk("risk of missing a difference", beta); err != nil {
		return 0, err
	}
	if _, err := Power(test, 1, alpha, able); err != nil {
		return 0, err
	}
	for answers := 2; answers <= MostAnswers; answers++ {
		least, ok := leastRight(test, answers, alpha)
		if ok && power(test, answers, least, able) >= 1-beta {
			return answers, nil
		}
	}
	return 0, fmt.Errorf("needed answers: more than %d: allow more risk or look for a difference that more tasters can taste", MostAnswers)
}

// Share is an estimate of a share with the bounds of its confidence interval,
// all from 0 to 1.
type Share struct{ Estimate, Low, High float64 }

// Distinguishers estimates which share of tasters really tell the samples
// apart, the rest guessing: (right/answers - c)/(1 - c), not below 0. The bounds
// each miss the truth with a chance of at most risk, by Clopper and Pearson's
// exact rule.
func Distinguishers(test Test, right, answers int, risk float64) (Share, error) {
	if _, err := PValue(test, right, answers); err != nil {
		return Share{}, err
	}
	if err := checkRisk("risk", risk); err != nil {
		return Share{}, err
	}
	if test == PairedEither {
		right = max(right, answers-right)
	}
	able := func(rightShare float64) float64 {
		return max(0, (rightShare-test.Chance())/(1-test.Chance()))
	}
	return Share{
		Estimate: able(float64(right) / float64(answers)),
		Low:      able(chanceWhere(func(c float64) bool { return atLeast(right, answers, c) >= risk })),
		High:     able(chanceWhere(func(c float64) bool { return atLeast(right+1, answers, c) >= 1-risk })),
	}, nil
}

// chanceWhere finds by halving the least chance for which reached holds, or 1.
func chanceWhere(reached func(c float64) bool) float64 {
	low, high := 0.0, 1.0
	for range 60 {
		if middle := (low + high) / 2; reached(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return high
}
