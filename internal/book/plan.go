package book

import (
	"example.org/croze/internal/blend"
	"example.org/croze/internal/cellar"
)

// FillPlan completes the sources of a plan that only name a vessel with what
// the estimator says is in it, and asks the planner.
func (v *View) FillPlan(p *blend.Plan) error {
	for _, id := range p.Unfilled() {
		vessel, ok := v.State.FindVessel(id)
		if !ok {
			return &cellar.Problem{Kind: cellar.NotFound, Field: "sources", Value: id, Reason: "no such vessel is registered"}
		}
		if err := p.Fill(id, v.Source(vessel.Code)); err != nil {
			return err
		}
	}
	return nil
}

// Source is what a vessel offers to a plan. Shares hold its grains, batches and
// woods, each by pure alcohol.
func (v *View) Source(code string) blend.Source {
	line := v.StockLine(code)
	age, lost := float64(line.YoungestDays), line.LossPctPerYear
	return blend.Source{
		ID: code, AvailableL: max(0, line.VolumeL), StrengthPct: min(100, max(0, line.StrengthPct)),
		VolumeSDL: line.VolumeSDL, StrengthSD: line.StrengthSD,
		AgeDays: &age, LossPctPerYear: &lost, Shares: v.shares(code), Scores: v.scores(code),
	}
}

// shares is everything that a limit on shares can be about.
func (v *View) shares(code string) map[string]float64 {
	parts := v.State.ContentsOn(cellar.VesselAccount(code), v.On).Parts
	shares := v.State.GrainShares(parts)
	for name, share := range cellar.BatchShares(parts) {
		shares[name] += share
	}
	return shares
}

// scores is the mean of what was noted of this filling, under the store's own words.
func (v *View) scores(code string) map[string]float64 {
	sums, counts := make(map[string]float64), make(map[string]float64)
	for _, e := range v.State.Vessels[code].Events {
		if e.Filled {
			clear(sums)
			clear(counts)
		}
		sample, ok := e.Entry.Fact.(*cellar.Sample)
		if !ok || sample.Senses == nil {
			continue
		}
		for word, score := range sample.Senses.Scores {
			sums[word] += float64(score)
			counts[word]++
		}
	}
	for word := range sums {
		sums[word] /= counts[word]
	}
	return sums
}
