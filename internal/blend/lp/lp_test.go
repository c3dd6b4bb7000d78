package lp

import "testing"

func TestSmallLinear(t *testing.T) {
	// most 3x + 2y where x + y ≤ 4, x + 3y ≤ 6, 0 ≤ x ≤ 3: x = 3, y = 1, worth 11.
	var p Program
	a, b := p.Row(-1e30, 4), p.Row(-1e30, 6)
	x, y := p.Column(0, 3, -3), p.Column(0, 10, -2)
	p.Set(a, x, 1)
	p.Set(a, y, 1)
	p.Set(b, x, 1)
	p.Set(b, y, 3)
	s, err := p.Solve()
	if err != nil || s.Status != Optimal || s.X[x] != 3 || s.X[y] != 1 || s.Objective != -11 {
		t.Fatalf("got %+v, %v", s, err)
	}
}
