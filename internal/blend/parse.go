package blend

import (
	"fmt"
	"strconv"
	"strings"
)

// Limits of a plan file.
const (
	MostSources = 100_000
	MostTargets = 20
	mostBands   = 100
	longestName = 200
)

// Ranges of the numbers of a plan.
var (
	aVolume   = scope{0.001, 1e7, false} // litres: less than a millilitre is nothing
	someLeft  = scope{0, 1e7, false}
	aStrength = scope{0, 100, false}
	anAge     = scope{0, 100_000, false} // days
	aCost     = scope{-1e9, 1e9, false}
	aLoss     = scope{-100, 100, false} // % a year; below 0 a vessel gains
	aShare    = scope{0, 1, false}
	aScore    = scope{-1e6, 1e6, false}
	aWeight   = scope{0, 1e6, false}
	aResidue  = scope{0, 50, false} // g/100 mL
	aChance   = scope{0.5, 0.9999, false}
	aCount    = scope{1, MostSources, false}
)

// Parse reads a plan file strictly. Every problem is in the error, an
// *InvalidPlan, with its JSON path and value: unknown or repeated fields,
// missing fields, wrong types, numbers out of range, ids given twice.
// A source may be only a code; see Unfilled.
func Parse(data []byte) (Plan, error) {
	t, err := readTree(data)
	if err != nil {
		return Plan{}, err
	}
	found := &problems{}
	p := readPlan(t, found)
	if err := found.err(); err != nil {
		return Plan{}, err
	}
	return p, p.Check()
}

func readPlan(t tree, found *problems) Plan {
	r, ok := object(t, "", found, "kind", "target", "targets", "sources", "water", "objective", "wanted", "weights", "limits", "chance", "portion_l")
	if !ok {
		return Plan{}
	}
	p := Plan{Kind: KindBlend, Water: r.flag("water", true)}
	if kind, ok := r.text("kind"); ok {
		p.Kind = kind
	} else if !r.has("kind") {
		found.add("kind", "is missing; give %q or %q", KindBlend, KindReduction)
	}
	p.Objective, _ = r.text("objective")
	p.Wanted = r.numbers("wanted", aScore)
	p.Weights = r.numbers("weights", aWeight)
	p.Limits = r.limits()
	p.Chance, _ = r.number("chance", aChance)
	p.PortionL, _ = r.number("portion_l", aVolume)
	p.readTargets(r)
	p.readSources(r)
	return p
}

func (p *Plan) readTargets(r reader) {
	if t := r.field("target"); t != nil {
		target := readTarget(*t, "target", r.found, p.Kind == KindReduction)
		p.Target = &target
	}
	for i, t := range r.list("targets", MostTargets) {
		p.Targets = append(p.Targets, readTarget(t.value, fmt.Sprintf("targets[%d]", i), r.found, false))
	}
	if !r.has("target") && !r.has("targets") {
		r.found.add("target", "is missing; give {\"volume_l\":…,\"strength_pct\":…}")
	}
}

func readTarget(t tree, path string, found *problems, volumeOptional bool) Target {
	r, ok := object(t, path, found, "name", "volume_l", "strength_pct", "limits", "wanted")
	if !ok {
		return Target{}
	}
	g := Target{Limits: r.limits(), Wanted: r.numbers("wanted", aScore)}
	g.Name, _ = r.text("name")
	g.StrengthPct = r.needed("strength_pct", scope{0, 100, true})
	if !volumeOptional || r.has("volume_l") {
		g.VolumeL = r.needed("volume_l", aVolume)
	}
	return g
}

func (p *Plan) readSources(r reader) {
	if !r.has("sources") {
		r.found.add("sources", "is missing; give a list of vessels")
		return
	}
	items := r.list("sources", MostSources)
	p.Sources = make([]Source, 0, len(items))
	for i, t := range items {
		p.Sources = append(p.Sources, readSource(t.value, "sources["+strconv.Itoa(i)+"]", r.found))
	}
	if len(items) == 0 && r.field("sources").kind == isArray {
		r.found.add("sources", "is empty; give at least one vessel")
	}
}

