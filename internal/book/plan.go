package book

import (
	"maps"

	"slices"

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
	source := blend.Source{
		ID: code, AvailableL: max(0, line.VolumeL), StrengthPct: min(100, max(0, line.StrengthPct)),
		VolumeSDL: line.VolumeSDL, StrengthSD: line.StrengthSD,
		AgeDays: &age, LossPctPerYear: &lost, Shares: v.shares(code), Scores: v.scores(code),
	}
	if cost, known := v.State.CostOf(code); known {
		source.CostPerL = &cost
	}
	return source
}

// shares is everything that a limit on shares can be about.
func (v *View) shares(code string) map[string]float64 {
	parts := v.State.ContentsOn(cellar.VesselAccount(code), v.On).Parts
	shares := v.State.GrainShares(parts)
	for name, share := range cellar.BatchShares(parts) {
		shares[name] += share
	}
	maps.Copy(shares, woodShares(parts))
	for name, share := range shares {
		shares[name] = min(1, share) // sums of parts may be above by rounding
	}
	return shares
}

// woodShares divides the pure alcohol over the woods that it lay in, by days.
// Names have "wood:" before them, since a fruit and a wood may be called the same.
func woodShares(parts []cellar.Part) map[string]float64 {
	whole := 0.0
	for _, p := range parts {
		whole += float64(p.EthanolMg)
	}
	shares := make(map[string]float64)
	for _, p := range parts {
		days := float64(p.WoodDays())
		for _, w := range p.Wood {
			if days > 0 {
				shares["wood:"+w.Wood] += float64(p.EthanolMg) / whole * float64(w.Days) / days
			}
		}
	}
	return shares
}

// ShareNames lists what a limit on shares can be about in what is in the store:
// grains, batches and woods, sorted.
func (v *View) ShareNames() []string {
	names := make(map[string]bool)
	for _, code := range v.State.VesselCodes() {
		if !v.State.IsEmpty(code) {
			for name := range v.shares(code) {
				names[name] = true
			}
		}
	}
	return slices.Sorted(maps.Keys(names))
}

// scores are what the average taster would give to this filling, under the store's own words.
func (v *View) scores(code string) map[string]float64 {
	scores := make(map[string]float64)
	for word, mean := range v.ScoreMeans()[code] {
		scores[word] = mean.Score
	}
	return scores
}
