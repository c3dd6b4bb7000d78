package sensory

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// naiveFriedman tries every arrangement of every row.
func naiveFriedman(rows [][]int, seen int) float64 {
	hits, all := 0, 0
	sums := make([]int, len(rows[0]))
	var try func(row int)
	try = func(row int) {
		if row == len(rows) {
			all++
			if spread(sums) >= seen {
				hits++
			}
			return
		}
		for _, arrangement := range arrangementsOf(rows[row]) {
			for i, rank := range arrangement {
				sums[i] += rank
			}
			try(row + 1)
			for i, rank := range arrangement {
				sums[i] -= rank
			}
		}
	}
	try(0)
	return float64(hits) / float64(all)
}

// drawRows draws rankings with ties.
func drawRows(t *rapid.T, mostSamples, mostTasters int) [][]float64 {
	k := rapid.IntRange(LeastRanked, mostSamples).Draw(t, "samples")
	n := rapid.IntRange(2, mostTasters).Draw(t, "tasters")
	rows := make([][]float64, n)
	for i := range rows {
		scores := rapid.SliceOfN(rapid.IntRange(0, k), k, k).Draw(t, "scores")
		values := make([]float64, k)
		for j, score := range scores {
			values[j] = float64(score)
		}
		rows[i] = meanRanks(values)
	}
	return rows
}

func TestFriedmanAgainstCountingEveryOutcome(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := drawRows(t, 4, 3)
		doubled, err := checkRows(rows)
		if err != nil {
			t.Fatal(err)
		}
		got, err := FriedmanTest(rows, rand.New(rand.NewPCG(1, 2)))
		if err != nil || got.Method != Exact {
			t.Fatalf("%s, %v", got.Method, err)
		}
		if want := naiveFriedman(doubled, spread(doubledSums(doubled))); math.Abs(got.P-want) > 1e-12 {
			t.Fatalf("p %v, counted %v", got.P, want)
		}
	})
}

func TestPageAgainstCountingEveryOutcome(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := drawRows(t, 4, 3)
		k := len(rows[0])
		expected := rapid.Permutation([]int{0, 1, 2, 3}[:k:k]).Filter(func(p []int) bool { return len(p) == k }).Draw(t, "expected")
		got, err := PageTest(rows, expected)
		if err != nil {
			t.Fatal(err)
		}
		doubled, place := [][]int{}, make([]int, k)
		for i, sample := range expected {
			place[sample] = i + 1
		}
		for _, row := range rows {
			var twice []int
			for _, rank := range row {
				twice = append(twice, int(2*rank))
			}
			doubled = append(doubled, twice)
		}
		if want := naivePage(doubled, place, int(2*got.Statistic)); math.Abs(got.P-want) > 1e-12 {
			t.Fatalf("p %v, counted %v", got.P, want)
		}
	})
}

func naivePage(rows [][]int, place []int, seen int) float64 {
	hits, all := 0, 0
	var try func(row, l int)
	try = func(row, l int) {
		if row == len(rows) {
			if all++; l >= seen {
				hits++
			}
			return
		}
		for _, arrangement := range arrangementsOf(rows[row]) {
			try(row+1, l+weighted(arrangement, place))
		}
	}
	try(0, 0)
	return float64(hits) / float64(all)
}

func TestDrawnAndCountedAgree(t *testing.T) {
	const seed = 5
	random := rand.New(rand.NewPCG(seed, seed))
	rows := untiedRows(4, 9, random)
	doubled, err := checkRows(rows)
	if err != nil {
		t.Fatal(err)
	}
	seen := spread(doubledSums(doubled))
	counted, ok := friedmanExact(doubled, seen)
	drawn, standardError := friedmanSimulated(doubled, seen, random)
	if !ok || math.Abs(counted-drawn) > 5*standardError {
		t.Errorf("counted %v (%v), drawn %v ± %v (seed %d)", counted, ok, drawn, standardError, seed)
	}
}

func TestLargeRankingIsDrawnAndSaysSo(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 3))
	rows := untiedRows(8, 12, random)
	got, err := FriedmanTest(rows, random)
	if err != nil || got.Method != Simulated || got.PError <= 0 || got.P <= 0 {
		t.Fatalf("%+v, %v", got, err)
	}
	again, err := FriedmanTest(rows, rand.New(rand.NewPCG(8, 8)))
	if err != nil || math.Abs(again.P-got.P) > 5*math.Hypot(got.PError, again.PError) {
		t.Errorf("two drawings give %v and %v (%v)", got.P, again.P, err)
	}
}

func TestAllAgreeAndAllTied(t *testing.T) {
	agree := [][]float64{{1, 2, 3}, {1, 2, 3}, {1, 2, 3}, {1, 2, 3}}
	got, err := FriedmanTest(agree, rand.New(rand.NewPCG(1, 1)))
	// All four alike: six arrangements in each of three further rows, one fits.
	if err != nil || math.Abs(got.P-1.0/216) > 1e-12 || got.Statistic != 8 || got.Sums[2] != 12 {
		t.Errorf("%+v, %v", got, err)
	}
	tied := [][]float64{{2, 2, 2}, {2, 2, 2}}
	if got, err := FriedmanTest(tied, rand.New(rand.NewPCG(1, 1))); err != nil || got.P != 1 || got.Statistic != 0 {
		t.Errorf("%+v, %v", got, err)
	}
}

func TestSameRowsGiveTheSameDigits(t *testing.T) {
	rows := untiedRows(5, 6, rand.New(rand.NewPCG(4, 4)))
	first, err := FriedmanTest(rows, rand.New(rand.NewPCG(1, 1)))
	if err != nil {
		t.Fatal(err)
	}
	for range 10 {
		if again, err := FriedmanTest(rows, rand.New(rand.NewPCG(1, 1))); err != nil || again.P != first.P {
			t.Fatalf("%v and %v (%v)", first.P, again.P, err)
		}
	}
}

func TestRankingRefuses(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	for name, rows := range map[string][][]float64{
		"no rows":      nil,
		"one row":      {{1, 2, 3}},
		"two samples":  {{1, 2}, {1, 2}},
		"nine samples": {{1, 2, 3, 4, 5, 6, 7, 8, 9}, {1, 2, 3, 4, 5, 6, 7, 8, 9}},
		"short row":    {{1, 2, 3}, {1, 2}},
		"twice first":  {{1, 2, 3}, {1, 1, 3}},
		"from nought":  {{0, 1, 2}, {1, 2, 3}},
		"not a number": {{1, 2, math.NaN()}, {1, 2, 3}},
	} {
		if got, err := FriedmanTest(rows, random); err == nil {
			t.Errorf("%s: %+v", name, got)
		}
	}
	good := [][]float64{{1, 2, 3}, {3, 2, 1}}
	for _, expected := range [][]int{nil, {0, 1}, {0, 1, 1}, {1, 2, 3}, {-1, 0, 1}} {
		if got, err := PageTest(good, expected); err == nil {
			t.Errorf("expected order %v: %+v", expected, got)
		}
	}
}
