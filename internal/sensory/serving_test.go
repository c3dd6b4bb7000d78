package sensory

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

func orderOf(s Sitting) string {
	text := ""
	for _, cup := range s.Cups {
		text += fmt.Sprint(cup.Sample)
	}
	return text
}

func TestOrdersComeUpEquallyOften(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		test := rapid.SampledFrom(append([]Test{Ranking}, DifferenceTests...)).Draw(t, "test")
		samples := 2
		if test == Ranking {
			samples = rapid.IntRange(LeastRanked, MostRanked).Draw(t, "samples")
		}
		tasters := rapid.IntRange(1, 60).Draw(t, "tasters")
		seed := rapid.Uint64().Draw(t, "seed")
		plan, err := Plan(test, tasters, samples, rand.New(rand.NewPCG(seed, 1)))
		if err != nil || len(plan) != tasters {
			t.Fatalf("%d sittings, %v", len(plan), err)
		}
		orders, err := ordersOf(test, samples)
		if err != nil {
			t.Fatal(err)
		}
		times := map[string]int{}
		for _, sitting := range plan {
			times[orderOf(sitting)]++
			checkCodes(t, sitting)
		}
		for order, count := range times {
			if count < tasters/len(orders) || count > tasters/len(orders)+1 {
				t.Fatalf("order %s comes up %d times among %d tasters and %d orders", order, count, tasters, len(orders))
			}
		}
	})
}

func checkCodes(t *rapid.T, sitting Sitting) {
	seen := map[int]bool{}
	for i, cup := range sitting.Cups {
		if open := sitting.Test == DuoTrio && i == 0; open {
			if !cup.Reference || cup.Code != 0 {
				t.Fatalf("the reference should stand open in front: %+v", sitting)
			}
			continue
		}
		a, b, c := cup.Code/100, cup.Code/10%10, cup.Code%10
		if cup.Code < 100 || cup.Code > 999 || a == b || b == c || a == c || seen[cup.Code] || cup.Reference {
			t.Fatalf("cups %+v", sitting.Cups)
		}
		seen[cup.Code] = true
	}
}

// Every sample at each place equally often, and after each other one equally often.
func TestRankingSquaresAreBalanced(t *testing.T) {
	for samples := LeastRanked; samples <= MostRanked; samples++ {
		orders := williams(samples)
		at, after := map[[2]int]int{}, map[[2]int]int{}
		for _, order := range orders {
			for place, sample := range order {
				at[[2]int{place, sample}]++
				if place > 0 {
					after[[2]int{order[place-1], sample}]++
				}
			}
		}
		if len(at) != samples*samples || len(after) != samples*(samples-1) {
			t.Fatalf("%d samples: %d places and %d neighbours come up", samples, len(at), len(after))
		}
		for key, count := range at {
			if count != len(orders)/samples {
				t.Errorf("%d samples: sample %d stands %d times at place %d", samples, key[1], count, key[0])
			}
		}
		for key, count := range after {
			if count != len(orders)/samples {
				t.Errorf("%d samples: %d comes %d times after %d", samples, key[1], count, key[0])
			}
		}
	}
}

func TestPlanIsDrawnAgainFromItsSeed(t *testing.T) {
	draw := func(seed uint64) string {
		plan, err := Plan(Triangle, 30, 2, rand.New(rand.NewPCG(seed, 0)))
		if err != nil {
			t.Fatal(err)
		}
		return fmt.Sprint(plan)
	}
	first, again := draw(1), draw(1)
	if first != again {
		t.Error("the same seed gave two plans")
	}
	if first == draw(2) {
		t.Error("two seeds gave the same plan")
	}
}

func TestRightAnswers(t *testing.T) {
	triangle := Sitting{Test: Triangle, Taster: 1, Cups: []Cup{{Code: 123}, {Code: 456, Sample: 1}, {Code: 789}}}
	duoTrio := Sitting{Test: DuoTrio, Taster: 1, Cups: []Cup{{Sample: 1, Reference: true}, {Code: 456, Sample: 1}, {Code: 789}}}
	paired := Sitting{Test: PairedMore, Taster: 1, Cups: []Cup{{Code: 456, Sample: 1}, {Code: 789}}}
	for _, sitting := range []Sitting{triangle, duoTrio, paired} {
		if right, err := sitting.Right(456); !right || err != nil {
			t.Errorf("%s: 456 is %v, %v", sitting.Test, right, err)
		}
		if right, err := sitting.Right(789); right || err != nil {
			t.Errorf("%s: 789 is %v, %v", sitting.Test, right, err)
		}
		if _, err := sitting.Right(321); err == nil {
			t.Errorf("%s: a code that was not served is taken", sitting.Test)
		}
	}
	if _, err := duoTrio.Right(0); err == nil {
		t.Error("the reference is taken for an answer")
	}
	if _, err := (Sitting{Test: Ranking, Cups: paired.Cups}).Right(456); err == nil {
		t.Error("a ranking has no right answer")
	}
}

// Guessers are right as often as the test says.
func TestGuessersAreRightByChance(t *testing.T) {
	const seed, tasters = 11, MostTasters
	random := rand.New(rand.NewPCG(seed, seed))
	for _, test := range DifferenceTests {
		plan, err := Plan(test, tasters, 2, random)
		if err != nil {
			t.Fatal(err)
		}
		right := 0
		for _, sitting := range plan {
			cup := sitting.Cups[len(sitting.Cups)-1-random.IntN(choices(test))]
			yes, err := sitting.Right(cup.Code)
			if err != nil {
				t.Fatal(err)
			}
			if yes {
				right++
			}
		}
		if p, err := PValue(test, right, tasters); err != nil || p < 1e-4 || p > 1-1e-4 {
			t.Errorf("%s: %d of %d guesses are right, p %v, %v (seed %d)", test, right, tasters, p, err, seed)
		}
	}
}

func choices(test Test) int {
	if test == Triangle {
		return 3
	}
	return 2
}

func TestPlanRefuses(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	for _, c := range []struct {
		test             Test
		tasters, samples int
	}{
		{Triangle, 0, 2}, {Triangle, MostTasters + 1, 2}, {Triangle, 5, 3}, {Ranking, 5, 2}, {Ranking, 5, 9}, {"tetrad", 5, 2},
	} {
		if plan, err := Plan(c.test, c.tasters, c.samples, random); err == nil {
			t.Errorf("%+v: %v", c, plan)
		}
	}
}
