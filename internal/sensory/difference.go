package sensory

import (
	"fmt"
	"math"
)

// Test is a kind of blind test.
type Test string

// The tests. In a paired test with a side (PairedMore) one asks which sample
// has more of something that was named beforehand; without (PairedEither) the
// answer may go either way, as for liking.
const (
	Triangle     Test = "triangle"
	DuoTrio      Test = "duo-trio"
	PairedMore   Test = "paired, one side"
	PairedEither Test = "paired, either side"
	Ranking      Test = "ranking"
)

// DifferenceTests are those with right and wrong answers.
var DifferenceTests = []Test{Triangle, DuoTrio, PairedMore, PairedEither}

// Chance is the chance of a right answer by guessing; 0 for a test without
// right answers.
func (t Test) Chance() float64 {
	switch t {
	case Triangle:
		return 1.0 / 3
	case DuoTrio, PairedMore, PairedEither:
		return 0.5
	}
	return 0
}

// MostAnswers is the largest test that is worked out.
const MostAnswers = 5000

// PValue returns the chance of so many right answers or more, of so many given,
// if nobody could tell the samples apart. In a paired test of either side right
// is the answers for one of the samples, and the chance is that of a result as
// lopsided or more, either way.
func PValue(test Test, right, answers int) (float64, error) {
	switch {
	case test.Chance() == 0:
		return 0, fmt.Errorf("test: %q: has no right answers: use a triangle, duo-trio or paired test", test)
	case answers < 1 || answers > MostAnswers:
		return 0, fmt.Errorf("answers: %d: must be 1 to %d", answers, MostAnswers)
	case right < 0 || right > answers:
		return 0, fmt.Errorf("right answers: %d: must be 0 to %d, the answers given", right, answers)
	}
	return pValue(test, right, answers), nil
}

func pValue(test Test, right, answers int) float64 {
	if test == PairedEither {
		return math.Min(1, 2*atLeast(max(right, answers-right), answers, 0.5))
	}
	return atLeast(right, answers, test.Chance())
}

// LeastRight returns the least number of right answers whose p-value is at most
// the risk alpha (0 to 1, not at its ends) of finding a difference where there
// is none. ok is false when even all right would not do.
func LeastRight(test Test, answers int, alpha float64) (least int, ok bool, err error) {
	if _, err := PValue(test, 0, answers); err != nil {
		return 0, false, err
	}
	if err := checkRisk("risk of a false find", alpha); err != nil {
		return 0, false, err
	}
	least, ok = leastRight(test, answers, alpha)
	return least, ok, nil
}

// leastRight halves a range over which the p-value falls.
func leastRight(test Test, answers int, alpha float64) (int, bool) {
	low, high := 0, answers
	if test == PairedEither {
		low = answers / 2
	}
	if pValue(test, high, answers) > alpha {
		return 0, false
	}
	for low < high {
		middle := (low + high) / 2
		if pValue(test, middle, answers) <= alpha {
			high = middle
		} else {
			low = middle + 1
		}
	}
	return low, true
}

func checkRisk(field string, risk float64) error {
	if !(risk > 0 && risk < 1) {
		return fmt.Errorf("%s: %v: must lie between 0 and 1, for example 0.05", field, risk)
	}
	return nil
}
