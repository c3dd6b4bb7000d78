package lp

import (
	"math"
	"math/rand/v2"
	"testing"
)

// randomProgram is a small program with switches, like those of plans.
func randomProgram(r *rand.Rand) *Program {
	p := &Program{}
	rows := 1 + r.IntN(3)
	for range rows {
		middle := r.Float64() * 20
		p.Row(middle-r.Float64()*3, middle+r.Float64()*3)
	}
	count := p.Row(math.Inf(-1), float64(1+r.IntN(4)))
	for range 2 + r.IntN(6) {
		high := 1 + 9*r.Float64()
		c := p.Column(0, high, r.Float64()*4-1)
		for i := range rows {
			p.Set(i, c, r.Float64()*2)
		}
		switch r.IntN(4) {
		case 0:
		case 1:
			p.Switch(c, high, 0)
		default:
			p.Switch(c, high*r.Float64()*0.6, math.Floor(r.Float64()*3))
			p.Count(count, c, 1)
		}
	}
	return p
}

// enumerate solves a program by trying every way of setting its switches, each
// as a plain linear program: the naive model beside the real one.
func enumerate(t *testing.T, p *Program) (best float64, some bool) {
	var switches []int
	for j := range p.columns {
		if p.columns[j].switched {
			switches = append(switches, j)
		}
	}
	best = math.Inf(1)
	for mask := range 1 << len(switches) {
		on := make([]float64, len(p.columns))
		charge := 0.0
		for k, j := range switches {
			if mask>>k&1 == 1 {
				on[j] = 1
				charge += p.columns[j].fixed
			}
		}
		s, err := p.Fixed(on).Solve()
		if err != nil {
			t.Fatal(err)
		}
		if s.Status == Optimal && s.Objective+charge < best {
			best, some = s.Objective+charge, true
		}
	}
	return best, some
}

func TestSearchAgainstEnumeration(t *testing.T) {
	const seed = 11
	random := rand.New(rand.NewPCG(seed, 0))
	feasible := 0
	for i := range 1500 {
		p := randomProgram(random)
		want, some := enumerate(t, p)
		got, err := p.Solve()
		if err != nil {
			t.Fatalf("seed %d, program %d: %v", seed, i, err)
		}
		if (got.Status == Optimal) != some {
			t.Fatalf("seed %d, program %d: status %d, enumeration finds a plan: %v", seed, i, got.Status, some)
		}
		if !some {
			continue
		}
		feasible++
		if math.Abs(got.Objective-want) > 1e-7*(1+math.Abs(want)) {
			t.Fatalf("seed %d, program %d: %.12g, enumeration has %.12g", seed, i, got.Objective, want)
		}
		checkFeasible(t, p, got.X)
	}
	if feasible < 300 {
		t.Fatalf("only %d of the programs were feasible: too few to tell anything", feasible)
	}
}

// checkFeasible checks x against the rows and bounds of the program itself.
func checkFeasible(t *testing.T, p *Program, x []float64) {
	t.Helper()
	activity, size := make([]float64, len(p.rows)), make([]float64, len(p.rows))
	for j := range p.columns {
		c := &p.columns[j]
		if slack := 1e-9 * (math.Abs(c.low) + math.Abs(c.high)); x[j] < c.low-slack || x[j] > c.high+slack {
			t.Fatalf("column %d is %g, outside %g to %g", j, x[j], c.low, c.high)
		}
		if c.switched && x[j] > 0 && x[j] < c.least*(1-1e-8) {
			t.Fatalf("column %d is %g, below its least of %g", j, x[j], c.least)
		}
		for _, e := range c.entries {
			v := e.value * x[j]
			if c.switched && x[j] > 0 {
				v += e.switched
			}
			activity[e.row] += v
			size[e.row] += math.Abs(v)
		}
	}
	for i, r := range p.rows {
		if slack := 1e-8 * (1 + size[i]); activity[i] < r.low-slack || activity[i] > r.high+slack {
			t.Fatalf("row %d comes to %g, outside %g to %g", i, activity[i], r.low, r.high)
		}
	}
}

func TestStoppedSearchSaysSo(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 5))
	p := &Program{MostEffort: 1}
	row := p.Row(100, 100)
	for range 30 {
		high := 1 + 9*random.Float64()
		c := p.Column(0, high, 1)
		p.Set(row, c, 1)
		p.Switch(c, high, 0)
	}
	s, err := p.Solve()
	if err != nil || s.Status != Unproven {
		t.Fatalf("got %+v, %v", s, err)
	}
}
