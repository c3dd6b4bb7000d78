package lp

import (
	"math"
	"slices"
)

// Clone returns a copy that can be changed on its own.
func (p *Program) Clone() *Program {
	c := &Program{rows: slices.Clone(p.rows), columns: slices.Clone(p.columns), MostEffort: p.MostEffort}
	for j := range c.columns {
		c.columns[j].entries = slices.Clone(c.columns[j].entries)
	}
	return c
}

// Face returns the program narrowed to its optimal solutions, by complementary
// slackness: a column or row whose reduced cost is not 0 stays at its bound in
// every one of them. open is how many columns and rows could still move; with
// none the optimum is the only one. The solution must be that of this linear program.
func (p *Program) Face(s Solution) (face *Program, open int) {
	face = p.Clone()
	for j := range face.columns {
		c := &face.columns[j]
		switch tie(s.lean[j]) {
		case 1:
			c.high = c.low
		case -1:
			c.low = c.high
		default:
			if c.high > c.low && !s.basic[j] {
				open++
			}
		}
	}
	n := len(p.columns)
	for i := range face.rows {
		r := &face.rows[i]
		switch tie(s.lean[n+i]) {
		case 1:
			r.high = r.low
		case -1:
			r.low = r.high
		default:
			if r.high > r.low && !s.basic[n+i] {
				open++
			}
		}
	}
	return face, open
}

// Narrow decides the switches that are one way in every solution as good as
// this one of an integer program, and holds the objective there.
func (p *Program) Narrow(s Solution) *Program {
	narrow := p.Clone()
	for j, d := range s.ruled {
		if d != undecided && narrow.columns[j].forced == undecided {
			narrow.columns[j].forced = d
		}
	}
	narrow.KeepObjective(s.Objective + slackFor(s.Objective, p.largestCost()))
	return narrow
}

// slackFor is how far an objective may be from the best and still count as equal.
func slackFor(objective, costSize float64) float64 {
	return 1e-9 * (math.Abs(objective) + costSize)
}

// largestCost is the most that one column can cost.
func (p *Program) largestCost() float64 {
	most := 0.0
	for j := range p.columns {
		c := &p.columns[j]
		most = math.Max(most, math.Abs(c.cost)*math.Max(math.Abs(c.low), math.Abs(c.high))+math.Abs(c.fixed))
	}
	return most
}

// worthwhile is the least part of its upper bound for which a column counts as
// used when equally good solutions are looked for.
const worthwhile = 1e-3

// ruledByCost finds, from the relaxation of the whole program, the switches
// whose other way costs more than the best plan does.
func (s *search) ruledByCost() ([]decision, error) {
	ruled := make([]decision, s.n)
	root := &node{fixes: s.forced()}
	feasible, err := s.solveAt(root)
	if err != nil || !feasible {
		return ruled, err
	}
	room := s.bestValue + 2*slackFor(s.bestValue, s.costSize) - s.bound()
	for _, j := range s.switches {
		switch {
		case s.state[j] != undecided || s.position[j] >= 0:
		case s.atUpper[j] && -s.reduced[j]*s.costSize*s.high[j] > room:
			ruled[j] = on
		case !s.atUpper[j] && s.costOfOn(j, math.Max(s.program.columns[j].least, worthwhile*s.program.columns[j].high)) > room:
			ruled[j] = off
		}
	}
	return ruled, nil
}

// tie is the sign of a scaled reduced cost, 0 when it is none.
func tie(d float64) int {
	const none = 1e-10
	if math.Abs(d) <= none {
		return 0
	}
	if d > 0 {
		return 1
	}
	return -1
}

// ClearCosts makes every solution as good as any other.
func (p *Program) ClearCosts() {
	for j := range p.columns {
		p.columns[j].cost, p.columns[j].fixed = 0, 0
	}
}

// KeepObjective adds a row that holds the objective to at most `most`.
// Columns with fixed costs are counted by their switches.
func (p *Program) KeepObjective(most float64) {
	r := p.Row(math.Inf(-1), most)
	for j := range p.columns {
		c := &p.columns[j]
		if c.cost != 0 {
			p.Set(r, j, c.cost)
		}
		if c.switched && c.fixed != 0 {
			p.Count(r, j, c.fixed)
		}
	}
}

// Force turns a column's switch on for good.
func (p *Program) Force(c int) { p.columns[c].forced = on }

// Forbid turns a column's switch off for good.
func (p *Program) Forbid(c int) { p.columns[c].forced = off }

// Decided says whether a column's switch is turned on or off for good.
func (p *Program) Decided(c int) bool { return p.columns[c].forced != undecided }

// Fixed returns the linear program that is left when each switch is on where x
// is above 0 and off elsewhere. Rows that count switches keep only what x is in.
func (p *Program) Fixed(x []float64) *Program {
	f := p.Clone()
	for j := range f.columns {
		c := &f.columns[j]
		if !c.switched {
			continue
		}
		c.switched, c.forced = false, undecided
		c.low = math.Min(c.least, c.high) // may differ in the last digit
		if x[j] <= 0 {
			c.low, c.high = 0, 0
		}
		for k := range c.entries {
			e := &c.entries[k]
			if e.switched != 0 && x[j] > 0 {
				f.rows[e.row].low -= e.switched
				f.rows[e.row].high -= e.switched
			}
			e.switched = 0
		}
	}
	return f
}

// Least returns the least draw of a column's switch and whether it has one.
func (p *Program) Least(c int) (least float64, switched bool) {
	return p.columns[c].least, p.columns[c].switched
}

// Bounds returns the bounds of a column.
func (p *Program) Bounds(c int) (lower, upper float64) {
	return p.columns[c].low, p.columns[c].high
}
