package blend

import (
	"bytes"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os/exec"
	"testing"

	"example.org/croze/internal/spirit"
)

// problem is a plan as testdata/highs.py reads it.
type problem struct {
	Plan            Plan      `json:"plan"`
	Densities       []float64 `json:"densities"`
	TargetDensities []float64 `json:"target_densities"`
	WaterDensity    float64   `json:"water_density"`
}

type answer struct {
	Status    string  `json:"status"`
	Objective float64 `json:"objective"`
	Seconds   float64 `json:"seconds"`
}

func problemOf(p Plan) problem {
	out := problem{Plan: p, WaterDensity: float64(spirit.WaterDensity) / 1000}
	for _, s := range p.Sources {
		out.Densities = append(out.Densities, density(s.StrengthPct))
	}
	for _, g := range p.goals() {
		out.TargetDensities = append(out.TargetDensities, density(g.StrengthPct))
	}
	return out
}

// askHiGHS solves all plans in one process of the independent solver.
func askHiGHS(t testing.TB, plans []Plan) []answer {
	t.Helper()
	problems := make([]problem, len(plans))
	for i, p := range plans {
		problems[i] = problemOf(p)
	}
	text, err := json.Marshal(problems)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("/usr/bin/python3", "testdata/highs.py")
	cmd.Stdin = bytes.NewReader(text)
	var complaints bytes.Buffer
	cmd.Stderr = &complaints
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("the independent solver (Debian python3-scipy) did not run: %v\n%s", err, complaints.String())
	}
	var answers []answer
	if err := json.Unmarshal(out, &answers); err != nil || len(answers) != len(plans) {
		t.Fatalf("the independent solver gave %d answers to %d plans: %v", len(answers), len(plans), err)
	}
	return answers
}

// TestAgainstHiGHS compares random plans with an independent solver: the same
// status, and the same objective to 1e-6 relative.
func TestAgainstHiGHS(t *testing.T) {
	for _, c := range []struct {
		name  string
		seed  uint64
		count int
		f     family
	}{
		{"linear", 1, 500, family{sources: 40, targets: 1}},
		{"linear, targets compete", 2, 120, family{sources: 20, targets: 3}},
		{"integer", 3, 500, family{sources: 16, targets: 1, integer: true}},
		{"integer, many vessels", 5, 40, family{sources: 150, targets: 1, integer: true, part: 0.07}},
		{"integer, targets compete", 4, 80, family{sources: 8, targets: 3, integer: true}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			random := rand.New(rand.NewPCG(c.seed, 46))
			plans := make([]Plan, c.count)
			for i := range plans {
				plans[i] = randomPlan(random, c.f)
			}
			compare(t, c.seed, plans, askHiGHS(t, plans))
		})
	}
}

func compare(t *testing.T, seed uint64, plans []Plan, answers []answer) {
	feasible := 0
	for i, p := range plans {
		r, err := Solve(p)
		if err != nil {
			t.Fatalf("seed %d, plan %d: %v\n%s", seed, i, err, asJSON(p))
		}
		a := answers[i]
		if r.Status != a.Status {
			t.Errorf("seed %d, plan %d: Croze says %s, HiGHS says %s\n%s", seed, i, r.Status, a.Status, asJSON(p))
			continue
		}
		if r.Status != StatusOptimal {
			continue
		}
		feasible++
		recheck(t, p, r)
		if math.Abs(r.Objective-a.Objective) > 1e-6*math.Max(1, math.Abs(a.Objective)) {
			t.Errorf("seed %d, plan %d: objective %.10g, HiGHS has %.10g\n%s", seed, i, r.Objective, a.Objective, asJSON(p))
		}
	}
	t.Logf("%d plans agree, %d of them feasible", len(plans), feasible)
}

func asJSON(v any) string {
	text, err := json.Marshal(v)
	if err != nil {
		return err.Error()
	}
	return string(text)
}
