package sensory

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

func panel(scores [][]float64) (opinions []Opinion) {
	for i, row := range scores {
		for j, score := range row {
			if !math.IsNaN(score) {
				opinions = append(opinions, Opinion{Taster: fmt.Sprint("taster ", i), Sample: fmt.Sprint("sample ", j), Score: score})
			}
		}
	}
	return opinions
}

// Everybody tasted everything: the plain means, and the standard error of the
// two-way analysis, s / sqrt(n). By hand: means 3, 5, 7; tasters -1, 0, 1; what
// is left is 0 but for four corners of one half.
func TestMeansOfAFullPanel(t *testing.T) {
	means, err := Means(panel([][]float64{{2.5, 4, 5.5}, {3, 5, 7}, {3.5, 6, 8.5}}))
	if err != nil {
		t.Fatal(err)
	}
	sd := math.Sqrt(4 * 0.25 / 4 / 3) // residual sum over its four degrees of freedom, over three opinions
	const t90 = 2.1318467863          // 95 % point of Student's t, four degrees of freedom: any table
	for i, want := range []float64{3, 5, 7} {
		got := means[i]
		if math.Abs(got.Score-want) > 1e-12 || math.Abs(got.SD-sd) > 1e-12 || got.Count != 3 || math.Abs(got.High-want-t90*sd) > 1e-8 {
			t.Errorf("%+v, want %v ± %v", got, want, sd)
		}
	}
}

// A generous taster who missed one sample does not lift the others over it.
func TestMissingOpinionsDoNotMislead(t *testing.T) {
	gone := math.NaN()
	means, err := Means(panel([][]float64{{4, 4}, {5, 5}, {9, gone}}))
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(means[0].Score-means[1].Score) > 1e-12 {
		t.Errorf("scores %v and %v, want the same", means[0].Score, means[1].Score)
	}
}

func TestMeansDoNotMindATastersHabit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		scores := drawPanel(t)
		before, err := Means(panel(scores))
		if err != nil {
			return // nothing compares some samples
		}
		who := rapid.IntRange(0, len(scores)-1).Draw(t, "who")
		habit := rapid.Float64Range(-5, 5).Draw(t, "habit")
		for j := range scores[who] {
			scores[who][j] += habit
		}
		after, err := Means(panel(scores))
		if err != nil {
			t.Fatal(err)
		}
		for i := range before {
			differenceBefore, differenceAfter := before[i].Score-before[0].Score, after[i].Score-after[0].Score
			if math.Abs(differenceBefore-differenceAfter) > 1e-9 || math.Abs(before[i].SD-after[i].SD) > 1e-9 {
				t.Fatalf("%+v became %+v", before[i], after[i])
			}
		}
	})
}

func drawPanel(t *rapid.T) [][]float64 {
	samples := rapid.IntRange(1, 5).Draw(t, "samples")
	scores := make([][]float64, rapid.IntRange(1, 5).Draw(t, "tasters"))
	for i := range scores {
		for range samples {
			score := rapid.Float64Range(0, 10).Draw(t, "score")
			if rapid.IntRange(0, 3).Draw(t, "missing") == 0 {
				score = math.NaN()
			}
			scores[i] = append(scores[i], score)
		}
		scores[i][0] = 5 // everybody tasted the first
	}
	return scores
}

// The interval holds the truth about as often as it says.
func TestIntervalsHoldTheTruth(t *testing.T) {
	const seed, rounds = 13, 2000
	random := rand.New(rand.NewPCG(seed, seed))
	held := 0
	for range rounds {
		scores := make([][]float64, 6)
		for i := range scores {
			for sample := range 4 {
				scores[i] = append(scores[i], 5+float64(sample)+float64(i-3)+0.5+random.NormFloat64())
			}
			scores[i][1+i%3] = math.NaN()
		}
		means, err := Means(panel(scores))
		if err != nil {
			t.Fatal(err)
		}
		if means[2].Low <= 7 && 7 <= means[2].High {
			held++
		}
	}
	// Three standard errors of a share of 2000 at 0.9.
	if share := float64(held) / rounds; math.Abs(share-0.9) > 3*math.Sqrt(0.9*0.1/rounds) {
		t.Errorf("the 90 %% interval holds the truth in %.1f %% of rounds (seed %d)", 100*share, seed)
	}
}

func TestMeansRefuse(t *testing.T) {
	crowd := make([]Opinion, 0, 500)
	for i := range 401 {
		crowd = append(crowd, Opinion{Taster: fmt.Sprint(i), Sample: "A", Score: 1})
	}
	for name, opinions := range map[string][]Opinion{
		"none":              nil,
		"too many":          make([]Opinion, MostOpinions+1),
		"not a number":      {{"x", "A", math.NaN()}},
		"endless":           {{"x", "A", math.Inf(1)}},
		"nothing in common": {{"x", "A", 1}, {"y", "B", 2}},
		"too many names":    crowd,
	} {
		if means, err := Means(opinions); err == nil {
			t.Errorf("%s: %v", name, means)
		}
	}
	if means, err := Means([]Opinion{{"x", "A", 4}}); err != nil || means[0].Score != 4 || means[0].SD != 0 || means[0].High != 4 {
		t.Errorf("a single opinion: %+v, %v", means, err)
	}
}
