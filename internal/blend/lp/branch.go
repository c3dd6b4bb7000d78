package lp

import (
	"container/heap"
	"math"
	"slices"
)

// used is how much of its upper bound a column must be at to count as used.
const used = 1e-9

// mostCandidates is how many switches are tried out at a node.
const mostCandidates = 8

// visit solves a node, learns what it can, and branches. It returns the child
// to go on with, nil when the node is done.
func (s *search) visit(nd *node) (*node, error) {
	for {
		s.restore(nd.warm)
		feasible, err := s.solveAt(nd)
		if err != nil {
			return nil, err
		}
		bound := s.bound()
		if !feasible || s.hopeless(bound) {
			return nil, nil
		}
		if s.accept(bound) {
			return nil, nil
		}
		nd.bound, nd.warm = bound, s.snapshot()
		s.fixByCost(nd, bound)
		candidates := s.candidates()
		if len(candidates) == 0 {
			return nil, nil
		}
		best, err := s.tryOut(nd, candidates)
		if err != nil {
			return nil, err
		}
		switch {
		case best.dead:
			return nil, nil
		case best.learnt:
			continue // some switch can only be one way: solve again
		}
		return s.split(nd, best), nil
	}
}

// accept looks at the present values as a plan: if they satisfy every rule
// they may be the best so far. It is true when nothing better can be under
// this node.
func (s *search) accept(bound float64) bool {
	if !s.satisfied() {
		return false
	}
	value := s.trueValue()
	if s.best == nil || value < s.bestValue {
		s.bestValue = value
		s.best = append(s.best[:0], s.x...)
		for _, j := range s.switches {
			if s.best[j] <= used {
				s.best[j] = 0
			}
		}
	}
	return s.hopeless(bound)
}

// trueValue is the objective with switches charged in full.
func (s *search) trueValue() float64 {
	sum := 0.0
	for j := range s.program.columns {
		c := &s.program.columns[j]
		sum += c.cost * s.x[j] * s.columnSize[j]
		if c.switched && s.x[j] > used {
			sum += c.fixed
		}
	}
	return sum
}

// satisfied says whether the present values keep least draws and counts with
// each switch on exactly where its column is used.
func (s *search) satisfied() bool {
	activity := s.work.shift
	clear(activity)
	for _, j := range s.switches {
		x := s.x[j]
		if x <= used {
			continue
		}
		if least := s.program.columns[j].least / s.columnSize[j]; x < least-used {
			return false
		}
		// The linear program counted x of this switch where it is undecided,
		// and the whole of it where it is on.
		if s.state[j] == on {
			continue
		}
		for k := s.start[j]; k < s.start[j+1]; k++ {
			activity[s.row[k]] += s.switched[k] * (1 - x)
		}
	}
	for i, counted := range s.counted {
		if !counted {
			continue
		}
		v := s.x[s.n+i] + activity[i]
		if v > s.high[s.n+i]+used || v < s.low[s.n+i]-used {
			return false
		}
	}
	return true
}

// fixByCost decides switches by their reduced costs: a decision whose
// consequence alone would make the node hopeless is ruled out.
func (s *search) fixByCost(nd *node, bound float64) {
	if s.best == nil {
		return
	}
	for _, j := range s.switches {
		if s.state[j] != undecided || s.position[j] >= 0 {
			continue
		}
		if s.atUpper[j] {
			if s.hopeless(bound - s.reduced[j]*s.costSize*s.high[j]) {
				nd.fixes = append(nd.fixes, fix{int32(j), on})
			}
		} else if s.hopeless(bound + s.costOfOn(j, s.program.columns[j].least)) {
			nd.fixes = append(nd.fixes, fix{int32(j), off})
		}
	}
}

// costOfOn is the least that turning on a column now at 0 adds to the bound:
// its switch in full, and at least `least` of it, at the present duals.
func (s *search) costOfOn(j int, least float64) float64 {
	c := &s.program.columns[j]
	size := s.columnSize[j]
	drawn, switched := c.cost*size/s.costSize, c.fixed/s.costSize
	for k := s.start[j]; k < s.start[j+1]; k++ {
		y := s.work.dual[s.row[k]]
		drawn -= y * s.plain[k]
		switched -= y * s.switched[k]
	}
	return s.costSize * (switched + math.Min(drawn*least/size, drawn*c.high/size))
}

// candidates are the undecided switches whose column is partly used, the most
// undecided first.
func (s *search) candidates() []int {
	var list []int
	for _, j := range s.switches {
		if s.state[j] == undecided && s.x[j] > used && s.x[j] < s.high[j]-used {
			list = append(list, j)
		}
	}
	slices.SortStableFunc(list, func(a, b int) int {
		da, db := math.Abs(s.x[a]-0.5), math.Abs(s.x[b]-0.5)
		switch {
		case da < db:
			return -1
		case da > db:
			return 1
		}
		return a - b
	})
	return list[:min(len(list), mostCandidates)]
}

// trial is what trying out candidates showed.
type trial struct {
	column     int
	offBound   float64
	onBound    float64
	score      float64
	dead       bool // neither way is any good
	learnt     bool // a switch was decided
	unsearched bool
}

// tryOut solves both children of each candidate and picks the one that lifts
// both bounds most.
func (s *search) tryOut(nd *node, candidates []int) (trial, error) {
	best := trial{unsearched: true}
	for _, j := range candidates {
		offBound, err := s.childBound(nd, j, off)
		if err != nil {
			return best, err
		}
		onBound, err := s.childBound(nd, j, on)
		if err != nil {
			return best, err
		}
		offDone, onDone := s.hopeless(offBound) || math.IsInf(offBound, 1), s.hopeless(onBound) || math.IsInf(onBound, 1)
		switch {
		case offDone && onDone:
			return trial{dead: true}, nil
		case offDone:
			nd.fixes = append(nd.fixes, fix{int32(j), on})
			best.learnt = true
		case onDone:
			nd.fixes = append(nd.fixes, fix{int32(j), off})
			best.learnt = true
		default:
			const little = 1e-6
			score := math.Max(offBound-nd.bound, little*s.costSize) * math.Max(onBound-nd.bound, little*s.costSize)
			if best.unsearched || score > best.score {
				best = trial{column: j, offBound: offBound, onBound: onBound, score: score, learnt: best.learnt}
			}
		}
	}
	return best, nil
}

// childBound solves a child of a node; an infeasible one has an infinite bound.
func (s *search) childBound(nd *node, j int, d decision) (float64, error) {
	s.restore(nd.warm)
	feasible, err := s.solveAt(&node{parent: nd, fixes: []fix{{int32(j), d}}})
	if err != nil {
		return 0, err
	}
	if !feasible {
		return math.Inf(1), nil
	}
	bound := s.bound()
	s.accept(bound)
	return bound, nil
}

// split makes both children, sets one aside and returns the more promising.
func (s *search) split(nd *node, t trial) *node {
	child := func(d decision, bound float64) *node {
		s.made++
		return &node{nd, []fix{{int32(t.column), d}}, math.Max(bound, nd.bound), nd.depth + 1, s.made, nd.warm}
	}
	left, right := child(on, t.onBound), child(off, t.offBound)
	if right.bound < left.bound {
		left, right = right, left
	}
	heap.Push(&s.open, right)
	return left
}
