package blend

import (
	"math"
	"sort"

	"example.org/croze/internal/blend/lp"
)

// optimum solves a model for the objective already put into it.
func (q *inquiry) optimum(m *model) (lp.Solution, bool, error) {
	s, err := q.ask(m)
	return s, err == nil && s.X != nil, err
}

// nearestVolume looks below and above the wanted volume.
func (q *inquiry) nearestVolume(w wish) (float64, bool, error) {
	best, found := 0.0, false
	for _, below := range []bool{true, false} {
		m := q.without([]wish{w})
		column := m.parts[w.goal].volume
		low, high := m.program.Bounds(column)
		if below {
			m.program.SetBounds(column, low, math.Min(high, w.from))
			m.program.SetCost(column, -1)
		} else {
			m.program.SetBounds(column, w.from, math.Max(high, w.from))
			m.program.SetCost(column, 1)
		}
		s, ok, err := q.optimum(m)
		if err != nil {
			return 0, false, err
		}
		if ok && (!found || math.Abs(s.X[column]-w.from) < math.Abs(best-w.from)) {
			best, found = s.X[column], true
		}
	}
	if !found {
		return 0, false, nil
	}
	return q.rounded(w, best, 0.001)
}

// nearestLevel moves a share, a score or the solids as far as need be.
func (q *inquiry) nearestLevel(w wish) (float64, bool, error) {
	m := q.without([]wish{w})
	if w.kind == residueWish {
		m = q.with(w, aResidue.high)
	}
	pt := &m.parts[w.goal]
	alcohol := pt.goal.VolumeL * pt.goal.StrengthPct / 100
	sign, unit := 1.0, 0.0001
	if w.kind == shareLeast || w.kind == scoreLeast {
		sign = -1
	}
	value := make(map[int]float64, len(pt.draws))
	for _, u := range pt.draws {
		c := &m.casks[u.cask]
		switch w.kind {
		case shareLeast, shareMost:
			value[u.column] = c.alcohol * c.Shares[pt.goal.Limits.Shares[w.band].Of] / alcohol
		case scoreLeast, scoreMost:
			value[u.column] = c.alcohol * c.Scores[pt.goal.Limits.Scores[w.band].Of] / alcohol
		default:
			value[u.column] = valueOf(c.Residue) / pt.goal.VolumeL
		}
		m.program.SetCost(u.column, sign*value[u.column])
	}
	s, ok, err := q.optimum(m)
	if err != nil || !ok {
		return 0, false, err
	}
	return q.rounded(w, sign*s.Objective, unit)
}

// with is the plan with one number replaced.
func (q *inquiry) with(w wish, v float64) *model {
	original := q.plan
	defer func() { q.plan = original }()
	p := copyPlan(original)
	w.set(&p, v)
	q.plan = &p
	return q.without(nil)
}

// nearestCount counts the vessels that are needed.
func (q *inquiry) nearestCount(w wish) (float64, bool, error) {
	m := q.without([]wish{w})
	m.countDraws(&m.parts[w.goal])
	s, ok, err := q.optimum(m)
	if err != nil || !ok {
		return 0, false, err
	}
	n := math.Round(s.Objective)
	works, err := q.works(w, n)
	return n, works, err
}

// nearestKeep finds how much of a vessel may stay.
func (q *inquiry) nearestKeep(w wish) (float64, bool, error) {
	m := q.without([]wish{w})
	id := q.plan.Sources[w.cask].ID
	for i := range m.casks {
		if m.casks[i].ID == id {
			for _, column := range m.columnsOf(i) {
				m.program.SetCost(column, 1)
			}
		}
	}
	s, ok, err := q.optimum(m)
	if err != nil || !ok {
		return 0, false, err
	}
	source := &q.plan.Sources[w.cask]
	left := source.AvailableL - s.Objective - q.margin*source.VolumeSDL
	return q.rounded(w, math.Max(0, left), 0.001)
}

// nearestAge takes the oldest age among the vessels that works as the limit.
func (q *inquiry) nearestAge(w wish) (float64, bool, error) {
	ages := []float64{0}
	for i := range q.plan.Sources {
		if age := q.plan.Sources[i].AgeDays; age != nil && *age < w.from {
			ages = append(ages, *age)
		}
	}
	sort.Float64s(ages)
	failed := error(nil)
	// The first that does not work, going up; the one before it is the answer.
	at := sort.Search(len(ages), func(i int) bool {
		if failed != nil {
			return true
		}
		ok, err := q.works(w, ages[i])
		failed = err
		return !ok
	})
	if failed != nil || at == 0 {
		return 0, false, failed
	}
	return ages[at-1], true, nil
}
