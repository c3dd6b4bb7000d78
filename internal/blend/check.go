package blend

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
)

// Check tells whether the plan is one that can be worked on; Parse and Solve
// call it. The error is an *InvalidPlan.
func (p *Plan) Check() error {
	found := &problems{}
	p.checkKind(found)
	p.checkObjective(found)
	p.checkSources(found)
	if p.Target != nil {
		p.checkTarget(p.Target, "target", found)
	}
	seen := map[string]int{}
	for i := range p.Targets {
		path := fmt.Sprintf("targets[%d]", i)
		p.checkTarget(&p.Targets[i], path, found)
		name := p.Targets[i].Name
		if first, twice := seen[name]; twice && name != "" {
			found.add(path+".name", "%q is also the name of targets[%d]", name, first)
		}
		seen[name] = i
	}
	if p.Limits != nil {
		p.Limits.check("limits", found)
	}
	return found.err()
}

func (p *Plan) checkKind(found *problems) {
	switch p.Kind {
	case KindBlend:
		if p.PortionL != 0 {
			checkNumber(found, "", "portion_l", p.PortionL, aVolume)
		}
	case KindReduction:
		p.checkReduction(found)
	default:
		found.add("kind", "%q is neither %q nor %q", p.Kind, KindBlend, KindReduction)
	}
	if p.Chance != 0 {
		checkNumber(found, "", "chance", p.Chance, aChance)
	}
	if p.Target == nil && len(p.Targets) == 0 {
		found.add("target", "is missing; give {\"volume_l\":…,\"strength_pct\":…}")
	}
	if p.Target != nil && len(p.Targets) > 0 {
		found.add("targets", "is given beside target; put every bottling into targets")
	}
}

func (p *Plan) checkReduction(found *problems) {
	if len(p.Sources) != 1 {
		found.add("sources", "has %d vessels; a reduction has one (use kind %q for more)", len(p.Sources), KindBlend)
	}
	if len(p.Targets) > 0 {
		found.add("targets", "is for blends; a reduction has one target")
	}
	if !p.Water {
		found.add("water", "false is no use in a reduction; leave it out")
	}
	if p.PortionL != 0 {
		checkNumber(found, "", "portion_l", p.PortionL, aVolume)
	}
}

func (p *Plan) checkObjective(found *problems) {
	if p.Objective == "" {
		return
	}
	if !slices.Contains(Objectives(), p.Objective) {
		found.add("objective", "%q is not one of %v", p.Objective, Objectives())
		return
	}
	if p.Objective == ClosestScores {
		for i, g := range p.goals() {
			if len(g.Wanted) == 0 {
				found.add("wanted", "is missing for target %d; %q needs the scores to come close to", i+1, ClosestScores)
			}
		}
	}
	for _, name := range names(p.Weights) {
		checkNumber(found, "weights", name, p.Weights[name], aWeight)
	}
}

// needs says which fact of a source the objective cannot do without.
func (p *Plan) needs(s *Source) (field string, missing bool) {
	switch p.objective() {
	case LeastCost:
		return "cost_per_l", s.CostPerL == nil
	case OldestFirst, YoungestFirst:
		return "age_days", s.AgeDays == nil
	case FastestLosingFirst:
		return "loss_pct_per_year", s.LossPctPerYear == nil
	}
	return "", false
}

// objective is the one asked for, or what serves when none was.
func (p *Plan) objective() string {
	if p.Objective == "" {
		return FewestVessels
	}
	return p.Objective
}

func (p *Plan) checkSources(found *problems) {
	if len(p.Sources) == 0 {
		found.add("sources", "is empty; give at least one vessel")
	}
	first := make(map[string]int, len(p.Sources))
	for i := range p.Sources {
		s := &p.Sources[i]
		path := "sources[" + strconv.Itoa(i) + "]"
		if at, twice := first[s.ID]; twice {
			found.add(path+".id", "%q is also the id of sources[%d]", s.ID, at)
		}
		first[s.ID] = i
		if s.given.unfilled {
			continue
		}
		if err := s.check(path, true); err != nil {
			var bad *InvalidPlan
			if errors.As(err, &bad) {
				found.list = append(found.list, bad.Problems...)
			}
		}
		if name, missing := p.needs(s); missing && !s.MustNotUse {
			found.add(join(path, name), "is missing for %q, and objective %q needs it", s.ID, p.objective())
		}
	}
}

