package lp

import (
	"container/heap"
	"math"
)

// search is a branch and bound over the switches. Each node is a linear
// program in which some switches are decided; the others are relaxed.
type search struct {
	*tableau
	program  *Program
	switches []int      // columns with a switch that can be on
	counted  []bool     // rows that a switch has a coefficient in
	state    []decision // as loaded into the tableau
	wanted   []decision // scratch
	rowLow   []float64  // bounds of the logicals with every switch undecided
	rowHigh  []float64
	constant float64 // fixed costs of the switches that are on
	step     float64 // the objective comes in multiples of this; 0 when it does not

	best      []float64 // scaled values of the best plan known
	bestValue float64
	open      nodeHeap
	nodes     int
	made      int
}

// decision is what a node says of a switch.
type decision int8

const (
	undecided decision = iota
	off
	on
)

// node is a part of the search still to be looked into. Its decisions are its
// own and those of its ancestors.
type node struct {
	parent *node
	fixes  []fix
	bound  float64
	depth  int
	serial int
	warm   *warmStart
}

type fix struct {
	column   int32
	decision decision
}

// warmStart is a basis to begin from.
type warmStart struct {
	basis   []int32
	atUpper []bool
}

// search solves a program with switches.
func (t *tableau) search(p *Program) (Solution, error) {
	s := newSearch(t, p)
	t.startFromLogicals()
	root := &node{bound: math.Inf(-1), warm: t.snapshot(), fixes: s.forced()}
	s.open = nodeHeap{root}
	limit := p.MostEffort
	if limit == 0 {
		limit = DefaultEffort
	}
	for len(s.open) > 0 {
		next := heap.Pop(&s.open).(*node)
		for next != nil && !s.hopeless(next.bound) {
			if s.nodes++; s.effort > limit {
				heap.Push(&s.open, next)
				return s.stopped()
			}
			var err error
			if next, err = s.visit(next); err != nil {
				return Solution{}, err
			}
		}
	}
	return s.proven()
}

func newSearch(t *tableau, p *Program) *search {
	s := &search{
		tableau: t, program: p, counted: make([]bool, t.m),
		state: make([]decision, t.n), wanted: make([]decision, t.n),
		rowLow: append([]float64(nil), t.low[t.n:]...), rowHigh: append([]float64(nil), t.high[t.n:]...),
	}
	for j := range p.columns {
		c := &p.columns[j]
		if !c.switched || c.high <= 0 {
			continue
		}
		s.switches = append(s.switches, j)
		for k := t.start[j]; k < t.start[j+1]; k++ {
			s.counted[t.row[k]] = s.counted[t.row[k]] || t.switched[k] != 0
		}
	}
	s.step = p.granularity()
	return s
}

// forced lists the switches that the program itself decides.
func (s *search) forced() []fix {
	var fixes []fix
	for _, j := range s.switches {
		d := s.program.columns[j].forced
		if !s.program.columns[j].canBeOn() {
			d = off
		}
		if d != undecided {
			fixes = append(fixes, fix{int32(j), d})
		}
	}
	return fixes
}

// granularity is 1 when the objective is a number of switches, else 0.
func (p *Program) granularity() float64 {
	any := false
	for _, c := range p.columns {
		if c.cost != 0 || c.fixed != math.Trunc(c.fixed) {
			return 0
		}
		any = any || c.fixed != 0
	}
	if any {
		return 1
	}
	return 0
}

// hopeless says that nothing under a bound can beat the best known.
func (s *search) hopeless(bound float64) bool {
	if s.best == nil {
		return false
	}
	if s.step > 0 {
		return bound > s.bestValue-s.step+1e-6
	}
	return bound >= s.bestValue-slackFor(s.bestValue, s.costSize)
}

// proven ends a search that looked everywhere.
func (s *search) proven() (Solution, error) {
	if s.best == nil {
		return Solution{Status: Infeasible, Nodes: s.nodes, Pivots: s.pivots, Effort: s.effort}, nil
	}
	ruled, err := s.ruledByCost()
	if err != nil {
		return Solution{}, err
	}
	x, err := s.polished()
	value := s.program.Value(x)
	return Solution{Status: Optimal, Objective: value, Bound: value, X: x, Nodes: s.nodes, Pivots: s.pivots, Effort: s.effort, ruled: ruled}, err
}

// stopped ends a search that has worked as much as it may.
func (s *search) stopped() (Solution, error) {
	out := Solution{Status: Unproven, Bound: math.Inf(1), Nodes: s.nodes, Pivots: s.pivots, Effort: s.effort}
	for _, nd := range s.open {
		out.Bound = math.Min(out.Bound, nd.bound)
	}
	if s.best == nil {
		return out, nil
	}
	var err error
	out.X, err = s.polished()
	out.Objective = s.program.Value(out.X)
	out.Bound = math.Min(out.Bound, out.Objective)
	return out, err
}

// polished solves the best plan once more with every switch decided, so that
// what is not used is exactly 0.
func (s *search) polished() ([]float64, error) {
	fixes := make([]fix, len(s.switches))
	for i, j := range s.switches {
		fixes[i] = fix{int32(j), off}
		if s.best[j] > 0 {
			fixes[i].decision = on
		}
	}
	kept := s.best
	feasible, err := s.solveAt(&node{fixes: fixes})
	if err != nil {
		return nil, err
	}
	if !feasible {
		copy(s.x, kept)
	}
	return s.unscaled(), nil
}

// nodeHeap gives the node with the least bound first; of equals the deepest,
// then the one made first.
type nodeHeap []*node

func (h nodeHeap) Len() int { return len(h) }
func (h nodeHeap) Less(a, b int) bool {
	if h[a].bound != h[b].bound {
		return h[a].bound < h[b].bound
	}
	if h[a].depth != h[b].depth {
		return h[a].depth > h[b].depth
	}
	return h[a].serial < h[b].serial
}
func (h nodeHeap) Swap(a, b int) { h[a], h[b] = h[b], h[a] }

// Push and Pop make it a container/heap.
func (h *nodeHeap) Push(v any) { *h = append(*h, v.(*node)) }

// Pop takes off the last.
func (h *nodeHeap) Pop() any {
	old := *h
	last := old[len(old)-1]
	*h = old[:len(old)-1]
	return last
}
