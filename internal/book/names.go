package book

import (
	"cmp"
	"slices"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/identity"
	"example.org/croze/internal/spirit"
)

// NameAnswers are what the book does not know and a person may say: blank or
// nil is not known.
type NameAnswers struct {
	MadeIn       string
	DistilledPct *float64
	EntryPct     *float64 // where the books do not tell
	BottlingPct  *float64
	NoAdditives  identity.Tri
	Charred      identity.Tri // of all the wood it lay in
	Said         map[string]identity.Tri
}

// NameFacts are what the book knows of what an account holds, and what a person
// answered besides, as the rules take it.
func (v *View) NameFacts(a cellar.Account, answers NameAnswers) identity.Facts {
	contents := v.State.ContentsOn(a, v.On)
	lain := v.ancestors(a)
	facts := identity.Facts{Grains: knownGrains(v.State.GrainShares(contents.Parts))}
	for _, p := range contents.Parts {
		facts.Parts = append(facts.Parts, v.namedPart(p, lain, answers.Charred))
	}
	facts.EntryPct = v.entryPct(lain)
	if name, ok := a.Lot(); ok && v.State.Lots[name] != nil && v.State.Lots[name].LabelPct > 0 {
		pct := float64(v.State.Lots[name].LabelPct)
		facts.BottlingPct = &pct
	}
	return answers.over(facts)
}

// PlanNameFacts are those of what a plan would make.
func (v *View) PlanNameFacts(plan cellar.Planned, answers NameAnswers) identity.Facts {
	var facts identity.Facts
	grains, whole := make(map[string]float64), 0.0
	var lain []string
	for _, d := range plan.Draws {
		if v.State.IsEmpty(d.Vessel) {
			continue
		}
		a := cellar.VesselAccount(d.Vessel)
		one := v.NameFacts(a, answers)
		facts.Parts = append(facts.Parts, one.Parts...)
		alcohol := d.VolumeL * d.StrengthPct / 100
		for name, share := range v.State.GrainShares(v.State.ContentsOn(a, v.On).Parts) {
			grains[name] += alcohol * share
		}
		whole += alcohol
		lain = append(lain, v.ancestors(a)...)
	}
	for name := range grains {
		grains[name] /= whole
	}
	pct := plan.StrengthPct
	facts.Grains, facts.EntryPct, facts.BottlingPct = knownGrains(grains), v.entryPct(lain), &pct
	return answers.over(facts)
}

// over lays answers over what the book knows.
func (n NameAnswers) over(facts identity.Facts) identity.Facts {
	facts.MadeIn, facts.DistilledPct, facts.Said = n.MadeIn, n.DistilledPct, n.Said
	if n.EntryPct != nil {
		facts.EntryPct = n.EntryPct
	}
	if n.BottlingPct != nil {
		facts.BottlingPct = n.BottlingPct
	}
	if n.NoAdditives == identity.Yes {
		facts.Additives = &[]string{}
	}
	return facts
}

// knownGrains is nil where part of the mash is not known: a rule must not take
// what is not known for something else.
func knownGrains(shares map[string]float64) map[string]float64 {
	const crumb = 0.001
	if len(shares) == 0 || shares["unknown"] > crumb {
		return nil
	}
	return shares
}

// ancestors are the vessels that any of an account's spirit lay in, itself included.
func (v *View) ancestors(a cellar.Account) []string {
	seen := make(map[string]bool)
	note := func(a cellar.Account) {
		if code, ok := a.Vessel(); ok {
			seen[code] = true
		}
	}
	note(a)
	for _, line := range v.FlowInto(a).Lines {
		note(line.From)
		note(line.To)
	}
	return sortedNames(seen)
}

// namedPart turns the days that a part was in each wood into stays: the vessels
// of that wood which the spirit passed say of what kind and how large they were.
// Where they differ the largest counts, and what differs otherwise is not known.
func (v *View) namedPart(p cellar.Part, lain []string, charred identity.Tri) identity.Part {
	part := identity.Part{Name: p.Batch}
	for _, w := range p.Wood {
		stay := identity.Stay{Days: w.Days, Charred: charred}
		first := true
		for _, code := range lain {
			vessel := v.State.Vessels[code]
			if vessel.WoodLabel() != w.Wood {
				continue
			}
			kind, held := identity.Vessel(vessel.Kind), heldNothing(vessel)
			if first {
				stay.Vessel, stay.Wood, stay.New = kind, vessel.Wood, held
			}
			if stay.Vessel != kind {
				stay.Vessel = ""
			}
			if stay.New != held {
				stay.New = identity.Unknown
			}
			stay.SizeL = max(stay.SizeL, spirit.Litres(vessel.CapacityL))
			first = false
		}
		part.Stays = append(part.Stays, stay)
	}
	slices.SortFunc(part.Stays, func(a, b identity.Stay) int { return cmp.Compare(b.Days, a.Days) })
	return part
}

// heldNothing says whether a vessel's wood was new to what lies in it.
func heldNothing(v *cellar.VesselState) identity.Tri {
	fillings := 0
	for _, e := range v.Events {
		if e.Filled {
			fillings++
		}
	}
	switch {
	case v.WoodState == cellar.UsedWood:
		return identity.No
	case v.WoodState == cellar.NewWood && fillings <= 1:
		return identity.Yes
	}
	return identity.Unknown // filled more than once: which filling is asked about is not said
}

// entryPct is the highest strength at which spirit went from a batch into wood.
// One fill without a strength, and it is not known.
func (v *View) entryPct(lain []string) *float64 {
	highest := 0.0
	for _, code := range lain {
		vessel := v.State.Vessels[code]
		if !vessel.Kind.Wooden() {
			continue
		}
		for _, e := range vessel.Events {
			pour, ok := pourOf(e.Entry.Fact, code)
			if !ok {
				continue
			}
			if _, batch := pour.From.Batch(); !batch {
				continue
			}
			pct := float64(pour.Measure.Amount.Strength())
			if pct <= 0 {
				return nil
			}
			highest = max(highest, pct)
		}
	}
	if highest == 0 {
		return nil
	}
	return &highest
}

func pourOf(f cellar.Fact, into string) (cellar.Pour, bool) {
	var pour cellar.Pour
	switch f := f.(type) {
	case *cellar.Fill:
		pour = f.Pour
	case *cellar.TopUp:
		pour = f.Pour
	case *cellar.Transfer:
		pour = f.Pour
	}
	return pour, pour.Vessel == into && into != ""
}

// Questions are those that the rules ask and nothing in the book answers, each once.
func Questions() []string {
	var questions []string
	for _, j := range identity.Jurisdictions() {
		for _, category := range j.Categories {
			for _, c := range category.Conditions {
				if c.Test == "answered_with_yes" && !slices.Contains(questions, c.Words[0]) {
					questions = append(questions, c.Words[0])
				}
			}
		}
	}
	return questions
}
