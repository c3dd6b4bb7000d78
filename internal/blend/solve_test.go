package blend

import (
	"math"
	"testing"
)

func near(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }

// TestExampleOfTheFile solves the plan file's example: one vessel of 61.2 % to
// 46 %. Pure alcohol: x = 30·46/61.2 = 22.549 L is more than the 18.2 L there are.
func TestExampleOfTheFile(t *testing.T) {
	text := `{"kind":"blend","target":{"volume_l":24,"strength_pct":46},
	 "sources":[{"id":"A","available_l":18.2,"strength_pct":61.2,"age_days":1310,"cost_per_l":14,"shares":{"rye":0.8},"scores":{"fruit":3},"keep_l":0,"min_l":0,"whole":false}],
	 "water":true,"objective":"least_cost",
	 "limits":{"min_age_days":730,"max_vessels":4,"shares":[{"of":"rye","min":0.51}],"scores":[{"of":"fruit","min":2,"max":4}]}}`
	p, err := Parse([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	r, err := Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	want := 24 * 46 / 61.2
	if r.Status != StatusOptimal || len(r.Draws) != 1 || !near(r.Draws[0].VolumeL, want, 1e-9) || !near(r.Objective, 14*want, 1e-9) {
		t.Fatalf("got %+v", r)
	}
	p.Target.VolumeL = 30
	if r, err = Solve(p); err != nil || r.Status != StatusInfeasible {
		t.Fatalf("30 L: got %+v, %v", r, err)
	}
}
