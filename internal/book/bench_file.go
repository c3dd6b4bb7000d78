package book

import (
	"encoding/json"
	"slices"

	"example.org/croze/internal/blend"
)

// PlanFile writes a plan as a file that can be read again. Sources that are
// not filled are written with their wishes only, for a store to fill; filled
// ones that hold nothing are left out, since there is nothing to say of them.
func PlanFile(p blend.Plan) ([]byte, error) {
	unfilled := p.Unfilled()
	file := planWithSources{Plan: p}
	for i := range p.Sources {
		switch s := &p.Sources[i]; {
		case slices.Contains(unfilled, s.ID):
			file.Sources = append(file.Sources, wishesOf(s))
		case s.AvailableL > 0:
			file.Sources = append(file.Sources, s)
		}
	}
	return json.MarshalIndent(file, "", " ")
}

// planWithSources is a plan with its sources written in one of two ways.
type planWithSources struct {
	blend.Plan
	Sources []any `json:"sources"`
}

// sourceWishes are what a plan file says of a vessel that a store is to fill in.
type sourceWishes struct {
	ID             string             `json:"id"`
	AgeDays        *float64           `json:"age_days,omitempty"`
	CostPerL       *float64           `json:"cost_per_l,omitempty"`
	LossPctPerYear *float64           `json:"loss_pct_per_year,omitempty"`
	Residue        *float64           `json:"residue,omitempty"`
	Shares         map[string]float64 `json:"shares,omitempty"`
	Scores         map[string]float64 `json:"scores,omitempty"`
	KeepL          float64            `json:"keep_l,omitempty"`
	MinL           float64            `json:"min_l,omitempty"`
	Whole          bool               `json:"whole,omitempty"`
	MustUse        bool               `json:"must_use,omitempty"`
	MustNotUse     bool               `json:"must_not_use,omitempty"`
}

func wishesOf(s *blend.Source) sourceWishes {
	return sourceWishes{
		s.ID, s.AgeDays, s.CostPerL, s.LossPctPerYear, s.Residue, s.Shares, s.Scores,
		s.KeepL, s.MinL, s.Whole, s.MustUse, s.MustNotUse,
	}
}
