package blend

import (
	"math"
	"sort"
)

// nearestStrength looks outward from the wanted strength, by whole per cents
// and at the vessels' own strengths, and then closes in.
func (q *inquiry) nearestStrength(w wish) (float64, bool, error) {
	return q.strengthWhere(w, q.wishes)
}

// strengthWhere is the strength nearest to the wanted one at which some wishes can be kept.
func (q *inquiry) strengthWhere(w wish, kept []wish) (float64, bool, error) {
	tries := q.strengthsToTry(w.from)
	for i, pct := range tries {
		ok, err := q.worksKeeping(kept, w, pct)
		if err != nil {
			return 0, false, err
		}
		if !ok {
			continue
		}
		bad := w.from
		for _, other := range tries[:i] {
			if (other-w.from)*(pct-w.from) > 0 {
				bad = other
			}
		}
		return q.closeIn(kept, w, pct, bad)
	}
	return 0, false, nil
}

// closeIn halves the gap between a number that works and one that does not.
func (q *inquiry) closeIn(kept []wish, w wish, good, bad float64) (float64, bool, error) {
	for math.Abs(good-bad) > 0.002 {
		middle := (good + bad) / 2
		ok, err := q.worksKeeping(kept, w, middle)
		if err != nil {
			return 0, false, err
		}
		if ok {
			good = middle
		} else {
			bad = middle
		}
	}
	// To the hundredth, on the side that works.
	round := math.Floor
	if good > w.from {
		round = math.Ceil
	}
	try := round(good*100) / 100
	ok, err := q.worksKeeping(kept, w, try)
	if err != nil || ok {
		return try, ok, err
	}
	return good, true, nil
}

// strengthsToTry are strengths in order of their distance from one.
func (q *inquiry) strengthsToTry(from float64) []float64 {
	var list []float64
	for pct := 1.0; pct <= 99; pct++ {
		list = append(list, pct)
	}
	const most = 100 // vessels whose own strength is tried
	for i := range q.plan.Sources[:min(most, len(q.plan.Sources))] {
		if s := q.plan.Sources[i].StrengthPct; s > 0 {
			list = append(list, s)
		}
	}
	sort.Slice(list, func(a, b int) bool {
		da, db := math.Abs(list[a]-from), math.Abs(list[b]-from)
		if da != db {
			return da < db
		}
		return list[a] < list[b]
	})
	return list
}
