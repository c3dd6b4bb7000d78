package blend

import "math"

// setObjective gives each column its cost. The objective is always made small.
func (m *model) setObjective() {
	objective := m.plan.objective()
	for i := range m.parts {
		pt := &m.parts[i]
		for _, u := range pt.draws {
			m.program.SetCost(u.column, litreCost(objective, m.casks[u.cask].Source))
		}
		if objective == FewestVessels {
			m.countDraws(pt)
		}
		if objective == LeastWater && pt.water >= 0 {
			m.program.SetCost(pt.water, 1)
		}
		if objective == ClosestScores {
			m.addDistances(pt)
		}
	}
}

// countDraws charges 1 for each vessel drawn on.
func (m *model) countDraws(pt *part) {
	for _, u := range pt.draws {
		least, _ := m.program.Least(u.column)
		m.program.Switch(u.column, least, 1)
	}
}

// litreCost is what drawing a litre adds to the objective.
func litreCost(objective string, s *Source) float64 {
	switch objective {
	case LeastCost:
		return valueOf(s.CostPerL)
	case OldestFirst:
		return -valueOf(s.AgeDays)
	case YoungestFirst:
		return valueOf(s.AgeDays)
	case FastestLosingFirst:
		return -valueOf(s.LossPctPerYear) / 100
	}
	return 0
}

func valueOf(v *float64) float64 {
	if v == nil {
		return 0
	}
	return *v
}

// addDistances adds, for each wanted score, how far the result is above and
// below it: Σ alcohol·(score - wanted) = over - under.
func (m *model) addDistances(pt *part) {
	alcohol := pt.goal.VolumeL * pt.goal.StrengthPct / 100
	most := m.mostAlcohol(pt)
	for _, name := range names(pt.goal.Wanted) {
		wanted := pt.goal.Wanted[name]
		r := m.program.Row(0, 0)
		furthest := 0.0
		for _, u := range pt.draws {
			c := &m.casks[u.cask]
			off := c.Scores[name] - wanted
			furthest = math.Max(furthest, math.Abs(off))
			m.program.Set(r, u.column, c.alcohol*off)
		}
		weight := m.weight(name)
		over := m.program.Column(0, furthest*most, weight/alcohol)
		under := m.program.Column(0, furthest*most, weight/alcohol)
		m.program.Set(r, over, -1)
		m.program.Set(r, under, 1)
	}
}

// mostAlcohol is what the part can come to when its target is loosened.
func (m *model) mostAlcohol(pt *part) float64 {
	if !pt.anyStrength {
		_, volume := m.program.Bounds(pt.volume)
		return volume * pt.goal.StrengthPct / 100
	}
	sum := 0.0
	for _, u := range pt.draws {
		sum += m.casks[u.cask].alcohol * m.holding(&m.casks[u.cask])
	}
	return sum
}

func (m *model) weight(name string) float64 {
	if w, given := m.plan.Weights[name]; given {
		return w
	}
	return 1
}
