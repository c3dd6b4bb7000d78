package book

import (
	"cmp"
	"slices"

	"example.org/croze/internal/cellar"
)

// PartLine is what one part is of a vessel or a lot.
type PartLine struct {
	Batch     string
	Fraction  float64 // of the pure alcohol
	FirstWood cellar.Day
	Wood      []cellar.WoodTime
	Days      int
}

// Parts lists what an account's alcohol is made of, largest part first, and its grains.
func (v *View) Parts(a cellar.Account) ([]PartLine, []cellar.Share) {
	parts := v.State.ContentsOn(a, v.On).Parts
	whole := 0.0
	for _, p := range parts {
		whole += float64(p.EthanolMg)
	}
	lines := make([]PartLine, 0, len(parts))
	for _, p := range parts {
		lines = append(lines, PartLine{p.Batch, float64(p.EthanolMg) / whole, p.FirstWood, p.Wood, p.WoodDays()})
	}
	slices.SortStableFunc(lines, func(a, b PartLine) int { return cmp.Compare(b.Fraction, a.Fraction) })
	return lines, largestShares(v.State.GrainShares(parts))
}

func largestShares(shares map[string]float64) []cellar.Share {
	out := make([]cellar.Share, 0, len(shares))
	for name, fraction := range shares {
		out = append(out, cellar.Share{Name: name, Fraction: fraction})
	}
	slices.SortFunc(out, func(a, b cellar.Share) int {
		return cmp.Or(cmp.Compare(b.Fraction, a.Fraction), cmp.Compare(a.Name, b.Name))
	})
	return out
}
