package server

import (
	"net/url"
	"slices"
	"strconv"
	"strings"
)

// planFields is a wish as written in the form, and in the address of its
// answer, so that a plan can be kept as a bookmark.
type planFields struct {
	VolumeL, StrengthPct, Objective            string
	Name, Name2, Volume2L, Strength2Pct        string
	MinAge, MinAgeUnit, MaxVessels, MaxResidue string
	KeepL, MinL, Chance                        string
	Water                                      bool
	Use                                        []string // none ticked: all
	Shares                                     []bandFields
	Scores                                     []scoreFields
	Vessels                                    map[string]vesselFields // what is said of single ones
}

type bandFields struct{ Of, Min, Max string }

type scoreFields struct{ Of, Min, Max, Wanted, Weight string }

type vesselFields struct {
	Mode             string // "must", "not", or "" as ticked
	KeepL, MinL, Per string // Per: cost of a litre
	Whole            bool
}

// Rows of the form that repeat.
const (
	mostBandRows = 12
	spareBands   = 2
)

// Uses says whether a vessel is ticked.
func (f *planFields) Uses(code string) bool { return slices.Contains(f.Use, code) }

// Of is what is said of a single vessel.
func (f *planFields) Of(code string) vesselFields { return f.Vessels[code] }

// ShareRows is what is said of shares, and some empty rows.
func (f *planFields) ShareRows() []bandFields {
	return append(slices.Clone(f.Shares), make([]bandFields, spareBands)...)
}

// ScoreRows is what is said of scores, and some empty rows.
func (f *planFields) ScoreRows() []scoreFields {
	return append(slices.Clone(f.Scores), make([]scoreFields, spareBands)...)
}

// More says whether anything is wished for beyond the simple form.
func (f *planFields) More() bool {
	for _, text := range []string{
		f.Name, f.Name2, f.Volume2L, f.Strength2Pct, f.MinAge, f.MaxVessels, f.MaxResidue, f.KeepL, f.MinL, f.Chance,
	} {
		if text != "" {
			return true
		}
	}
	return len(f.Shares) > 0 || len(f.Scores) > 0 || len(f.Vessels) > 0
}

// singles are the fields with one value each.
func (f *planFields) singles() map[string]*string {
	return map[string]*string{
		"volume_l": &f.VolumeL, "strength_pct": &f.StrengthPct, "objective": &f.Objective,
		"name": &f.Name, "name_2": &f.Name2, "volume_2_l": &f.Volume2L, "strength_2_pct": &f.Strength2Pct,
		"min_age": &f.MinAge, "min_age_unit": &f.MinAgeUnit, "max_vessels": &f.MaxVessels, "max_residue": &f.MaxResidue,
		"keep_l": &f.KeepL, "min_l": &f.MinL, "chance_pct": &f.Chance,
	}
}

// readPlanFields reads the form or the address.
func readPlanFields(v url.Values) planFields {
	f := planFields{Water: v.Get("water") != "", Use: v["use"], Vessels: make(map[string]vesselFields)}
	for name, at := range f.singles() {
		*at = strings.TrimSpace(v.Get(name))
	}
	get := func(name string, i int) string { return strings.TrimSpace(v.Get(row(name, i))) }
	for i := range mostBandRows {
		if b := (bandFields{get("share_of", i), get("share_min", i), get("share_max", i)}); b.Of != "" {
			f.Shares = append(f.Shares, b)
		}
		if s := (scoreFields{get("score_of", i), get("score_min", i), get("score_max", i), get("score_wanted", i), get("score_weight", i)}); s.Of != "" {
			f.Scores = append(f.Scores, s)
		}
	}
	for name := range v {
		if _, code, ok := strings.Cut(name, ":"); ok {
			f.readVessel(v, code)
		}
	}
	return f
}

func (f *planFields) readVessel(v url.Values, code string) {
	get := func(name string) string { return strings.TrimSpace(v.Get(name + ":" + code)) }
	said := vesselFields{get("mode"), get("keep"), get("min"), get("cost"), get("whole") != ""}
	if said != (vesselFields{}) {
		f.Vessels[code] = said
	}
}

// values writes the fields as an address has them, without those left blank.
func (f *planFields) values() url.Values {
	v := url.Values{}
	set := func(name, text string) {
		if text != "" {
			v.Set(name, text)
		}
	}
	for name, at := range f.singles() {
		set(name, *at)
	}
	if f.MinAge == "" {
		v.Del("min_age_unit")
	}
	if f.Water {
		set("water", "1")
	}
	for _, code := range f.Use {
		v.Add("use", code)
	}
	for i, b := range f.Shares {
		set(row("share_of", i), b.Of)
		set(row("share_min", i), b.Min)
		set(row("share_max", i), b.Max)
	}
	for i, s := range f.Scores {
		set(row("score_of", i), s.Of)
		set(row("score_min", i), s.Min)
		set(row("score_max", i), s.Max)
		set(row("score_wanted", i), s.Wanted)
		set(row("score_weight", i), s.Weight)
	}
	for code, said := range f.Vessels {
		set("mode:"+code, said.Mode)
		set("keep:"+code, said.KeepL)
		set("min:"+code, said.MinL)
		set("cost:"+code, said.Per)
		if said.Whole {
			set("whole:"+code, "1")
		}
	}
	return v
}

// Address is where the answer to the wish is found.
func (f *planFields) Address() string { return "/bench/plan?" + f.values().Encode() }

// FileAddress is where the wish is found as a plan file.
func (f *planFields) FileAddress() string { return "/bench/plan.json?" + f.values().Encode() }

// SurerAddress is where the same wish is answered with 95 % to make it.
func (f *planFields) SurerAddress() string {
	surer := *f
	surer.Chance = "95"
	return surer.Address()
}

// row numbers a field that repeats.
func row(field string, i int) string { return field + "_" + strconv.Itoa(i) }
