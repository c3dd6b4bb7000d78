package sensory

import (
	"fmt"
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// exactTail sums the same tail in fractions, term by term.
func exactTail(right, n int, c *big.Rat) float64 {
	guess := new(big.Rat).Sub(big.NewRat(1, 1), c)
	sum := new(big.Rat)
	for i := right; i <= n; i++ {
		term := new(big.Rat).SetInt(new(big.Int).Binomial(int64(n), int64(i)))
		for range i {
			term.Mul(term, c)
		}
		for range n - i {
			term.Mul(term, guess)
		}
		sum.Add(sum, term)
	}
	value, _ := sum.Float64()
	return value
}

func TestPValuesAgainstFractions(t *testing.T) {
	for _, test := range []struct {
		test   Test
		chance *big.Rat
	}{{Triangle, big.NewRat(1, 3)}, {DuoTrio, big.NewRat(1, 2)}} {
		for _, n := range []int{1, 2, 7, 30, 61, 100} {
			for right := range n + 1 {
				got, err := PValue(test.test, right, n)
				want := exactTail(right, n, test.chance)
				if err != nil || math.Abs(got-want) > 1e-12*want {
					t.Errorf("%s, %d of %d: %v (%v), by fractions %v", test.test, right, n, got, err, want)
				}
			}
		}
	}
}

func TestPValueFallsWithRightAnswers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		test := rapid.SampledFrom([]Test{Triangle, DuoTrio, PairedMore}).Draw(t, "test")
		n := rapid.IntRange(1, MostAnswers).Draw(t, "answers")
		right := rapid.IntRange(0, n-1).Draw(t, "right")
		more, err := PValue(test, right+1, n)
		if err != nil {
			t.Fatal(err)
		}
		fewer, err := PValue(test, right, n)
		if err != nil || more > fewer || more < 0 || fewer > 1 {
			t.Fatalf("%s of %d: p(%d) = %v, p(%d) = %v, %v", test, n, right, fewer, right+1, more, err)
		}
	})
}

func TestEitherSideIsTheSameBothWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 400).Draw(t, "answers")
		right := rapid.IntRange(0, n).Draw(t, "right")
		one, errOne := PValue(PairedEither, right, n)
		other, errOther := PValue(PairedEither, n-right, n)
		if one != other || errOne != nil || errOther != nil || one > 1 {
			t.Fatalf("%d and %d of %d: %v and %v", right, n-right, n, one, other)
		}
	})
}

func TestLeastRightIsTheLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		test := rapid.SampledFrom(DifferenceTests).Draw(t, "test")
		n := rapid.IntRange(1, 300).Draw(t, "answers")
		alpha := rapid.Float64Range(0.0001, 0.5).Draw(t, "alpha")
		least, ok, err := LeastRight(test, n, alpha)
		if err != nil {
			t.Fatal(err)
		}
		if !ok {
			if pValue(test, n, n) <= alpha {
				t.Fatalf("all %d right would do", n)
			}
			return
		}
		if pValue(test, least, n) > alpha || least > 0 && pValue(test, least-1, n) <= alpha && 2*(least-1) >= n {
			t.Fatalf("%s, %d answers, risk %v: %d is not the least", test, n, alpha, least)
		}
	})
}

func TestPowerRisesWithWhatThereIsToTaste(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		test := rapid.SampledFrom(DifferenceTests).Draw(t, "test")
		n := rapid.IntRange(8, 300).Draw(t, "answers")
		able := rapid.Float64Range(0.01, 0.98).Draw(t, "able")
		less, err := Power(test, n, 0.05, able)
		if err != nil {
			t.Fatal(err)
		}
		more, err := Power(test, n, 0.05, able+0.02)
		if err != nil || more < less-1e-12 || less < 0 || more > 1 {
			t.Fatalf("%s, %d answers: power %v for %v and %v for more (%v)", test, n, less, able, more, err)
		}
	})
}

