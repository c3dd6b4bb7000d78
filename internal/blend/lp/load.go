package lp

import "math"

// solveAt loads a node's decisions and solves its linear program, from the
// basis that the tableau has.
func (s *search) solveAt(nd *node) (feasible bool, err error) {
	s.load(nd)
	return s.run()
}

// load puts a node's decisions into the tableau.
func (s *search) load(nd *node) {
	clear(s.wanted)
	for a := nd; a != nil; a = a.parent {
		for _, f := range a.fixes {
			s.wanted[f.column] = f.decision
		}
	}
	copy(s.low[s.n:], s.rowLow)
	copy(s.high[s.n:], s.rowHigh)
	s.constant = 0
	for _, j := range s.switches {
		if s.wanted[j] != s.state[j] {
			s.decide(j, s.wanted[j])
		}
		if s.wanted[j] == on {
			s.charge(j)
		}
	}
}

// decide gives a column the bounds, entries and cost of a decision.
func (s *search) decide(j int, d decision) {
	c := &s.program.columns[j]
	size := s.columnSize[j]
	s.state[j] = d
	s.low[j], s.high[j] = 0, c.high/size
	cost := c.cost*size + c.fixed
	switch d {
	case off:
		s.high[j] = 0
	case on:
		s.low[j] = math.Min(c.least/size, s.high[j]) // may differ in the last digit
		cost = c.cost * size
	}
	s.cost[j] = cost / s.costSize
	for k := s.start[j]; k < s.start[j+1]; k++ {
		s.value[k] = s.plain[k]
		if d != on {
			s.value[k] += s.switched[k]
		}
	}
}

// charge takes what a switch that is on counts for out of its rows and into the constant.
func (s *search) charge(j int) {
	s.constant += s.program.columns[j].fixed
	for k := s.start[j]; k < s.start[j+1]; k++ {
		if z := s.switched[k]; z != 0 {
			row := s.n + int(s.row[k])
			s.low[row] -= z
			s.high[row] -= z
		}
	}
}

// bound is the objective of the linear program as solved, in the program's units.
func (s *search) bound() float64 { return s.objective()*s.costSize + s.constant }

// snapshot keeps the present basis.
func (t *tableau) snapshot() *warmStart {
	return &warmStart{append([]int32(nil), t.basis...), append([]bool(nil), t.atUpper...)}
}

// restore begins from a kept basis.
func (t *tableau) restore(w *warmStart) {
	copy(t.basis, w.basis)
	copy(t.atUpper, w.atUpper)
	for j := range t.position {
		t.position[j] = -1
	}
	for i, j := range t.basis {
		t.position[j] = int32(i)
	}
}
