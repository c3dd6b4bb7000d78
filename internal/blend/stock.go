package blend

import (
	"math"

	"example.org/croze/internal/blend/lp"
)

// solve solves the model's program. When targets compete, stock rows are added
// for the casks that a solution overdraws until none is: few ever are.
func (m *model) solve() (lp.Solution, error) {
	var before lp.Solution
	for {
		s, err := m.program.Solve()
		s.Pivots, s.Nodes, s.Effort = s.Pivots+before.Pivots, s.Nodes+before.Nodes, s.Effort+before.Effort
		if err != nil || s.X == nil || !m.addOverdrawn(s.X) {
			return s, err
		}
		before = s
	}
}

// addOverdrawn adds a row for each cask that x draws more from than there is.
func (m *model) addOverdrawn(x []float64) bool {
	if len(m.parts) == 1 {
		return false
	}
	drawn := m.drawn(x)
	added := false
	for i, v := range drawn {
		has := m.holding(&m.casks[i])
		if m.supply[i] || v <= has*(1+1e-9) {
			continue
		}
		row := m.program.Row(math.Inf(-1), has)
		for _, column := range m.columnsOf(i) {
			m.program.Set(row, column, 1)
		}
		m.supply[i], added = true, true
	}
	return added
}

// drawn is what x takes from each cask over all targets.
func (m *model) drawn(x []float64) []float64 {
	total := make([]float64, len(m.casks))
	for i := range m.parts {
		for _, u := range m.parts[i].draws {
			total[u.cask] += x[u.column]
		}
	}
	return total
}
