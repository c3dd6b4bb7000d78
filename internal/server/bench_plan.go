package server

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// planFile is the plan file that the form says. The planner reads it as it
// reads any.
type planFile struct {
	blend.Plan
	Sources []planSource `json:"sources"`
}

type planSource struct {
	ID         string   `json:"id"`
	CostPerL   *float64 `json:"cost_per_l,omitempty"`
	KeepL      float64  `json:"keep_l,omitempty"`
	MinL       float64  `json:"min_l,omitempty"`
	Whole      bool     `json:"whole,omitempty"`
	MustUse    bool     `json:"must_use,omitempty"`
	MustNotUse bool     `json:"must_not_use,omitempty"`
}

// The units that an age can be written in.
const (
	inYears     = "years"
	inDays      = "days"
	daysPerYear = 365.25
)

// plan reads the wish. Where no vessel is ticked, all may be drawn on.
func (f *planFields) plan(all []string) (blend.Plan, error) {
	r := &planReader{}
	file := planFile{Plan: blend.Plan{
		Kind: blend.KindBlend, Water: f.Water, Objective: f.Objective,
		Chance: r.number("chance_pct", f.Chance) / 100,
	}}
	file.Limits = f.limits(r)
	f.targets(r, &file.Plan)
	file.Wanted, file.Weights = f.wanted(r)
	file.Sources = f.sources(r, all)
	if r.err != nil {
		return blend.Plan{}, r.err
	}
	data, err := json.Marshal(file)
	if err != nil {
		return blend.Plan{}, err
	}
	return blend.Parse(data)
}

func (f *planFields) targets(r *planReader, p *blend.Plan) {
	first := blend.Target{Name: f.Name, VolumeL: r.number("volume_l", f.VolumeL), StrengthPct: r.number("strength_pct", f.StrengthPct)}
	if f.Volume2L == "" && f.Strength2Pct == "" {
		p.Target = &first
		return
	}
	second := blend.Target{Name: f.Name2, VolumeL: r.number("volume_2_l", f.Volume2L), StrengthPct: r.number("strength_2_pct", f.Strength2Pct)}
	if f.Strength2Pct == "" {
		second.StrengthPct = first.StrengthPct
	}
	p.Targets = []blend.Target{first, second}
}

// limits gives nil where nothing is limited.
func (f *planFields) limits(r *planReader) *blend.Limits {
	l := blend.Limits{
		MinAgeDays: r.number("min_age", f.MinAge), MaxResidue: r.number("max_residue", f.MaxResidue),
		MaxVessels: r.count("max_vessels", f.MaxVessels),
	}
	if f.MinAgeUnit != inDays {
		l.MinAgeDays = math.Round(l.MinAgeDays * daysPerYear)
	}
	for _, b := range f.Shares {
		l.Shares = append(l.Shares, blend.Band{Of: b.Of, Min: r.scaled("share_min", b.Min, 0.01), Max: r.scaled("share_max", b.Max, 0.01)})
	}
	for _, s := range f.Scores {
		if s.Min != "" || s.Max != "" {
			l.Scores = append(l.Scores, blend.Band{Of: s.Of, Min: r.scaled("score_min", s.Min, 1), Max: r.scaled("score_max", s.Max, 1)})
		}
	}
	if l.MinAgeDays == 0 && l.MaxResidue == 0 && l.MaxVessels == 0 && l.Shares == nil && l.Scores == nil {
		return nil
	}
	return &l
}

func (f *planFields) wanted(r *planReader) (wanted, weights map[string]float64) {
	for _, s := range f.Scores {
		if s.Wanted != "" {
			wanted = with(wanted, s.Of, r.number("score_wanted", s.Wanted))
		}
		if s.Weight != "" {
			weights = with(weights, s.Of, r.number("score_weight", s.Weight))
		}
	}
	return wanted, weights
}

func with(m map[string]float64, name string, x float64) map[string]float64 {
	if m == nil {
		m = make(map[string]float64)
	}
	m[name] = x
	return m
}

// sources are the vessels ticked, or all, and those of which something is said.
func (f *planFields) sources(r *planReader, all []string) []planSource {
	codes := slices.Clone(f.Use)
	if len(codes) == 0 {
		codes = slices.Clone(all)
	}
	for _, code := range slices.Sorted(maps.Keys(f.Vessels)) {
		if f.Vessels[code].Mode != "" && !slices.Contains(codes, code) {
			codes = append(codes, code)
		}
	}
	keep, least := r.number("keep_l", f.KeepL), r.number("min_l", f.MinL)
	sources := []planSource{}
	for _, code := range codes {
		said := f.Vessels[code]
		s := planSource{ID: code, KeepL: keep, MinL: least, Whole: said.Whole, MustUse: said.Mode == "must", MustNotUse: said.Mode == "not"}
		if said.KeepL != "" {
			s.KeepL = r.number("keep_l of "+code, said.KeepL)
		}
		if said.MinL != "" {
			s.MinL = r.number("min_l of "+code, said.MinL)
		}
		s.CostPerL = r.scaled("cost_per_l of "+code, said.Per, 1)
		sources = append(sources, s)
	}
	return sources
}

