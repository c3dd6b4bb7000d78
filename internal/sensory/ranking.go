package sensory

import (
	"fmt"
	"math"
	"slices"
)

// Method says how a p-value of a ranking was found.
type Method string

// The methods.
const (
	Exact     Method = "exact"     // all possible outcomes counted
	Simulated Method = "simulated" // a large number of outcomes drawn
)

// Ranks is a scored ranking.
type Ranks struct {
	Sums      []float64 // of ranks, by sample; 1 is first
	Statistic float64   // Friedman's, corrected for ties, or Page's L
	P         float64
	PError    float64 // standard error of P; 0 when exact
	Method    Method
	Gap       float64 // two samples named beforehand differ (1 time in 20 by chance) if their sums are this far apart
	Meaning   string
}

// FriedmanTest scores a ranking without an expected order. rows holds one row
// for each taster: the rank of each sample, 1 to k, ties by the mean of their
// ranks (1, 2.5, 2.5, 4). P is the chance of rank sums as unlike as these or
// more if all samples were alike; it is counted out where that is feasible and
// else drawn from random.
func FriedmanTest(rows [][]float64, random Random) (Ranks, error) {
	doubled, err := checkRows(rows)
	if err != nil {
		return Ranks{}, err
	}
	r := Ranks{Sums: sumsOf(rows), Method: Exact}
	r.Statistic = friedman(r.Sums, doubled)
	seen := spread(doubledSums(doubled))
	if p, ok := friedmanExact(doubled, seen); ok {
		r.P = p
	} else {
		r.Method = Simulated
		r.P, r.PError = friedmanSimulated(doubled, seen, random)
	}
	n, k := float64(len(rows)), float64(len(r.Sums))
	r.Gap = 1.96 * math.Sqrt(n*k*(k+1)/6)
	r.Meaning = r.meaning("If all samples were alike, rank sums so far apart or further would come about in %s of such tests.")
	return r, nil
}

// PageTest scores a ranking against an order that was expected beforehand:
// expected[0] is the sample that should come first. Statistic is Page's L and P,
// exact, the chance of agreeing with that order so well or better if all samples
// were alike.
func PageTest(rows [][]float64, expected []int) (Ranks, error) {
	doubled, err := checkRows(rows)
	if err != nil {
		return Ranks{}, err
	}
	place, err := places(expected, len(rows[0]))
	if err != nil {
		return Ranks{}, err
	}
	l := 0
	for _, row := range doubled {
		l += weighted(row, place)
	}
	n, k := float64(len(rows)), float64(len(rows[0]))
	r := Ranks{Sums: sumsOf(rows), Statistic: float64(l) / 2, P: pageExact(doubled, l), Method: Exact, Gap: 1.96 * math.Sqrt(n*k*(k+1)/6)}
	r.Meaning = r.meaning("If all samples were alike, the rankings would agree so well or better with the expected order in %s of such tests.")
	return r, nil
}

func (r Ranks) meaning(sentence string) string {
	text := fmt.Sprintf(sentence, inPercent(r.P))
	if r.Method == Simulated {
		text += " (Drawn, not counted out: the percentage is good to about " + trimmed(200*r.PError) + ".)"
	}
	return text + " A large percentage does not show that they are alike."
}

// checkRows returns the ranks doubled, so that mean ranks are whole numbers.
func checkRows(rows [][]float64) ([][]int, error) {
	if len(rows) < 2 || len(rows) > MostTasters {
		return nil, fmt.Errorf("ranking: %d tasters: must be 2 to %d", len(rows), MostTasters)
	}
	k := len(rows[0])
	if k < LeastRanked || k > MostRanked {
		return nil, fmt.Errorf("ranking: %d samples: must be %d to %d", k, LeastRanked, MostRanked)
	}
	doubled := make([][]int, len(rows))
	for i, row := range rows {
		if len(row) != k {
			return nil, fmt.Errorf("ranking: taster %d: ranked %d samples of %d", i+1, len(row), k)
		}
		if !slices.Equal(row, meanRanks(row)) {
			return nil, fmt.Errorf("ranking: taster %d: %v: are not ranks from 1 to %d, ties by their mean", i+1, row, k)
		}
		for _, rank := range row {
			doubled[i] = append(doubled[i], int(2*rank))
		}
	}
	return doubled, nil
}

// meanRanks ranks values from 1, ties by the mean of their ranks.
func meanRanks(values []float64) []float64 {
	ranks := make([]float64, len(values))
	for i, a := range values {
		less, same := 0, 0
		for _, b := range values {
			if b < a {
				less++
			} else if b == a {
				same++
			}
		}
		ranks[i] = float64(less) + float64(same+1)/2
	}
	return ranks
}

func sumsOf(rows [][]float64) []float64 {
	sums := make([]float64, len(rows[0]))
	for _, row := range rows {
		for i, rank := range row {
			sums[i] += rank
		}
	}
	return sums
}

func doubledSums(rows [][]int) []int {
	sums := make([]int, len(rows[0]))
	for _, row := range rows {
		for i, rank := range row {
			sums[i] += rank
		}
	}
	return sums
}

// spread orders outcomes as Friedman's statistic does: the sum of squares of
// the doubled rank sums. (For given ties the statistic rises with it.)
func spread(sums []int) int {
	total := 0
	for _, sum := range sums {
		total += sum * sum
	}
	return total
}

// friedman is the statistic with the correction for ties:
// (k-1) Σ (R_j - n(k+1)/2)² / Σ_ij (r_ij - (k+1)/2)². All tied gives 0.
func friedman(sums []float64, doubled [][]int) float64 {
	n, k := float64(len(doubled)), float64(len(sums))
	between, within := 0.0, 0.0
	for _, sum := range sums {
		d := sum - n*(k+1)/2
		between += d * d
	}
	for _, row := range doubled {
		for _, rank := range row {
			d := float64(rank)/2 - (k+1)/2
			within += d * d
		}
	}
	if within == 0 {
		return 0
	}
	return (k - 1) * between / within
}

func places(expected []int, k int) ([]int, error) {
	place := make([]int, k)
	if len(expected) != k {
		return nil, fmt.Errorf("expected order: names %d samples of %d", len(expected), k)
	}
	for i, sample := range expected {
		if sample < 0 || sample >= k || place[sample] != 0 {
			return nil, fmt.Errorf("expected order: %v: name each of the samples 0 to %d once", expected, k-1)
		}
		place[sample] = i + 1
	}
	return place, nil
}

func weighted(row, place []int) int {
	total := 0
	for i, rank := range row {
		total += rank * place[i]
	}
	return total
}
