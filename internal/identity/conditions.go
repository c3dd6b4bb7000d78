package identity

import (
	"fmt"
	"slices"
	"strings"
)

// test holds one condition against the facts and says why.
type test func(Condition, Facts) (State, string)

// Tests that need more than a number.
const (
	testYears  = "years_in_wood"
	testStored = "stored_in"
	testSaid   = "answered_with_yes"
)

// tests are the words that rules.json may use.
var tests = map[string]test{
	"grain_only":        grainOnly,
	"material_only":     materialOnly,
	"share_at_least":    shareAtLeast,
	"distilled_below":   strengthTest("distilled", distilled, below),
	"distilled_at_most": strengthTest("distilled", distilled, atMost),
	"entered_at_most":   strengthTest("filled into wood", entered, atMost),
	"bottled_at_least":  strengthTest("bottled", bottled, atLeast),
	"bottled_exactly":   strengthTest("bottled", bottled, exactly),
	"only_in_casks":     eachStay(ofWood, Broken),
	"wood_is":           eachStay(woodIs, Broken),
	"cask_at_most":      eachStay(caskAtMost, Broken),
	"not_new_charred":   eachStay(notNewCharred, Met),
	testStored:          storedIn,
	testYears:           yearsInWood,
	"only_these_added":  onlyTheseAdded,
	"made_in":           madeIn,
	testSaid:            answeredWithYes,
}

// cereals are the grains by the names in use.
var cereals = []string{
	"barley", "malted barley", "barley malt", "malt", "rye", "malted rye", "rye malt", "oat", "oats", "malted oats", "oat malt",
	"wheat", "malted wheat", "wheat malt",
	"corn", "maize", "spelt", "triticale", "millet", "sorghum", "rice", "emmer", "einkorn",
}

// fruits and other materials that are surely no grain.
var notGrain = []string{
	"apple", "apples", "cider", "perry", "pear", "pears", "plum", "plums", "cherry", "quince", "grape", "grapes", "wine",
	"sugar", "molasses", "honey", "potato", "whey", "buckwheat", "quinoa", "beet",
}

func grainOnly(_ Condition, facts Facts) (State, string) {
	if len(facts.Grains) == 0 {
		return Open, "what was mashed is not known"
	}
	return allAre(facts.Grains, cereals, notGrain, "grain")
}

func materialOnly(c Condition, facts Facts) (State, string) {
	if len(facts.Grains) == 0 {
		return Open, "what was fermented is not known"
	}
	others := slices.Concat(cereals, notGrain)
	others = slices.DeleteFunc(others, func(name string) bool { return hasFold(c.Words, name) })
	return allAre(facts.Grains, c.Words, others, strings.Join(c.Words, " or "))
}

// allAre looks for materials that are surely not, or not surely, of a kind.
func allAre(shares map[string]float64, good, bad []string, kind string) (State, string) {
	state, why := Met, "all of it is "+kind
	for _, name := range sortedNames(shares) {
		switch {
		case shares[name] <= shareRounding || hasFold(good, name):
		case hasFold(bad, name):
			return Broken, name + " is not " + kind
		default:
			state, why = Open, "whether "+name+" counts as "+kind+" is not known"
		}
	}
	return state, why
}

func sortedNames(shares map[string]float64) []string {
	names := make([]string, 0, len(shares))
	for name := range shares {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

func shareAtLeast(c Condition, facts Facts) (State, string) {
	if len(facts.Grains) == 0 {
		return Open, "the shares of the mash are not known"
	}
	share := facts.share(c.Words)
	why := fmt.Sprintf("%s is %s %% of it", strings.Join(c.Words, " or "), short(100*share))
	if share >= c.Limit-shareRounding {
		return Met, why
	}
	return Broken, why
}

func distilled(f Facts) *float64 { return f.DistilledPct }
func entered(f Facts) *float64   { return f.EntryPct }
func bottled(f Facts) *float64   { return f.BottlingPct }

// Strengths come as typed, with one or two decimals; the tolerance only takes
// up what floating point adds.
const strengthRounding = 1e-6

func below(v, limit float64) bool   { return v < limit-strengthRounding }
func atMost(v, limit float64) bool  { return v <= limit+strengthRounding }
func atLeast(v, limit float64) bool { return v >= limit-strengthRounding }
func exactly(v, limit float64) bool { return atMost(v, limit) && atLeast(v, limit) }

func strengthTest(what string, of func(Facts) *float64, holds func(v, limit float64) bool) test {
	return func(c Condition, facts Facts) (State, string) {
		strength := of(facts)
		if strength == nil {
			return Open, "the strength at which it was " + what + " is not known"
		}
		why := what + " at " + short(*strength) + " % vol"
		if holds(*strength, c.Limit) {
			return Met, why
		}
		return Broken, why
	}
}

// short writes a number with at most two decimals and no idle noughts.
func short(x float64) string {
	return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.2f", x), "0"), ".")
}

func onlyTheseAdded(c Condition, facts Facts) (State, string) {
	if facts.Additives == nil {
		return Open, "whether anything was added is not known"
	}
	for _, additive := range *facts.Additives {
		if !hasFold(c.Words, additive) && !strings.EqualFold(strings.TrimSpace(additive), "water") {
			return Broken, additive + " was added"
		}
	}
	if len(*facts.Additives) == 0 {
		return Met, "nothing was added but water"
	}
	return Met, strings.Join(*facts.Additives, ", ") + " was added, which is allowed"
}

func madeIn(c Condition, facts Facts) (State, string) {
	switch {
	case facts.MadeIn == "":
		return Open, "where it was made and aged is not known"
	case hasFold(c.Words, facts.MadeIn):
		return Met, "made and aged in " + facts.MadeIn
	}
	return Broken, "made or aged in " + facts.MadeIn
}

// answeredWithYes asks the owner: the books cannot know it.
func answeredWithYes(c Condition, facts Facts) (State, string) {
	switch facts.Said[c.Words[0]] {
	case Yes:
		return Met, "you said so"
	case No:
		return Broken, "you said that it is not so"
	}
	return Open, "the books do not say: it is for you to know"
}
