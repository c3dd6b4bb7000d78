package identity

import (
	"fmt"
	"math"
)

// eachStay makes a test of the whole of a test of one stay: the worst decides.
// Time in tanks is waiting, not maturing, and is passed over; onlyTanks is the
// state of a spirit that lay in nothing else.
func eachStay(one func(Condition, Stay) (State, string), onlyTanks State) test {
	return func(c Condition, facts Facts) (State, string) {
		stays := facts.stays()
		if len(stays) == 0 {
			return Open, "what it lay in is not known"
		}
		state, why := onlyTanks, "it lay in tanks only"
		for i, stay := range outsideTanks(stays) {
			s, w := one(c, stay)
			if stay.Vessel == "" { // it may have been a tank
				s, w = Open, "what it lay in is not known"
			}
			if i == 0 || worse(state, s) != state {
				state, why = s, w
			}
		}
		return state, why
	}
}

func outsideTanks(stays []Stay) (rest []Stay) {
	for _, stay := range stays {
		if stay.Vessel != Tank {
			rest = append(rest, stay)
		}
	}
	return rest
}

// ofWood: a cask is, glass and steel are not, and a wooden head on a steel body
// is a question.
func ofWood(_ Condition, stay Stay) (State, string) {
	switch stay.Vessel {
	case Cask:
		return Met, "it lay in casks"
	case Hybrid:
		return Open, "it lay in a steel body with a wooden head: ask whether that is a wooden cask"
	case Jar:
		return Broken, "it lay in a jar with staves, which is no wooden cask"
	case Tank:
		return Broken, "it lay in a tank"
	}
	return Open, "what it lay in is not known"
}

func woodIs(c Condition, stay Stay) (State, string) {
	switch {
	case stay.Vessel == Tank:
		return Broken, "it lay in a tank"
	case stay.Wood == "":
		return Open, "the wood is not known"
	case hasFold(c.Words, stay.Wood):
		return Met, "the wood is " + stay.Wood
	}
	return Broken, "the wood is " + stay.Wood
}

func newCharred(_ Condition, stay Stay) (State, string) {
	switch {
	case stay.New == No:
		return Broken, "the wood was used before"
	case stay.Charred == No:
		return Broken, "the wood was not charred"
	case stay.New == Yes && stay.Charred == Yes:
		return Met, "the wood was new and charred"
	}
	return Open, "whether the wood was new and charred is not known"
}

func notNewCharred(c Condition, stay Stay) (State, string) {
	state, why := newCharred(c, stay)
	switch state {
	case Met:
		return Broken, why
	case Broken:
		return Met, why
	}
	return Open, why
}

func caskAtMost(c Condition, stay Stay) (State, string) {
	size := float64(stay.SizeL)
	switch {
	case size == 0:
		return Open, "the size of a cask is not known"
	case size <= c.Limit:
		return Met, fmt.Sprintf("no cask is larger than %s L", short(c.Limit))
	}
	return Broken, fmt.Sprintf("it lay in %s L", short(size))
}

// storedIn asks for some time, however short, of every part in the wood that
// counts, and for no other wood.
func storedIn(c Condition, facts Facts) (State, string) {
	if len(facts.stays()) == 0 {
		return Open, "what it lay in is not known"
	}
	sure, perhaps := youngest(*c.Wood, facts)
	switch {
	case sure == 0 && perhaps == 0:
		return Broken, "some of it never lay in such a cask"
	case sure == 0:
		return Open, "whether what it lay in is such a cask is not known"
	}
	for _, stay := range outsideTanks(facts.stays()) {
		if c.Wood.stay(stay) != Met {
			return Open, "it lay in such casks, and in something else as well: ask whether that is allowed"
		}
	}
	return Met, "it lay in such casks"
}

// youngest returns the least days of any part: those that surely count, and
// those that may.
func youngest(counts Counts, facts Facts) (sure, perhaps int) {
	for i, part := range facts.Parts {
		s, p := 0, 0
		for _, stay := range part.Stays {
			switch counts.stay(stay) {
			case Met:
				s, p = s+stay.Days, p+stay.Days
			case Open:
				p += stay.Days
			}
		}
		if i == 0 || s < sure {
			sure = s
		}
		if i == 0 || p < perhaps {
			perhaps = p
		}
	}
	return sure, perhaps
}

// stay says whether time in a vessel counts.
func (c Counts) stay(stay Stay) State {
	state, _ := ofWood(Condition{}, stay)
	if len(c.Woods) > 0 {
		s, _ := woodIs(Condition{Words: c.Woods}, stay)
		state = worse(state, s)
	}
	if c.NewCharred {
		s, _ := newCharred(Condition{}, stay)
		state = worse(state, s)
	}
	if c.MostL > 0 {
		s, _ := caskAtMost(Condition{Limit: c.MostL}, stay)
		state = worse(state, s)
	}
	return state
}

// A span of whole years is this many days at least, and at most one more for
// each leap day begun.
const daysOfYear = 365

// reached says whether so many days are so many years on any calendar.
func reached(days int, years float64) State {
	most := int(math.Ceil(years * (daysOfYear + 0.25)))
	switch {
	case days >= most:
		return Met
	case float64(days) < years*daysOfYear:
		return Broken
	}
	return Open
}

func yearsInWood(c Condition, facts Facts) (State, string) {
	if len(facts.Parts) == 0 {
		return Open, "how long it lay in wood is not known"
	}
	sure, perhaps := youngest(*c.Wood, facts)
	state := reached(sure, c.Limit)
	why := fmt.Sprintf("the youngest part has %d days that count, about %s", sure, years(sure))
	switch {
	case state == Met:
		return Met, why
	case reached(perhaps, c.Limit) == Broken:
		return Broken, why
	case perhaps > sure:
		return Open, why + fmt.Sprintf(", and %d more if all that is not known of the vessels is as it should be", perhaps-sure)
	}
	return Open, why + ": count it on the calendar"
}

func years(days int) string { return spell(math.Floor(float64(days)/36.525) / 10) }

// spell writes years as people say them: 1 year, 2.5 years.
func spell(years float64) string {
	if years == 1 {
		return "1 year"
	}
	return short(years) + " years"
}