var sourceFields = []string{
	"id", "available_l", "strength_pct", "age_days", "cost_per_l", "shares", "scores", "keep_l", "min_l", "whole",
	"volume_sd_l", "strength_sd", "loss_pct_per_year", "residue", "must_use", "must_not_use",
}

func readSource(t tree, path string, found *problems) Source {
	if t.kind == isText {
		checkID(t.text, path, "", found)
		return Source{ID: t.text, given: known{unfilled: true}}
	}
	r, ok := object(t, path, found, sourceFields...)
	if !ok {
		return Source{}
	}
	s := Source{
		AgeDays: r.known("age_days", anAge), CostPerL: r.known("cost_per_l", aCost),
		LossPctPerYear: r.known("loss_pct_per_year", aLoss), Residue: r.known("residue", aResidue),
		Shares: r.numbers("shares", aShare), Scores: r.numbers("scores", aScore),
		Whole: r.flag("whole", false), MustUse: r.flag("must_use", false), MustNotUse: r.flag("must_not_use", false),
	}
	s.ID = r.id()
	s.KeepL, _ = r.number("keep_l", someLeft)
	s.MinL, _ = r.number("min_l", someLeft)
	s.VolumeSDL, _ = r.number("volume_sd_l", someLeft)
	s.StrengthSD, _ = r.number("strength_sd", aStrength)
	if !r.has("available_l") && !r.has("strength_pct") {
		s.given.unfilled = true
		return s
	}
	s.AvailableL = r.needed("available_l", aVolume)
	s.StrengthPct = r.needed("strength_pct", aStrength)
	return s
}

func (r reader) id() string {
	id, ok := r.text("id")
	if !r.has("id") {
		r.found.add(join(r.path, "id"), "is missing; give the vessel's code")
	}
	if ok {
		checkID(id, r.path, "id", r.found)
	}
	return id
}

func checkID(id, path, name string, found *problems) {
	switch {
	case strings.TrimSpace(id) == "":
		found.add(at(path, name), "%q is empty; give the vessel's code", id)
	case len(id) > longestName:
		found.add(at(path, name), "is %d bytes long; the most is %d", len(id), longestName)
	}
}

// at is the path of a field, or of the thing itself when name is empty.
func at(path, name string) string {
	if name == "" {
		return path
	}
	return join(path, name)
}

func (r reader) limits() *Limits {
	t := r.field("limits")
	if t == nil {
		return nil
	}
	lr, ok := object(*t, join(r.path, "limits"), r.found, "min_age_days", "max_vessels", "max_residue", "shares", "scores")
	if !ok {
		return nil
	}
	l := &Limits{Shares: lr.bands("shares", aShare), Scores: lr.bands("scores", aScore)}
	l.MinAgeDays, _ = lr.number("min_age_days", anAge)
	l.MaxResidue, _ = lr.number("max_residue", scope{0, 50, true})
	if n, ok := lr.number("max_vessels", aCount); ok {
		l.MaxVessels = int(n)
		if float64(l.MaxVessels) != n {
			r.found.add(join(lr.path, "max_vessels"), "%v is not a whole number", n)
		}
	}
	return l
}

func (r reader) bands(name string, in scope) []Band {
	var out []Band
	for i, t := range r.list(name, mostBands) {
		path := fmt.Sprintf("%s[%d]", join(r.path, name), i)
		br, ok := object(t.value, path, r.found, "of", "min", "max")
		if !ok {
			continue
		}
		b := Band{Min: br.known("min", in), Max: br.known("max", in)}
		b.Of, _ = br.text("of")
		if b.Of == "" {
			r.found.add(join(path, "of"), "is missing; say what is limited")
		}
		if !br.has("min") && !br.has("max") {
			r.found.add(path, "has neither min nor max")
		}
		out = append(out, b)
	}
	return out
}
