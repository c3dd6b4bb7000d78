package blend

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// TestAlternatives: different sets of vessels, each a plan that holds, the
// best first, and the next best no better than it.
func TestAlternatives(t *testing.T) {
	const seed = 9
	random := rand.New(rand.NewPCG(seed, 0))
	most := 0
	for range 40 {
		p := randomPlan(random, family{sources: 12, targets: 1, integer: true})
		list, err := Alternatives(p, 5)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		best := solved(t, p)
		if (len(list) > 0) != (best.Status == StatusOptimal) || len(list) > 5 {
			t.Fatalf("seed %d: %d alternatives to a plan that is %s", seed, len(list), best.Status)
		}
		most = max(most, len(list))
		seen := map[string]bool{}
		for i, a := range list {
			recheck(t, p, a.Result)
			var ids []string
			for _, d := range a.Result.Draws {
				ids = append(ids, d.ID)
			}
			set := strings.Join(ids, " ")
			if seen[set] {
				t.Fatalf("seed %d: %s comes twice", seed, set)
			}
			seen[set] = true
			if a.Vessels != len(ids) {
				t.Errorf("seed %d: %d vessels are said to be %d", seed, len(ids), a.Vessels)
			}
			if strings.HasPrefix(a.Why, "next best") && a.Result.Objective < best.Objective-1e-7*(1+math.Abs(best.Objective)) {
				t.Errorf("seed %d: alternative %d is better than the best", seed, i)
			}
			checkEffects(t, p, a)
		}
		if len(list) > 0 && list[0].Result.Objective != best.Objective {
			t.Errorf("seed %d: the first alternative is not the plan itself", seed)
		}
	}
	if most != 5 {
		t.Errorf("seed %d: never more than %d alternatives", seed, most)
	}
}

// checkEffects works cost, loss and what is left out again.
func checkEffects(t *testing.T, p Plan, a Alternative) {
	t.Helper()
	cost, loss, left := 0.0, 0.0, 0.0
	for _, s := range p.Sources {
		left += s.AvailableL
		for _, d := range a.Result.Draws {
			if d.ID == s.ID {
				cost += d.VolumeL * *s.CostPerL
				loss += d.VolumeL * *s.LossPctPerYear / 100
				left -= d.VolumeL
			}
		}
	}
	e := a.Effects
	if !near(*e.Cost, cost, 1e-6) || !near(*e.LossAvoided, loss, 1e-6) || !near(e.LeftL, left, 1e-6) {
		t.Errorf("effects are %+v; cost %g, loss %g, left %g", e, cost, loss, left)
	}
}