func TestNeededAnswersDoTheJob(t *testing.T) {
	for _, test := range DifferenceTests {
		n, err := NeededAnswers(test, 0.05, 0.2, 0.4)
		if err != nil {
			t.Fatal(err)
		}
		enough, err := Power(test, n, 0.05, 0.4)
		if err != nil || enough < 0.8 {
			t.Errorf("%s: %d answers have power %v (%v)", test, n, enough, err)
		}
		fewer, err := Power(test, n-1, 0.05, 0.4)
		if err != nil || fewer >= 0.8 {
			t.Errorf("%s: %d answers were enough, power %v (%v)", test, n-1, fewer, err)
		}
	}
}

// Over everything that can happen, each bound misses the truth with a chance of
// at most the risk: summed exactly, not drawn.
func TestBoundsOfDistinguishersHold(t *testing.T) {
	const n, risk = 24, 0.05
	for _, able := range []float64{0, 0.1, 0.35, 0.7, 1} {
		c := Triangle.Chance() + able*(1-Triangle.Chance())
		tooLow, tooHigh := 0.0, 0.0
		for right := range n + 1 {
			share, err := Distinguishers(Triangle, right, n, risk)
			if err != nil || share.Low > share.Estimate+1e-9 || share.Estimate > share.High+1e-9 {
				t.Fatalf("%d of %d: %+v, %v", right, n, share, err)
			}
			chance := atLeast(right, n, c) - atLeast(right+1, n, c)
			if share.High < able-1e-9 {
				tooLow += chance
			}
			if share.Low > able+1e-9 {
				tooHigh += chance
			}
		}
		if tooLow > risk || tooHigh > risk {
			t.Errorf("with %v able, the bounds miss in %.3f and %.3f of tests, promised %v", able, tooLow, tooHigh, risk)
		}
	}
}

func TestDifferenceRefuses(t *testing.T) {
	_, ranking := PValue(Ranking, 1, 2)
	_, none := PValue(Triangle, 0, 0)
	_, many := PValue(Triangle, 0, MostAnswers+1)
	_, over := PValue(Triangle, 5, 4)
	_, under := PValue(Triangle, -1, 4)
	_, _, risk := LeastRight(Triangle, 4, 0)
	_, _, notANumber := LeastRight(Triangle, 4, math.NaN())
	_, able := Power(Triangle, 4, 0.05, 0)
	_, beta := NeededAnswers(Triangle, 0.05, 1, 0.5)
	_, endless := NeededAnswers(Triangle, 0.01, 0.01, 0.001)
	_, score := Score(Triangle, 3, 2, 0.05)
	_, scoreRisk := Score(Triangle, 1, 2, 2)
	_, bound := Distinguishers(Triangle, 1, 2, 0)
	for i, err := range []error{ranking, none, many, over, under, risk, notANumber, able, beta, endless, score, scoreRisk, bound} {
		if err == nil {
			t.Errorf("case %d is taken without complaint", i)
		}
	}
}

func ExampleScore() {
	for _, right := range []int{7, 10} {
		verdict, err := Score(Triangle, right, 18, 0.05)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(verdict.Meaning)
	}
	// Output:
	// 7 of 18 answers were right. If nobody could tell the samples apart, so many or more would come about in 39 % of such tests: no sign of a difference. That does not show that they are alike: up to 41 % of tasters may be able to tell them apart.
	// 10 of 18 answers were right. If nobody could tell the samples apart, so many or more would come about in 4.3 % of such tests: a sign of a difference, at the risk of 5 % that was chosen.
}

func ExampleScore_eitherSide() {
	for _, right := range []int{9, 18} {
		verdict, err := Score(PairedEither, right, 20, 0.05)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(verdict.Meaning)
	}
	// Output:
	// 9 of 20 answers went to one sample. If there were nothing to choose between them, a result as lopsided would come about in 82 % of such tests: no sign of a difference. That does not show that there is none.
	// 18 of 20 answers went to one sample. If there were nothing to choose between them, a result as lopsided would come about in 0.04 % of such tests: a sign of a difference, at the risk of 5 % that was chosen.
}
