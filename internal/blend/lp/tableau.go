package lp

import "math"

// tableau is a program scaled and laid out for the simplex method. Column j of
// the program is scaled by its largest bound, row i by its largest entry, so
// that tolerances mean the same everywhere. Row i is A·x - s = 0 with a logical
// column s, of index n+i, bounded by the row's range.
type tableau struct {
	m, n       int
	start      []int32 // entries of column j are at start[j] … start[j+1]
	row        []int32
	value      []float64 // as it now stands, with undecided switches added
	plain      []float64 // coefficient of x alone
	switched   []float64 // coefficient of the switch
	low, high  []float64 // n + m bounds, scaled
	cost       []float64 // n + m, scaled
	columnSize []float64 // unscaled = scaled · columnSize
	rowSize    []float64
	costSize   float64
	trueCost   []float64 // while the costs are shaken
	shaken     bool

	basis    []int32 // column in basis position i
	position []int32 // basis position of a column, or -1
	atUpper  []bool
	inverse  []float64 // m × m, row-major
	x        []float64 // n + m values
	reduced  []float64 // n + m reduced costs
	pivots   int
	effort   int64
	work     workspace
}

// workspace is scratch space kept between pivots.
type workspace struct {
	alpha   []float64 // pivot row over all columns
	entered []float64 // pivot column
	shift   []float64
	dual    []float64
	square  []float64
	heap    []breakpoint
}

// Tolerances, in scaled units.
const (
	feasibility   = 1e-10 // how far a value may be outside its bounds
	smallestPivot = 1e-9
	dualNoise     = 1e-11 // reduced costs this close to 0 have no sign
	refactorEvery = 40
)

func newTableau(p *Program) *tableau {
	m, n := len(p.rows), len(p.columns)
	t := &tableau{m: m, n: n}
	t.allocate()
	t.scale(p)
	t.loadBounds(p)
	t.effort = int64(10*len(t.value) + 20*n)
	return t
}

func (t *tableau) allocate() {
	total := t.n + t.m
	t.start = make([]int32, t.n+1)
	t.low, t.high = make([]float64, total), make([]float64, total)
	t.cost, t.x, t.reduced = make([]float64, total), make([]float64, total), make([]float64, total)
	t.columnSize, t.rowSize = make([]float64, t.n), make([]float64, t.m)
	t.basis, t.position = make([]int32, t.m), make([]int32, total)
	t.atUpper = make([]bool, total)
	t.inverse = make([]float64, t.m*t.m)
	t.work = workspace{
		alpha: make([]float64, total), entered: make([]float64, t.m),
		shift: make([]float64, t.m), dual: make([]float64, t.m), square: make([]float64, 2*t.m*t.m),
	}
}

// scale fills the matrix and the sizes.
func (t *tableau) scale(p *Program) {
	entries := 0
	for j := range p.columns {
		entries += len(p.columns[j].entries)
	}
	t.row = make([]int32, 0, entries)
	t.plain, t.switched = make([]float64, 0, entries), make([]float64, 0, entries)
	for j := range p.columns {
		c := &p.columns[j]
		size := math.Max(math.Abs(c.low), math.Abs(c.high))
		if size == 0 {
			size = 1
		}
		t.columnSize[j] = size
		for _, e := range c.entries {
			z := 0.0
			if c.switched && c.high > 0 {
				z = e.switched
			}
			t.row = append(t.row, int32(e.row))
			t.plain = append(t.plain, e.value*size)
			t.switched = append(t.switched, z)
			t.rowSize[e.row] = math.Max(t.rowSize[e.row], math.Abs(e.value*size+z))
		}
		t.start[j+1] = int32(len(t.row))
	}
	for i, size := range t.rowSize {
		if size == 0 {
			t.rowSize[i] = 1
		}
	}
	t.value = make([]float64, len(t.plain))
	for k, r := range t.row {
		t.plain[k] /= t.rowSize[r]
		t.switched[k] /= t.rowSize[r]
		t.value[k] = t.plain[k] + t.switched[k]
	}
}

// loadBounds fills bounds and costs. An open end of a row is closed by what
// the columns can reach, so that every logical is boxed as well.
func (t *tableau) loadBounds(p *Program) {
	reach := make([]span, t.m)
	t.costSize = 0
	for j := range p.columns {
		c := &p.columns[j]
		t.low[j], t.high[j] = c.low/t.columnSize[j], c.high/t.columnSize[j]
		t.cost[j] = c.cost * t.columnSize[j]
		if c.switched {
			t.cost[j] += c.fixed
		}
		t.costSize = math.Max(t.costSize, math.Abs(t.cost[j]))
		for k := t.start[j]; k < t.start[j+1]; k++ {
			reach[t.row[k]].include(t.plain[k], t.low[j], t.high[j])
			reach[t.row[k]].include(t.switched[k], 0, 1)
		}
	}
	if t.costSize == 0 {
		t.costSize = 1
	}
	for j := range t.n {
		t.cost[j] /= t.costSize
	}
	for i, r := range p.rows {
		t.low[t.n+i] = math.Max(r.low/t.rowSize[i], reach[i].low-1)
		t.high[t.n+i] = math.Min(r.high/t.rowSize[i], reach[i].high+1)
	}
}

// crossed says whether some row asks for more than all columns together can give.
func (t *tableau) crossed() bool {
	for j := range t.low {
		if t.low[j] > t.high[j]+feasibility {
			return true
		}
		t.high[j] = math.Max(t.low[j], t.high[j])
	}
	return false
}

// include widens s by what a·x can be for x from low to high.
func (s *span) include(a, low, high float64) {
	s.low += math.Min(a*low, a*high)
	s.high += math.Max(a*low, a*high)
}

// unscaled returns the values of the program's own columns, held to their bounds.
func (t *tableau) unscaled() []float64 {
	x := make([]float64, t.n)
	for j := range x {
		v := math.Min(t.high[j], math.Max(t.low[j], t.x[j]))
		x[j] = v * t.columnSize[j]
	}
	return x
}

// objective is the scaled objective at the present values, without constants.
func (t *tableau) objective() float64 {
	sum := 0.0
	for j := range t.n {
		sum += t.cost[j] * t.x[j]
	}
	return sum
}
