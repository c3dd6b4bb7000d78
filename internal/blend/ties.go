package blend

import (
	"errors"
	"maps"
	"math"

	"example.org/croze/internal/blend/lp"
)

// Ties are broken so that the same plan always gets the same answer: of plans
// with the same objective, the one with fewer vessels; then the one whose
// vessels come first in order of id; then the one that takes most from the
// first, then from the second, and so on. The search for ties stops after a
// number of steps that depends on the size of the plan alone; what it stops at
// is still a best plan.

// best solves the model and breaks ties.
func (m *model) best() (lp.Solution, error) {
	s, err := m.tieBroken()
	if s.X != nil {
		m.clearTraces(s.X)
	}
	return s, err
}

// clearTraces makes nothing of draws that are only rounding.
func (m *model) clearTraces(x []float64) {
	for i := range m.parts {
		for _, u := range m.parts[i].draws {
			if x[u.column] <= 1e-9*m.mostOf(&m.casks[u.cask], m.parts[i].goal.VolumeL, m.parts[i].goal) {
				x[u.column] = 0
			}
		}
	}
}

func (m *model) tieBroken() (lp.Solution, error) {
	s, err := m.solve()
	if err != nil || s.Status != lp.Optimal {
		return s, err
	}
	original, stocked := m.program, maps.Clone(m.supply)
	chosen, unique, err := m.fewest(s)
	if err == nil && unique {
		return s, nil
	}
	out := lp.Solution{}
	if err == nil {
		m.supply = stocked // the original program has only those rows
		out, err = m.settleAmounts(original, chosen)
	}
	if errors.Is(err, lp.ErrSingular) || err == nil && out.X == nil {
		return s, nil // no harm: it is a best plan, only ties are not broken
	}
	out.Pivots, out.Nodes = out.Pivots+s.Pivots, out.Nodes+s.Nodes
	return out, err
}

// tieEffort is how much work the search for ties may take; see lp.DefaultEffort.
const tieEffort = 10_000_000

// fewest finds the vessels to use: fewest, then first by id. unique says that
// the solution is the only best one, amounts and all.
func (m *model) fewest(s lp.Solution) (chosen []float64, unique bool, err error) {
	if m.program.HasSwitches() {
		m.program = m.program.Narrow(s)
	} else {
		face, open := m.program.Face(s)
		if open == 0 {
			return nil, true, nil
		}
		m.program = face
	}
	m.program.ClearCosts()
	m.program.MostEffort = tieEffort
	row := m.countEverything(s.X)
	x, err := m.fewer(s.X, row)
	if err != nil {
		return nil, false, err
	}
	chosen, err = m.firstByID(x)
	return chosen, false, err
}

// countEverything puts a switch on every draw that could go either way and
// adds a row that counts them.
func (m *model) countEverything(x []float64) (row int) {
	row = m.program.Row(math.Inf(-1), float64(m.vessels(x)))
	for _, u := range m.openDraws() {
		least, _ := m.program.Least(u.column)
		m.program.Switch(u.column, least, 1)
		m.program.Count(row, u.column, 1)
	}
	return row
}

// openDraws are the draws that may be 0 or not, in order of target and id.
func (m *model) openDraws() []use {
	var open []use
	for i := range m.parts {
		for _, u := range m.parts[i].draws {
			if low, high := m.program.Bounds(u.column); low == 0 && high > 0 {
				open = append(open, u)
			}
		}
	}
	return open
}

// vessels counts the open draws that are used.
func (m *model) vessels(x []float64) int {
	n := 0
	for _, u := range m.openDraws() {
		if x[u.column] > 0 {
			n++
		}
	}
	return n
}

// fewer looks for as good a plan with fewer vessels.
func (m *model) fewer(x []float64, row int) ([]float64, error) {
	n := m.vessels(x)
	if n == 0 {
		return x, nil
	}
	m.program.SetRow(row, math.Inf(-1), float64(n-1))
	s, err := m.solve()
	if err != nil {
		return nil, err
	}
	if s.X != nil && m.vessels(s.X) < n {
		x, n = s.X, m.vessels(s.X)
	}
	m.program.SetRow(row, math.Inf(-1), float64(n))
	return x, nil
}

// firstByID goes through the ids in order and uses each one that some plan as
// good, with as few vessels, can use together with those already settled on.
func (m *model) firstByID(x []float64) ([]float64, error) {
	m.program.ClearCosts()
	toFind, left := m.vessels(x), int64(tieEffort)
	for _, u := range m.openDraws() {
		if toFind == 0 {
			break
		}
		if x[u.column] > 0 {
			m.insist(m.program, u, x[u.column])
			toFind--
			continue
		}
		if left <= 0 || m.program.Decided(u.column) {
			continue
		}
		m.insist(m.program, u, LeastDraw)
		m.program.MostEffort = left
		s, err := m.solve()
		if err != nil {
			return nil, err
		}
		left -= s.Effort
		if s.X != nil && s.X[u.column] > 0 {
			x = s.X
			toFind--
			continue
		}
		m.program.Forbid(u.column)
	}
	return x, nil
}

// insist turns a draw on with a draw worth the name.
func (m *model) insist(p *lp.Program, u use, upTo float64) {
	least, _ := p.Least(u.column)
	_, high := p.Bounds(u.column)
	p.Switch(u.column, math.Max(least, math.Min(math.Min(LeastDraw, upTo), high)), 0)
	p.Force(u.column)
}

// settleAmounts fixes which vessels are used and then takes as much as the
// objective lets from the first, the second, and so on.
func (m *model) settleAmounts(original *lp.Program, chosen []float64) (lp.Solution, error) {
	m.program = original.Fixed(chosen)
	for i := range m.parts {
		for _, u := range m.parts[i].draws {
			if chosen[u.column] <= 0 {
				m.program.SetBounds(u.column, 0, 0)
			}
		}
	}
	s, err := m.solve()
	if err != nil || s.X == nil {
		return s, err
	}
	best, left := s, int64(tieEffort)
	for _, u := range m.usedDraws(chosen) {
		face, open := m.program.Face(s)
		if open == 0 || left <= 0 {
			break
		}
		face.ClearCosts()
		face.SetCost(u.column, -1)
		m.program = face
		next, err := m.solve()
		if err != nil {
			return best, err
		}
		if next.X == nil {
			break
		}
		s = next
		left -= s.Effort
	}
	s.Objective, s.Bound = original.Value(s.X), best.Bound
	return s, nil
}

// usedDraws are the draws that x makes, in order of target and id.
func (m *model) usedDraws(x []float64) []use {
	var list []use
	for i := range m.parts {
		for _, u := range m.parts[i].draws {
			if x[u.column] > 0 {
				list = append(list, u)
			}
		}
	}
	return list
}
