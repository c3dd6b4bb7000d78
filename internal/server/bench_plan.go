package server

import (
	"encoding/json"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// planFile is the part of the plan file that the form can say.
type planFile struct {
	Kind      string       `json:"kind"`
	Target    planTarget   `json:"target"`
	Sources   []planSource `json:"sources"`
	Water     bool         `json:"water"`
	Objective string       `json:"objective,omitempty"`
	Limits    planLimits   `json:"limits"`
}

type planTarget struct {
	VolumeL     float64 `json:"volume_l"`
	StrengthPct float64 `json:"strength_pct"`
}

type planSource struct {
	ID    string  `json:"id"`
	KeepL float64 `json:"keep_l,omitempty"`
}

type planLimits struct {
	MinAgeDays float64    `json:"min_age_days,omitempty"`
	MaxVessels int        `json:"max_vessels,omitempty"`
	Shares     []planBand `json:"shares,omitempty"`
}

type planBand struct {
	Of  string  `json:"of"`
	Min float64 `json:"min"`
}

func (f planFile) parse() (blend.Plan, error) {
	data, err := json.Marshal(f)
	if err != nil {
		return blend.Plan{}, err
	}
	return blend.Parse(data)
}

// planReader reads the numbers of the wish and keeps the first that is wrong.
type planReader struct{ err error }

func (r *planReader) number(field, text string) float64 {
	if text == "" {
		return 0
	}
	v, err := spirit.ParseNumber(field, text)
	if err != nil && r.err == nil {
		r.err = &cellar.Problem{Kind: cellar.Invalid, Field: field, Value: text, Reason: whyNot(err)}
	}
	return v
}
