package lp

import (
	"errors"
	"fmt"
	"math"
)

// Program is a linear program being put together. The zero value is empty.
type Program struct {
	rows    []span
	columns []column
	spare   []entry // space for entries of columns to come
	// MostEffort bounds the integer search; 0 stands for DefaultEffort.
	MostEffort int64
}

// DefaultEffort is how much work the integer search does before it gives up
// proving, in entries of the matrix touched: of the order of ten seconds. It is
// work and not time, so that the same program gives the same answer on any machine.
const DefaultEffort = 5_000_000_000

type span struct{ low, high float64 }

type column struct {
	span
	cost     float64
	entries  []entry
	switched bool
	least    float64 // smallest value when on
	fixed    float64 // cost of being on
	forced   decision
}

type entry struct {
	row      int
	value    float64 // coefficient of x
	switched float64 // coefficient of z
}

// Status says how a solve ended.
type Status uint8

// The ends of a solve.
const (
	Optimal    Status = iota // proven best
	Infeasible               // proven that nothing satisfies the rows
	Unproven                 // stopped at MostEffort; X, if there, is feasible
)

// Solution is what Solve found. X is nil when nothing feasible is known.
type Solution struct {
	Status    Status
	Objective float64
	Bound     float64 // no better objective than this is possible
	X         []float64
	Nodes     int // nodes of the integer search, 0 for a linear program
	Pivots    int
	Effort    int64 // work done, in entries of the matrix touched

	lean  []float64 // scaled reduced costs of columns and rows, linear programs only
	basic []bool
	ruled []decision // switches that are one way in every best solution, integer programs only
}

// Row adds a row with its range, infinite ends allowed, and returns its index.
func (p *Program) Row(low, high float64) int {
	p.rows = append(p.rows, span{low, high})
	return len(p.rows) - 1
}

// Column adds a column with finite bounds and a cost, and returns its index.
func (p *Program) Column(lower, upper, cost float64) int {
	p.columns = append(p.columns, column{span: span{lower, upper}, cost: cost, entries: p.room()})
	return len(p.columns) - 1
}

// room hands out space for the entries of a column from a larger piece.
func (p *Program) room() []entry {
	const each = 6
	if len(p.spare) < each {
		p.spare = make([]entry, 64*each)
	}
	room := p.spare[:0:each]
	p.spare = p.spare[each:]
	return room
}

// Set puts a coefficient of column c into row r; once for each pair.
func (p *Program) Set(r, c int, value float64) {
	p.columns[c].entries = append(p.columns[c].entries, entry{row: r, value: value})
}

// Switch makes column c, whose lower bound must be 0, either 0 or at least
// `least`, and charges `fixed` when it is not 0.
func (p *Program) Switch(c int, least, fixed float64) {
	col := &p.columns[c]
	col.switched, col.least, col.fixed = true, least, fixed
}

// EnsureSwitch gives column c a switch if it has none.
func (p *Program) EnsureSwitch(c int) { p.columns[c].switched = true }

// Count puts a coefficient of column c's switch into row r.
func (p *Program) Count(r, c int, value float64) {
	col := &p.columns[c]
	for i := range col.entries {
		if col.entries[i].row == r {
			col.entries[i].switched = value
			return
		}
	}
	col.entries = append(col.entries, entry{row: r, switched: value})
}

// SetCost replaces the cost of column c.
func (p *Program) SetCost(c int, cost float64) { p.columns[c].cost = cost }

// SetBounds replaces the bounds of column c.
func (p *Program) SetBounds(c int, lower, upper float64) { p.columns[c].span = span{lower, upper} }

// SetRow replaces the range of row r.
func (p *Program) SetRow(r int, low, high float64) { p.rows[r] = span{low, high} }

// Columns and Rows return how many there are.
func (p *Program) Columns() int { return len(p.columns) }

// Rows returns how many rows there are.
func (p *Program) Rows() int { return len(p.rows) }

// ErrSingular says that a basis could not be inverted even from a fresh start.
var ErrSingular = errors.New("lp: the basis is singular")

// check refuses what the method does not hold for.
func (p *Program) check() error {
	for j, c := range p.columns {
		if !finite(c.low) || !finite(c.high) || !finite(c.cost) {
			return fmt.Errorf("lp: column %d has a bound or cost that is not finite", j)
		}
		if c.switched && c.low != 0 {
			return fmt.Errorf("lp: column %d has a switch and a lower bound of %g, not 0", j, c.low)
		}
		for _, e := range c.entries {
			if !finite(e.value) || !finite(e.switched) {
				return fmt.Errorf("lp: column %d, row %d: the coefficient is not finite", j, e.row)
			}
		}
	}
	for i, r := range p.rows {
		if math.IsNaN(r.low) || math.IsNaN(r.high) {
			return fmt.Errorf("lp: row %d has a range that is not a number", i)
		}
	}
	return nil
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// Solve returns the best solution. An error means a malformed program or lost
// accuracy, never infeasibility.
func (p *Program) Solve() (Solution, error) {
	if err := p.check(); err != nil {
		return Solution{}, err
	}
	for _, c := range p.columns {
		if c.high < c.low || c.forced == on && !c.canBeOn() {
			return Solution{Status: Infeasible}, nil
		}
	}
	t := newTableau(p)
	if t.crossed() {
		return Solution{Status: Infeasible}, nil
	}
	if p.HasSwitches() {
		return t.search(p)
	}
	return t.linear(p)
}

// canBeOn says whether a switch's least draw is within its upper bound.
func (c *column) canBeOn() bool { return c.high > 0 && c.least <= c.high*(1+1e-12) }

// HasSwitches says whether this is a mixed-integer program.
func (p *Program) HasSwitches() bool {
	for i := range p.columns {
		if p.columns[i].switched {
			return true
		}
	}
	return false
}

// linear solves a program without switches.
func (t *tableau) linear(p *Program) (Solution, error) {
	t.startFromLogicals()
	feasible, err := t.run()
	if err != nil {
		return Solution{}, err
	}
	if !feasible {
		return Solution{Status: Infeasible, Pivots: t.pivots, Effort: t.effort}, nil
	}
	x := t.unscaled()
	objective := p.Value(x)
	out := Solution{Objective: objective, Bound: objective, X: x, Pivots: t.pivots, Effort: t.effort, lean: t.reduced}
	out.basic = make([]bool, len(t.position))
	for j, at := range t.position {
		out.basic[j] = at >= 0
	}
	return out, nil
}

// Value is the true objective of x, switches charged where a column is not 0.
func (p *Program) Value(x []float64) float64 {
	sum := 0.0
	for j := range p.columns {
		c := &p.columns[j]
		sum += c.cost * x[j]
		if c.switched && x[j] > 0 {
			sum += c.fixed
		}
	}
	return sum
}
