package blend

import (
	"errors"
	"fmt"
	"testing"

	"pgregory.net/rapid"
)

// strangePlan draws plans at the ends of what Parse lets through: nothing in a
// vessel, everything kept, pure alcohol, no alcohol, thimbles and vats, twins.
func strangePlan(t *rapid.T) Plan {
	volumes := rapid.SampledFrom([]float64{0.05, 1, 18.2, 200, 1e4})
	strengths := rapid.SampledFrom([]float64{0, 0.5, 1, 40, 46, 46.0001, 62.5, 96, 99.9999, 100})
	p := Plan{Kind: KindBlend, Water: rapid.Bool().Draw(t, "water"), Objective: rapid.SampledFrom(Objectives()).Draw(t, "objective")}
	p.Wanted = map[string]float64{"fruit": rapid.SampledFrom([]float64{-1e6, 0, 3, 1e6}).Draw(t, "wanted")}
	for i := range rapid.IntRange(1, 6).Draw(t, "vessels") {
		cost := rapid.SampledFrom([]float64{0, 0, 1, -3, 1e9}).Draw(t, "cost")
		age := rapid.SampledFrom([]float64{0, 730, 100_000}).Draw(t, "age")
		p.Sources = append(p.Sources, Source{
			ID: fmt.Sprint("V", i), AvailableL: volumes.Draw(t, "available"), StrengthPct: strengths.Draw(t, "strength"),
			CostPerL: &cost, AgeDays: &age, LossPctPerYear: &cost,
			Shares: map[string]float64{"rye": rapid.SampledFrom([]float64{0, 1e-9, 0.5, 1}).Draw(t, "share")},
			Scores: map[string]float64{"fruit": rapid.SampledFrom([]float64{-1e6, 0, 3, 3.0000001}).Draw(t, "score")},
			KeepL:  rapid.SampledFrom([]float64{0, 0, 0, 1, 1e7}).Draw(t, "keep"),
			MinL:   rapid.SampledFrom([]float64{0, 0, 0, 5}).Draw(t, "least"),
			Whole:  rapid.Bool().Draw(t, "whole") && rapid.Bool().Draw(t, "still whole"),
		})
		if c := &p.Sources[i]; objectiveLoss(p.Objective) {
			loss := cost / 1e8
			c.LossPctPerYear = &loss
		}
		if *p.Sources[i].LossPctPerYear > 100 {
			p.Sources[i].LossPctPerYear = nil
		}
	}
	p.Target = &Target{VolumeL: volumes.Draw(t, "volume"), StrengthPct: strengths.Filter(func(v float64) bool { return v > 0 }).Draw(t, "to")}
	if rapid.Bool().Draw(t, "limited") {
		half := 0.5
		p.Limits = &Limits{MaxVessels: rapid.IntRange(0, 3).Draw(t, "most"), Shares: []Band{{Of: "rye", Min: &half}}}
	}
	return p
}

func objectiveLoss(objective string) bool { return objective == FastestLosingFirst }

// TestStrangePlans: every plan that passes Check gets an answer, and what is
// called a plan holds in masses.
func TestStrangePlans(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := strangePlan(t)
		if err := p.Check(); err != nil {
			t.Fatalf("not a plan: %v", err)
		}
		r, err := Solve(p)
		if errors.Is(err, ErrTooHard) {
			return
		}
		if err != nil {
			t.Fatalf("%v\n%s", err, asJSON(p))
		}
		if r.Status == StatusOptimal {
			recheckLoosely(t, p, r)
		}
	})
}

// recheckLoosely leaves out what milligrams cannot tell in a drop.
func recheckLoosely(t failing, p Plan, r Result) {
	t.Helper()
	if p.Target.VolumeL >= 1 && p.Target.VolumeL <= 1e4 {
		recheck(t, p, r)
	}
	if !near(r.Made.VolumeL, p.Target.VolumeL, 1e-6*p.Target.VolumeL) || !near(r.Made.StrengthPct, p.Target.StrengthPct, 1e-6*p.Target.StrengthPct) {
		t.Fatalf("made %g L at %g", r.Made.VolumeL, r.Made.StrengthPct)
	}
}

// TestManyTies: when a hundred vessels could make the scores exactly, any of
// countless plans is as good as another, and one of them is found all the same.
func TestManyTies(t *testing.T) {
	for _, n := range []int{50, 100, 200} {
		for seed := range uint64(6) {
			p := wholeStock(n, ClosestScores, seed)
			m := build(&p, terms{})
			s, err := m.solve()
			if err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			original := m.program
			chosen, unique, err := m.fewest(s)
			if err != nil || unique {
				t.Fatalf("seed %d, %d vessels: %v", seed, n, err)
			}
			if out, err := m.settleAmounts(original, chosen); err != nil || out.X == nil {
				t.Fatalf("seed %d, %d vessels: %+v, %v", seed, n, out.Status, err)
			}
			recheck(t, p, solved(t, p))
		}
	}
}
