package lp

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestSmallLinear(t *testing.T) {
	// most 3x + 2y where x + y ≤ 4, x + 3y ≤ 6, 0 ≤ x ≤ 3: x = 3, y = 1, worth 11.
	var p Program
	a, b := p.Row(math.Inf(-1), 4), p.Row(math.Inf(-1), 6)
	x, y := p.Column(0, 3, -3), p.Column(0, 10, -2)
	p.Set(a, x, 1)
	p.Set(a, y, 1)
	p.Set(b, x, 1)
	p.Set(b, y, 3)
	s, err := p.Solve()
	if err != nil || s.Status != Optimal || s.X[x] != 3 || s.X[y] != 1 || s.Objective != -11 {
		t.Fatalf("got %+v, %v", s, err)
	}
	if _, open := p.Face(s); open != 0 {
		t.Fatalf("the optimum is the only one, and %d columns are said to be open", open)
	}
}

func TestInfeasible(t *testing.T) {
	for name, build := range map[string]func(*Program){
		"too little": func(p *Program) { r := p.Row(5, 5); p.Set(r, p.Column(0, 4, 1), 1) },
		"nothing":    func(p *Program) { p.Row(1, 2) },
		"crossed":    func(p *Program) { p.Column(2, 1, 0) },
		"parallel": func(p *Program) {
			a, b := p.Row(1, 1), p.Row(3, 3)
			for range 3 {
				c := p.Column(0, 1, 0)
				p.Set(a, c, 1)
				p.Set(b, c, 2)
			}
		},
		"forced too small": func(p *Program) { c := p.Column(0, 1, 0); p.Switch(c, 2, 0); p.Force(c) },
	} {
		t.Run(name, func(t *testing.T) {
			var p Program
			build(&p)
			if s, err := p.Solve(); err != nil || s.Status != Infeasible {
				t.Fatalf("got %+v, %v", s, err)
			}
		})
	}
}

func TestMalformed(t *testing.T) {
	for name, build := range map[string]func(*Program){
		"open column":   func(p *Program) { p.Column(0, math.Inf(1), 1) },
		"no number":     func(p *Program) { p.Column(0, 1, math.NaN()) },
		"row":           func(p *Program) { p.Row(math.NaN(), 1) },
		"coefficient":   func(p *Program) { p.Set(p.Row(0, 1), p.Column(0, 1, 1), math.Inf(1)) },
		"switch at one": func(p *Program) { p.Switch(p.Column(1, 2, 0), 1, 0) },
	} {
		t.Run(name, func(t *testing.T) {
			var p Program
			build(&p)
			if s, err := p.Solve(); err == nil {
				t.Fatalf("accepted: %+v", s)
			}
		})
	}
}

// TestDuality checks the optimum of random programs without another solver:
// what Solve returns is feasible, and the reduced costs prove that nothing
// better is. Redundant rows, equal costs and rows of nothing are among them.
func TestDuality(t *testing.T) {
	const seed = 7
	random := rand.New(rand.NewPCG(seed, 0))
	optimal := 0
	for i := range 2000 {
		p := degenerate(random)
		s, err := p.Solve()
		if err != nil {
			t.Fatalf("seed %d, program %d: %v", seed, i, err)
		}
		if s.Status != Optimal {
			continue
		}
		optimal++
		checkFeasible(t, p, s.X)
		if bound := lagrange(p, s); math.Abs(bound-s.Objective) > 1e-8*(1+math.Abs(s.Objective)) {
			t.Fatalf("seed %d, program %d: objective %.12g, the duals prove only %.12g", seed, i, s.Objective, bound)
		}
	}
	if optimal < 500 {
		t.Fatalf("only %d programs had an optimum", optimal)
	}
}

// degenerate makes a program with small whole numbers, so that ties abound.
func degenerate(r *rand.Rand) *Program {
	p := &Program{}
	rows, columns := 1+r.IntN(5), 1+r.IntN(12)
	for range rows {
		low := float64(r.IntN(8))
		p.Row(low, low+float64(r.IntN(3)))
	}
	for range columns {
		low := float64(r.IntN(3) - 1)
		c := p.Column(low, low+float64(r.IntN(4)), float64(r.IntN(4)-1))
		for i := range rows {
			if v := float64(r.IntN(4) - 1); v != 0 {
				p.Set(i, c, v)
			}
		}
	}
	if r.IntN(3) == 0 { // a row that says what another says
		again := p.Row(p.rows[0].low, p.rows[0].high)
		for j := range p.columns {
			for _, e := range p.columns[j].entries {
				if e.row == 0 {
					p.Set(again, j, e.value)
				}
			}
		}
	}
	return p
}

// lagrange is the bound that the reduced costs prove: each column and each
// row's activity at whichever end is best for them.
func lagrange(p *Program, s Solution) float64 {
	t := newTableau(p)
	bound := 0.0
	for j, d := range s.lean {
		bound += math.Min(d*t.low[j], d*t.high[j])
	}
	return bound * t.costSize
}