// check looks at one source on its own; empty says that nothing available is allowed.
func (s *Source) check(path string, empty bool) error {
	found := &problems{}
	if s.ID == "" {
		found.add(join(path, "id"), "is missing; give the vessel's code")
	}
	available := aVolume
	if empty {
		available = someLeft
	}
	checkNumber(found, path, "available_l", s.AvailableL, available)
	checkNumber(found, path, "strength_pct", s.StrengthPct, aStrength)
	checkNumber(found, path, "keep_l", s.KeepL, someLeft)
	checkNumber(found, path, "min_l", s.MinL, someLeft)
	checkNumber(found, path, "volume_sd_l", s.VolumeSDL, someLeft)
	checkNumber(found, path, "strength_sd", s.StrengthSD, aStrength)
	checkKnown(found, path, "age_days", s.AgeDays, anAge)
	checkKnown(found, path, "cost_per_l", s.CostPerL, aCost)
	checkKnown(found, path, "loss_pct_per_year", s.LossPctPerYear, aLoss)
	checkKnown(found, path, "residue", s.Residue, aResidue)
	checkNumbers(found, path, "shares", s.Shares, aShare)
	checkNumbers(found, path, "scores", s.Scores, aScore)
	if s.MustUse && s.MustNotUse {
		found.add(join(path, "must_use"), "is true and so is must_not_use; choose one")
	}
	return found.err()
}

func (p *Plan) checkTarget(g *Target, path string, found *problems) {
	if p.Kind != KindReduction || g.VolumeL != 0 {
		checkNumber(found, path, "volume_l", g.VolumeL, aVolume)
	}
	checkNumber(found, path, "strength_pct", g.StrengthPct, scope{0, 100, true})
	checkNumbers(found, path, "wanted", g.Wanted, aScore)
	if g.Limits != nil {
		g.Limits.check(join(path, "limits"), found)
	}
}

func (l *Limits) check(path string, found *problems) {
	checkNumber(found, path, "min_age_days", l.MinAgeDays, anAge)
	checkNumber(found, path, "max_residue", l.MaxResidue, aResidue)
	if l.MaxVessels < 0 {
		found.add(join(path, "max_vessels"), "%d is below 1; leave it out for any number", l.MaxVessels)
	}
	checkBands(found, join(path, "shares"), l.Shares, aShare)
	checkBands(found, join(path, "scores"), l.Scores, aScore)
}

func checkBands(found *problems, path string, bands []Band, in scope) {
	for i, b := range bands {
		at := fmt.Sprintf("%s[%d]", path, i)
		checkKnown(found, at, "min", b.Min, in)
		checkKnown(found, at, "max", b.Max, in)
		if b.Min != nil && b.Max != nil && *b.Min > *b.Max {
			found.add(at+".min", "%v is above its max of %v", *b.Min, *b.Max)
		}
	}
}

func checkNumbers(found *problems, path, name string, m map[string]float64, in scope) {
	good := true
	for _, v := range m {
		good = good && in.holds(v)
	}
	if good {
		return
	}
	for _, key := range names(m) {
		checkNumber(found, join(path, name), key, m[key], in)
	}
}

func checkKnown(found *problems, path, name string, v *float64, in scope) {
	if v != nil {
		checkNumber(found, path, name, *v, in)
	}
}

// checkNumber notes a number that is not finite or out of range; the path is
// put together only then.
func checkNumber(found *problems, path, name string, v float64, in scope) {
	switch {
	case in.holds(v): // never true of what is not a number
	case math.IsNaN(v) || math.IsInf(v, 0):
		found.add(join(path, name), "%v is not finite", v)
	default:
		found.add(join(path, name), "%s %s", plainNumber(v), in.fault())
	}
}