// fieldsOf writes a plan into the form. What the form has no place for is left
// out; see says.
func fieldsOf(p blend.Plan, typedCosts bool) planFields {
	f := planFields{Objective: p.Objective, Water: p.Water, MinAgeUnit: inDays, Vessels: make(map[string]vesselFields)}
	f.Chance = written(100 * p.Chance)
	for i, g := range p.Targets {
		if i == 0 {
			f.Name, f.VolumeL, f.StrengthPct = g.Name, written(g.VolumeL), written(g.StrengthPct)
		} else if i == 1 {
			f.Name2, f.Volume2L, f.Strength2Pct = g.Name, written(g.VolumeL), written(g.StrengthPct)
		}
	}
	if g := p.Target; g != nil {
		f.Name, f.VolumeL, f.StrengthPct = g.Name, written(g.VolumeL), written(g.StrengthPct)
	}
	f.writeLimits(p)
	f.writeSources(p, typedCosts)
	return f
}

// writeSources writes what is said of vessels; what is said of all alike is
// written once.
func (f *planFields) writeSources(p blend.Plan, typedCosts bool) {
	keep := alike(p.Sources, func(s *blend.Source) float64 { return s.KeepL })
	least := alike(p.Sources, func(s *blend.Source) float64 { return s.MinL })
	f.KeepL, f.MinL = written(keep), written(least)
	for i := range p.Sources {
		s := &p.Sources[i]
		f.Use = append(f.Use, s.ID)
		said := vesselFields{Whole: s.Whole}
		if s.KeepL != keep {
			said.KeepL = writtenExactly(s.KeepL)
		}
		if s.MinL != least {
			said.MinL = writtenExactly(s.MinL)
		}
		if typedCosts && s.CostPerL != nil {
			said.Per = writtenExactly(*s.CostPerL)
		}
		if s.MustUse {
			said.Mode = "must"
		} else if s.MustNotUse {
			said.Mode = "not"
		}
		if said != (vesselFields{}) {
			f.Vessels[s.ID] = said
		}
	}
}

// alike is what a figure is in all sources; 0 where they differ.
func alike(sources []blend.Source, figure func(*blend.Source) float64) float64 {
	for i := range sources {
		if figure(&sources[i]) != figure(&sources[0]) {
			return 0
		}
	}
	if len(sources) == 0 {
		return 0
	}
	return figure(&sources[0])
}

// repaired writes a plan that was changed a little into the form, with what
// the form said of vessels and a plan does not keep.
func (f *planFields) repaired(p blend.Plan) planFields {
	g := fieldsOf(p, false)
	if len(f.Use) == 0 {
		g.Use = nil
	}
	for code, said := range f.Vessels {
		if said.Per != "" {
			kept := g.Vessels[code]
			kept.Per = said.Per
			g.Vessels[code] = kept
		}
	}
	return g
}

func (f *planFields) writeLimits(p blend.Plan) {
	scores := make(map[string]scoreFields)
	if l := p.Limits; l != nil {
		f.MinAge, f.MaxResidue = written(l.MinAgeDays), written(l.MaxResidue)
		if years := math.Round(l.MinAgeDays / daysPerYear); years > 0 && math.Round(years*daysPerYear) == l.MinAgeDays {
			f.MinAge, f.MinAgeUnit = written(years), inYears
		}
		f.MaxVessels = written(float64(l.MaxVessels))
		for _, b := range l.Shares {
			f.Shares = append(f.Shares, bandFields{b.Of, writtenIf(b.Min, 100), writtenIf(b.Max, 100)})
		}
		for _, b := range l.Scores {
			scores[b.Of] = scoreFields{Of: b.Of, Min: writtenIf(b.Min, 1), Max: writtenIf(b.Max, 1)}
		}
	}
	for name, x := range p.Wanted {
		s := scores[name]
		s.Of, s.Wanted = name, writtenExactly(x)
		if weight, given := p.Weights[name]; given {
			s.Weight = writtenExactly(weight)
		}
		scores[name] = s
	}
	for _, name := range slices.Sorted(maps.Keys(scores)) {
		f.Scores = append(f.Scores, scores[name])
	}
}

// says tells whether the form says the whole of a plan whose vessels are in
// the store.
func (f *planFields) says(p blend.Plan) bool {
	again, err := f.plan(nil)
	if err != nil || len(p.Unfilled()) != len(p.Sources) {
		return false
	}
	a, errA := json.Marshal(p)
	b, errB := json.Marshal(again)
	return errA == nil && errB == nil && string(a) == string(b)
}

// written writes a number as a person would; nothing for 0.
func written(x float64) string {
	if x == 0 {
		return ""
	}
	return writtenExactly(x)
}

func writtenIf(x *float64, times float64) string {
	if x == nil {
		return ""
	}
	return writtenExactly(*x * times)
}

// writtenExactly gives twelve digits: more than any measure has, and fewer than
// would show that 0.07 has no exact binary form.
func writtenExactly(x float64) string {
	y, err := strconv.ParseFloat(fmt.Sprintf("%.12g", x), 64)
	if err != nil {
		return fmt.Sprint(x)
	}
	return strconv.FormatFloat(y, 'f', -1, 64)
}

// planReader reads the numbers of the wish and keeps the first that is wrong.
type planReader struct{ err error }

// number reads a number; blank is 0, as in a plan file that says nothing.
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

// scaled reads a number that is nil where it is blank, times a factor.
func (r *planReader) scaled(field, text string, by float64) *float64 {
	if text == "" {
		return nil
	}
	v := r.number(field, text) * by
	return &v
}

func (r *planReader) count(field, text string) int {
	v := r.number(field, text)
	if v != math.Trunc(v) || math.Abs(v) > blend.MostSources {
		if r.err == nil {
			r.err = &cellar.Problem{Kind: cellar.Invalid, Field: field, Value: text, Reason: "not a whole number of vessels"}
		}
		return 0
	}
	return int(v)
}
