package blend

import (
	"fmt"
	"math/rand/v2"
)

// family bounds the random plans of a kind.
type family struct {
	sources, targets int // most
	integer          bool
	part             float64 // most of the stock that is asked for; 0 for 0.85
}

// randomPlan makes a plan of the kind a store might ask for, some of them
// impossible. The same source of randomness gives the same plan.
func randomPlan(r *rand.Rand, f family) Plan {
	p := Plan{Kind: KindBlend, Water: r.IntN(5) > 0}
	p.Objective = Objectives()[r.IntN(len(Objectives()))]
	if !f.integer && p.Objective == FewestVessels {
		p.Objective = LeastCost
	}
	total := 0.0
	for i := range 1 + r.IntN(f.sources) {
		s := randomSource(r, i, f.integer)
		total += s.usable()
		p.Sources = append(p.Sources, s)
	}
	if p.Objective == ClosestScores {
		p.Wanted = map[string]float64{"fruit": 1 + 4*r.Float64(), "oak": 5 * r.Float64()}
		p.Weights = map[string]float64{"oak": 0.5 + r.Float64()}
	}
	n, part := 1, f.part/0.85
	if f.part == 0 {
		part = 1
	}
	if f.targets > 1 {
		n = 2 + r.IntN(f.targets-1)
	}
	for i := range n {
		g := Target{
			Name: fmt.Sprint("T", i), VolumeL: (0.05 + 0.8*r.Float64()) * total * part / float64(n), StrengthPct: 35 + 30*r.Float64(),
			Limits: randomLimits(r, f.integer, len(p.Sources)),
		}
		p.Targets = append(p.Targets, g)
	}
	if n == 1 {
		p.Target, p.Targets, p.Limits = &p.Targets[0], nil, p.Targets[0].Limits
		p.Target.Limits = nil
	}
	return p
}

func randomSource(r *rand.Rand, i int, integer bool) Source {
	known := func(v float64) *float64 { return &v }
	s := Source{
		ID: fmt.Sprintf("V%04d", i), AvailableL: 2 + 58*r.Float64(), StrengthPct: 38 + 34*r.Float64(),
		AgeDays: known(float64(100 + r.IntN(3000))), CostPerL: known(5 + 20*r.Float64()), LossPctPerYear: known(0.5 + 11*r.Float64()),
		Shares: map[string]float64{}, Scores: map[string]float64{"fruit": 6 * r.Float64(), "oak": 6 * r.Float64()},
	}
	if rye := r.Float64(); rye > 0.3 {
		s.Shares["rye"] = rye
	}
	if r.IntN(6) == 0 {
		s.KeepL = s.AvailableL * r.Float64() / 2
	}
	s.MustNotUse = r.IntN(20) == 0
	if !integer {
		return s
	}
	if r.IntN(5) == 0 {
		s.MinL = s.AvailableL * r.Float64() / 2
	}
	s.Whole = r.IntN(6) == 0
	s.MustUse = i < 12 && !s.MustNotUse && r.IntN(25) == 0
	return s
}

func randomLimits(r *rand.Rand, integer bool, sources int) *Limits {
	l := &Limits{}
	share, score, width := r.Float64()*0.8, 4*r.Float64(), 0.5+2*r.Float64()
	if r.IntN(2) == 0 {
		l.Shares = []Band{{Of: "rye", Min: &share}}
	}
	if top := share + 0.3; r.IntN(4) == 0 && top < 1 {
		l.Shares = append(l.Shares, Band{Of: "rye", Max: &top})
	}
	if top := score + width; r.IntN(3) == 0 {
		l.Scores = []Band{{Of: "fruit", Min: &score, Max: &top}}
	}
	if r.IntN(3) == 0 {
		l.MinAgeDays = float64(r.IntN(1500))
	}
	if integer && r.IntN(3) > 0 {
		l.MaxVessels = 1 + r.IntN(max(1, min(sources, 6)))
	}
	return l
}
