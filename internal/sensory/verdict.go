package sensory

import (
	"fmt"
	"strconv"
)

// Verdict is a scored test and what it means.
type Verdict struct {
	Test    Test
	Right   int
	Answers int
	P       float64 // exact
	Alpha   float64 // the risk that was chosen beforehand
	Least   int     // right answers that would have been enough; 0 if none
	Found   bool    // P is at most Alpha
	Able    Share   // who can tell them apart; each bound is wrong at most 1 time in 20
	Meaning string  // in a sentence or two
}

// boundRisk is the risk of each bound of Verdict.Able.
const boundRisk = 0.05

// Score works out a finished test at a risk alpha that was chosen beforehand.
func Score(test Test, right, answers int, alpha float64) (Verdict, error) {
	p, err := PValue(test, right, answers)
	if err != nil {
		return Verdict{}, err
	}
	least, _, err := LeastRight(test, answers, alpha)
	if err != nil {
		return Verdict{}, err
	}
	able, err := Distinguishers(test, right, answers, boundRisk)
	if err != nil {
		return Verdict{}, err
	}
	v := Verdict{Test: test, Right: right, Answers: answers, P: p, Alpha: alpha, Least: least, Found: p <= alpha, Able: able}
	v.Meaning = v.meaning()
	return v, nil
}

// meaning says it without the word "significant", which means something else
// to most people.
func (v Verdict) meaning() string {
	result := fmt.Sprintf("%d of %d answers were right. If nobody could tell the samples apart, so many or more would come about in %s of such tests", v.Right, v.Answers, inPercent(v.P))
	if v.Test == PairedEither {
		result = fmt.Sprintf("%d of %d answers went to one sample. If there were nothing to choose between them, a result as lopsided would come about in %s of such tests", v.Right, v.Answers, inPercent(v.P))
	}
	if v.Found {
		return fmt.Sprintf("%s: a sign of a difference, at the risk of %s that was chosen.", result, inPercent(v.Alpha))
	}
	if v.Test == PairedEither {
		return result + ": no sign of a difference. That does not show that there is none."
	}
	return fmt.Sprintf("%s: no sign of a difference. That does not show that they are alike: up to %s of tasters may be able to tell them apart.", result, inPercent(v.Able.High))
}

// inPercent writes a share with two significant digits.
func inPercent(share float64) string {
	switch percent := share * 100; {
	case percent == 0:
		return "0 %"
	case percent < 0.01:
		return "less than 0.01 %"
	case percent >= 99.5:
		return "almost all"
	default:
		return trimmed(percent) + " %"
	}
}

// trimmed writes two significant digits without an exponent.
func trimmed(x float64) string {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 1, 64), 64)
	if err != nil {
		return strconv.FormatFloat(x, 'g', 2, 64)
	}
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}
