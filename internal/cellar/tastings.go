package cellar

import "slices"

// TastingWords is the store's own list of words that samples are scored under.
type TastingWords struct {
	Words []string `json:"words"`
}

// Kind is "tasting_words".
func (*TastingWords) Kind() string { return "tasting_words" }

// Subjects names nothing.
func (*TastingWords) Subjects() []Account { return nil }

// CheckTastingWords holds the list to names, each once.
func CheckTastingWords(f *TastingWords) error {
	if len(f.Words) > MostScores {
		return invalid("words", len(f.Words), "at most %d", MostScores)
	}
	for i, word := range f.Words {
		if err := CheckName("words", word); err != nil {
			return err
		}
		if slices.Contains(f.Words[:i], word) {
			return invalid("words", word, "is there twice")
		}
	}
	return nil
}

func (f *TastingWords) apply(c *change) error {
	if err := CheckTastingWords(f); err != nil {
		return err
	}
	c.beside = func(s *State) { s.Desk.Words = f.Words }
	return nil
}

// TastingPlan is a blind test as it was drawn up: who gets which cup in which
// order. The orders are kept, not drawn again, so that answers written down on
// the printed sheets stay right.
type TastingPlan struct {
	Name     string           `json:"name"`
	Question string           `json:"question,omitempty"`
	Test     string           `json:"test"`    // by the words of package sensory
	Samples  []Account        `json:"samples"` // vessels, batches or lots
	Alpha    float64          `json:"alpha"`   // risk of finding what is not there
	Able     float64          `json:"able,omitempty"`
	Needed   int              `json:"needed,omitempty"`   // answers for that risk, as worked out then
	Expected bool             `json:"expected,omitempty"` // a ranking: the samples are in the order expected
	Sittings []TastingSitting `json:"sittings"`
}

// TastingSitting is what one taster gets, from left to right.
type TastingSitting struct {
	Taster string       `json:"taster"`
	Cups   []TastingCup `json:"cups"`
}

// TastingCup is one cup: its code, 0 for an open reference, and which of the
// samples is in it, from 0.
type TastingCup struct {
	Code      int  `json:"code,omitempty"`
	Sample    int  `json:"sample"`
	Reference bool `json:"reference,omitempty"`
}

// Kind is "tasting_plan".
func (*TastingPlan) Kind() string { return "tasting_plan" }

// Subjects names the samples.
func (f *TastingPlan) Subjects() []Account { return f.Samples }

// Bounds of a tasting.
const (
	MostSittings = 200
	mostCups     = 8
)

// CheckTastingPlan holds a plan to samples that differ, and to sittings that
// serve no other.
func CheckTastingPlan(f *TastingPlan) error {
	if err := CheckName("name", f.Name); err != nil {
		return err
	}
	if err := CheckNote("question", f.Question); err != nil {
		return err
	}
	if len(f.Samples) < 2 || len(f.Samples) > mostCups {
		return invalid("samples", len(f.Samples), "a blind test has 2 to %d samples", mostCups)
	}
	for i, a := range f.Samples {
		if slices.Contains(f.Samples[:i], a) {
			_, name := a.Split()
			return invalid("samples", name, "is there twice: the test compares different spirits")
		}
	}
	if !(f.Alpha > 0 && f.Alpha < 1) {
		return invalid("alpha", trimmed(f.Alpha), "must lie between 0 and 1, such as 0.05")
	}
	if len(f.Sittings) == 0 || len(f.Sittings) > MostSittings {
		return invalid("tasters", len(f.Sittings), "1 to %d tasters", MostSittings)
	}
	return f.checkSittings()
}

func (f *TastingPlan) checkSittings() error {
	seen := make(map[string]bool)
	for _, s := range f.Sittings {
		if err := CheckName("tasters", s.Taster); err != nil {
			return err
		}
		if seen[s.Taster] {
			return invalid("tasters", s.Taster, "is named twice: everybody answers once")
		}
		seen[s.Taster] = true
		if len(s.Cups) > mostCups {
			return invalid("sittings", len(s.Cups), "at most %d cups before a taster", mostCups)
		}
		for _, cup := range s.Cups {
			if cup.Sample < 0 || cup.Sample >= len(f.Samples) || cup.Code < 0 || cup.Code > 999 {
				return invalid("sittings", cup.Code, "the cup of %s holds no sample of the test", s.Taster)
			}
		}
	}
	return nil
}

func (f *TastingPlan) apply(c *change) error {
	if err := CheckTastingPlan(f); err != nil {
		return err
	}
	for _, a := range f.Samples {
		if err := c.knownSource(a); err != nil {
			return err
		}
	}
	c.beside = func(s *State) { s.Desk.Plans = append(s.Desk.Plans, TastingPlanned{c.entry, f}) }
	return nil
}

// TastingPlanned is a planned tasting with the entry that keeps it.
type TastingPlanned struct {
	Entry Entry
	*TastingPlan
}

// TastingAnswers are what tasters answered in a planned test. Where a taster
// answers again, the last word counts.
type TastingAnswers struct {
	Plan    string          `json:"plan"` // ID of the entry that planned it
	Answers []TastingAnswer `json:"answers"`
}

// TastingAnswer is one taster's: the code of the cup named, or for a ranking
// all codes in order, first to last.
type TastingAnswer struct {
	Taster string `json:"taster"`
	Codes  []int  `json:"codes"`
}

// Kind is "tasting_answers".
func (*TastingAnswers) Kind() string { return "tasting_answers" }

// Subjects names nothing: the plan does.
func (*TastingAnswers) Subjects() []Account { return nil }

// CheckTastingAnswers holds answers to cups that were served to who answers.
func CheckTastingAnswers(f *TastingAnswers, plan *TastingPlan) error {
	if len(f.Answers) == 0 || len(f.Answers) > MostSittings {
		return invalid("answers", len(f.Answers), "1 to %d answers", MostSittings)
	}
	for _, a := range f.Answers {
		i := slices.IndexFunc(plan.Sittings, func(s TastingSitting) bool { return s.Taster == a.Taster })
		if i < 0 {
			return invalid("answers", a.Taster, "is not among the tasters of this test")
		}
		if err := a.check(plan.Sittings[i]); err != nil {
			return err
		}
	}
	return nil
}

func (a TastingAnswer) check(sitting TastingSitting) error {
	if len(a.Codes) == 0 {
		return invalid("answers", a.Taster, "no cup is named")
	}
	for i, code := range a.Codes {
		served := slices.ContainsFunc(sitting.Cups, func(c TastingCup) bool { return c.Code == code && !c.Reference })
		if !served {
			return invalid("answers", code, "is no cup that %s was served", a.Taster)
		}
		if slices.Contains(a.Codes[:i], code) {
			return invalid("answers", code, "%s names it twice", a.Taster)
		}
	}
	return nil
}

// apply does not ask for the plan: it can be taken back later, and its answers
// then count for nothing. The book holds answers to their plan as they come.
func (f *TastingAnswers) apply(c *change) error {
	if len(f.Answers) == 0 || len(f.Answers) > MostSittings {
		return invalid("answers", len(f.Answers), "1 to %d answers", MostSittings)
	}
	c.beside = func(s *State) { s.Desk.Answers = append(s.Desk.Answers, TastingAnswered{c.entry, f}) }
	return nil
}

// TastingAnswered is answers with the entry that wrote them down.
type TastingAnswered struct {
	Entry Entry
	*TastingAnswers
}
