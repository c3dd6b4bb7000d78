package blend

import (
	"math"
	"math/rand/v2"
	"testing"
)

// uncertain gives each vessel of a plan a spread.
func uncertain(r *rand.Rand, p Plan) Plan {
	for i := range p.Sources {
		p.Sources[i].VolumeSDL = p.Sources[i].AvailableL * (0.005 + 0.03*r.Float64())
		p.Sources[i].StrengthSD = 0.05 + 0.3*r.Float64()
	}
	return p
}

// TestChanceHoldsUp asks for 95 % and counts, in invented stores drawn at
// random around what the plan was told, how often every draw is there and how
// far the strength comes out from the plan's.
func TestChanceHoldsUp(t *testing.T) {
	const seed, stores = 20, 20_000
	random := rand.New(rand.NewPCG(seed, 0))
	tested := 0
	for tested < 15 {
		p := uncertain(random, randomPlan(random, family{sources: 12, targets: 1}))
		p.Chance = 0.95
		r := solved(t, p)
		if r.Status != StatusOptimal {
			continue
		}
		tested++
		recheck(t, p, r)
		if r.Chance.MakesVolume < 0.95 {
			t.Fatalf("seed %d: asked for 95 %%, the plan has %g\n%s", seed, r.Chance.MakesVolume, asJSON(p))
		}
		made, spread := simulate(random, p, r, stores)
		want := r.Chance.MakesVolume
		if sd := math.Sqrt(want * (1 - want) / stores); math.Abs(made-want) > 4*sd+1e-3 {
			t.Errorf("seed %d: %g of the stores could make it, the plan says %g", seed, made, want)
		}
		if s := r.Made.StrengthSD; math.Abs(spread-s) > 0.05*s {
			t.Errorf("seed %d: strengths spread by %g, the plan says %g", seed, spread, s)
		}
	}
}

// simulate draws stores and returns how many can make the plan, and the spread
// of the strength that the same draws and water come to.
func simulate(r *rand.Rand, p Plan, plan Result, stores int) (made, spread float64) {
	drawn := map[string]float64{}
	for _, d := range plan.Draws {
		drawn[d.ID] = d.VolumeL
	}
	var sum, squares float64
	for range stores {
		possible, alcohol, mass := true, 0.0, plan.WaterKg
		for _, s := range p.Sources {
			v := drawn[s.ID]
			if v == 0 {
				continue
			}
			has := s.AvailableL + s.VolumeSDL*r.NormFloat64() - s.KeepL
			possible = possible && has >= v
			strength := s.StrengthPct + s.StrengthSD*r.NormFloat64()
			alcohol += v * strength / 100
			mass += v * density(strength)
		}
		if possible {
			made++
		}
		m, err := mixture(alcohol, mass)
		if err != nil {
			continue
		}
		sum += m.StrengthPct
		squares += m.StrengthPct * m.StrengthPct
	}
	n := float64(stores)
	return made / n, math.Sqrt(squares/n - sum/n*sum/n)
}

// TestChanceCostsNoMoreThanItMust: half the margin would not reach the chance.
func TestChanceCostsNoMoreThanItMust(t *testing.T) {
	known := func(v float64) *float64 { return &v }
	p := Plan{Kind: KindBlend, Target: &Target{VolumeL: 30, StrengthPct: 46}, Water: true, Objective: OldestFirst, Chance: 0.95}
	for i, id := range []string{"A", "B", "C"} {
		p.Sources = append(p.Sources, Source{ID: id, AvailableL: 10, StrengthPct: 60, AgeDays: known(float64(1000 - i)), VolumeSDL: 0.3})
	}
	// 23 L are drawn: all that may be of A and of B, and little of C. Both must
	// hold their draw: each with √0.95 = 0.97468, 1.9545 standard uncertainties.
	r := solved(t, p)
	if !near(r.Chance.MarginSD, 1.9545, 1e-3) || !near(r.Draws[0].VolumeL, 10-0.3*1.9545, 1e-3) || len(r.Chance.Vessels) != 2 {
		t.Errorf("got %+v, %+v", r.Chance, r.Draws)
	}
	if g := r.Chance.GaugeFirst; g == nil || g.ID != "A" || !near(g.MakesVolume, 0.97468, 1e-4) {
		t.Errorf("gauge first: %+v", g)
	}
	p.Chance = 0
	if r = solved(t, p); !near(r.Chance.MakesVolume, 0.25, 1e-9) {
		t.Errorf("two vessels emptied are each as likely short as not: %+v", r.Chance)
	}
	p.Target.VolumeL, p.Chance = 38.5, 0.99
	r = solved(t, p)
	if r.Status != StatusInfeasible || r.ClashPaths[0] != "chance" {
		t.Fatalf("got %+v", r)
	}
	for _, c := range r.Nearest.Changes {
		changed, err := Apply(p, c)
		if err != nil {
			t.Fatal(err)
		}
		if after := solved(t, changed); after.Status != StatusOptimal {
			t.Errorf("%+v to %g does not help", c, *c.To)
		}
	}
}

func TestGaugeFirstByStrength(t *testing.T) {
	p := Plan{
		Kind: KindBlend, Target: &Target{VolumeL: 10, StrengthPct: 46}, Water: true, Objective: FewestVessels,
		Sources: []Source{{ID: "A", AvailableL: 50, StrengthPct: 60, StrengthSD: 0.4, VolumeSDL: 0.1}},
	}
	r := solved(t, p)
	// 7.667 L of 10 come from A: 0.4·0.7667 = 0.30667.
	if !near(r.Made.StrengthSD, 0.306667, 1e-6) || r.Chance.GaugeFirst.ID != "A" || r.Chance.GaugeFirst.StrengthSD != 0 || r.Chance.MakesVolume != 1 {
		t.Errorf("got %+v, %+v", r.Made, r.Chance)
	}
}
