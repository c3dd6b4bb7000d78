package blend

import "math"

// LeastDraw is how much, in litres, a vessel that must be used gives at the
// least when it has no min_l of its own; all it has, if that is less.
const LeastDraw = 0.1

// addSwitches makes draws all-or-nothing, or at least min_l, and counts them.
func (m *model) addSwitches(pt *part) {
	for _, u := range pt.draws {
		c := &m.casks[u.cask]
		switch {
		case c.Whole && len(m.goals) == 1:
			m.program.Switch(u.column, math.Max(m.wholeOf(c), c.MinL), 0)
		case c.MinL > 0:
			m.program.Switch(u.column, c.MinL, 0)
		}
	}
	most := pt.goal.Limits.MaxVessels
	if most == 0 || most >= len(pt.draws) {
		return
	}
	row := m.program.Row(math.Inf(-1), float64(most))
	for _, u := range pt.draws {
		least, _ := m.program.Least(u.column)
		m.program.Switch(u.column, least, 0)
		m.program.Count(row, u.column, 1)
	}
}

// holding is what may be counted on from a cask.
func (m *model) holding(c *cask) float64 {
	return math.Max(0, c.usable()-m.margin*c.VolumeSDL)
}

// wholeOf is the least draw that counts as the whole of a cask.
func (m *model) wholeOf(c *cask) float64 {
	if c.given.wholeLeast > 0 {
		return math.Min(m.holding(c), math.Max(0, c.given.wholeLeast-m.margin*c.VolumeSDL))
	}
	return m.holding(c)
}

// columnsOf lists the columns of a cask over all targets.
func (m *model) columnsOf(cask int) []int {
	var list []int
	for i := range m.parts {
		for _, u := range m.parts[i].draws {
			if u.cask == cask {
				list = append(list, u.column)
			}
		}
	}
	return list
}

// addWholes lets a whole vessel be divided between several targets: a column
// that is all of it or nothing equals the sum of its draws.
func (m *model) addWholes() {
	if len(m.goals) == 1 {
		return
	}
	for i := range m.casks {
		c := &m.casks[i]
		columns := m.columnsOf(i)
		if !c.Whole || len(columns) == 0 {
			continue
		}
		row := m.program.Row(0, 0)
		all := m.program.Column(0, m.holding(c), 0)
		m.program.Switch(all, m.wholeOf(c), 0)
		m.program.Set(row, all, -1)
		for _, x := range columns {
			m.program.Set(row, x, 1)
		}
		m.supply[i] = true
	}
}

// addMustUse makes a vessel that must be used give its least.
func (m *model) addMustUse() {
	for i := range m.casks {
		c := &m.casks[i]
		if !c.MustUse {
			continue
		}
		least := math.Max(c.MinL, math.Min(LeastDraw, m.holding(c)))
		columns := m.columnsOf(i)
		if len(columns) == 1 {
			had, _ := m.program.Least(columns[0])
			m.program.Switch(columns[0], math.Max(least, had), 0)
			m.program.Force(columns[0])
			continue
		}
		row := m.program.Row(least, math.Inf(1))
		for _, x := range columns {
			m.program.Set(row, x, 1)
		}
	}
}
