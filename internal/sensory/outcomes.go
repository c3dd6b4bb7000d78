package sensory

import (
	"math"
	"slices"
)

// Under "all samples alike" every taster's ranks are equally likely in every
// arrangement, whatever the ties. The tests count or draw those arrangements.

// mostSteps bounds the work of counting: states times arrangements, over all rows.
const mostSteps = 4_000_000

// rankSums is a state of the count: the doubled rank sums in rising order (the
// samples are alike, so which is which does not matter).
type rankSums [MostRanked]int32

// friedmanExact counts out the chance of a spread of seen or more. It gives up
// when there are too many states.
func friedmanExact(rows [][]int, seen int) (p float64, ok bool) {
	k := len(rows[0])
	chances := map[rankSums]float64{sorted(rows[0], k): 1} // alike samples: the first row may stand as it is
	steps := 0
	for _, row := range rows[1:] {
		arrangements := arrangementsOf(row)
		if steps += len(chances) * len(arrangements); steps > mostSteps {
			return 0, false
		}
		chances = withRow(chances, arrangements, k)
	}
	terms := make([]float64, 0, len(chances))
	for sums, chance := range chances {
		if sums.spread() >= seen {
			terms = append(terms, chance)
		}
	}
	return sumSmallFirst(terms), true
}

// withRow spreads every state over the arrangements of one more row, in the
// order of the states, so that the same rows give the same last digit.
func withRow(chances map[rankSums]float64, arrangements [][]int, k int) map[rankSums]float64 {
	states := make([]rankSums, 0, len(chances))
	for sums := range chances {
		states = append(states, sums)
	}
	slices.SortFunc(states, func(a, b rankSums) int { return slices.Compare(a[:], b[:]) })
	next := make(map[rankSums]float64, len(chances)*2)
	for _, sums := range states {
		each := chances[sums] / float64(len(arrangements))
		for _, arrangement := range arrangements {
			next[sums.plus(arrangement, k)] += each
		}
	}
	return next
}

// sumSmallFirst adds in an order that does not depend on how a map was walked.
func sumSmallFirst(terms []float64) float64 {
	slices.Sort(terms)
	sum := 0.0
	for _, term := range terms {
		sum += term
	}
	return math.Min(sum, 1)
}

func sorted(row []int, k int) rankSums { return rankSums{}.plus(row, k) }

func (s rankSums) plus(row []int, k int) rankSums {
	for i, rank := range row {
		s[i] += int32(rank)
	}
	slices.Sort(s[:k])
	return s
}

func (s rankSums) spread() int {
	total := 0
	for _, sum := range s {
		total += int(sum) * int(sum)
	}
	return total
}

// arrangementsOf lists the different orders of a row.
func arrangementsOf(row []int) [][]int {
	row = slices.Clone(row)
	slices.Sort(row)
	var all [][]int
	for more := true; more; more = nextArrangement(row) {
		all = append(all, slices.Clone(row))
	}
	return all
}

// nextArrangement steps to the next order in the dictionary; false after the last.
func nextArrangement(row []int) bool {
	i := len(row) - 2
	for i >= 0 && row[i] >= row[i+1] {
		i--
	}
	if i < 0 {
		return false
	}
	j := len(row) - 1
	for row[j] <= row[i] {
		j--
	}
	row[i], row[j] = row[j], row[i]
	slices.Reverse(row[i+1:])
	return true
}

// Outcomes drawn: fewer where there are many tasters, whose rankings take long to draw.
const (
	mostDraws  = 200_000
	leastDraws = 20_000
	drawnRanks = 20_000_000
)

// friedmanSimulated draws outcomes. Counting the one that was seen among them
// keeps P above zero and the test honest.
func friedmanSimulated(rows [][]int, seen int, random Random) (p, standardError float64) {
	drawn := make([][]int, len(rows))
	for i, row := range rows {
		drawn[i] = slices.Clone(row)
	}
	draws := min(mostDraws, max(leastDraws, drawnRanks/(len(rows)*len(rows[0]))))
	hits := 1
	for range draws {
		for _, row := range drawn {
			shuffle(row, random)
		}
		if spread(doubledSums(drawn)) >= seen {
			hits++
		}
	}
	p = float64(hits) / float64(draws+1)
	return p, math.Sqrt(p * (1 - p) / float64(draws))
}

// pageExact counts out the chance of a doubled L of seen or more.
func pageExact(rows [][]int, seen int) float64 {
	known := map[rankSums][]float64{} // rows with the same ties have the same distribution
	chances := []float64{1}           // by doubled L
	for _, row := range rows {
		one, ok := known[sorted(row, len(row))]
		if !ok {
			one = pageOfRow(row)
			known[sorted(row, len(row))] = one
		}
		chances = combined(chances, one)
	}
	return sumSmallFirst(chances[min(seen, len(chances)):])
}

// combined is the distribution of the sum of two.
func combined(a, b []float64) []float64 {
	sum := make([]float64, len(a)+len(b)-1)
	for i, chance := range a {
		for j, each := range b {
			sum[i+j] += chance * each
		}
	}
	return sum
}

// pageOfRow is the distribution of one row's doubled share of L.
func pageOfRow(row []int) []float64 {
	place := make([]int, len(row))
	for i := range place {
		place[i] = i + 1
	}
	arrangements := arrangementsOf(row)
	rising := arrangements[0] // agrees best, so it gives the largest L
	chances := make([]float64, weighted(rising, place)+1)
	for _, arrangement := range arrangements {
		chances[weighted(arrangement, place)] += 1 / float64(len(arrangements))
	}
	return chances
}
