package book

import (
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"slices"
	"strings"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/sensory"
)

// TastingWish is a blind test as a person asks for it.
type TastingWish struct {
	Name, Question string
	Test           sensory.Test
	Samples        []string // vessels, batches or bottlings, as named
	Tasters        []string
	Alpha          float64 // risk of finding a difference that is not there
	Beta           float64 // risk of missing one that is
	Able           float64 // share of tasters who should be able to tell
	Expected       bool    // of a ranking: the samples are named in the order expected
}

// Tests are the blind tests that can be planned.
var Tests = append(slices.Clone(sensory.DifferenceTests), sensory.Ranking)

func (w *TastingWish) check() error {
	bad := func(field, value, reason string) error {
		return &cellar.Problem{Kind: cellar.Invalid, Field: field, Value: value, Reason: reason}
	}
	samples := len(w.Samples)
	switch {
	case !slices.Contains(Tests, w.Test):
		return bad("test", string(w.Test), "not a test that there is")
	case w.Test == sensory.Ranking && (samples < sensory.LeastRanked || samples > sensory.MostRanked):
		return bad("samples", fmt.Sprint(samples), fmt.Sprintf("a ranking has %d to %d samples", sensory.LeastRanked, sensory.MostRanked))
	case w.Test != sensory.Ranking && samples != 2:
		return bad("samples", fmt.Sprint(samples), "this test compares two samples: name two")
	case len(w.Tasters) == 0 || len(w.Tasters) > cellar.MostSittings:
		return bad("tasters", fmt.Sprint(len(w.Tasters)), fmt.Sprintf("name 1 to %d tasters", cellar.MostSittings))
	case !(w.Alpha > 0 && w.Alpha < 0.5):
		return bad("alpha", fmt.Sprint(w.Alpha), "must lie between 0 and 0.5, such as 0.05")
	}
	return nil
}

// Needed is how many answers a test of difference needs for the risks wished;
// 0 for a ranking, or where nobody said how many should be able to tell.
func (w *TastingWish) Needed() (int, error) {
	if w.Test == sensory.Ranking || w.Able == 0 {
		return 0, nil
	}
	n, err := sensory.NeededAnswers(w.Test, w.Alpha, w.Beta, w.Able)
	if err != nil {
		return 0, &cellar.Problem{Kind: cellar.Invalid, Field: "able", Value: fmt.Sprint(w.Able), Reason: err.Error()}
	}
	return n, nil
}

// PlanTasting draws a blind test up. The serving orders hang on the ID of the
// entry alone, so that a form sent twice gives the same.
func (b *Book) PlanTasting(id, who string, w TastingWish) (cellar.Entry, error) {
	if err := w.check(); err != nil {
		return cellar.Entry{}, err
	}
	needed, err := w.Needed()
	if err != nil {
		return cellar.Entry{}, err
	}
	plan := &cellar.TastingPlan{Name: w.Name, Question: w.Question, Test: string(w.Test), Alpha: w.Alpha, Able: w.Able, Needed: needed, Expected: w.Expected && w.Test == sensory.Ranking}
	for _, written := range w.Samples {
		account, err := b.accountOf("samples", written)
		if err != nil {
			return cellar.Entry{}, err
		}
		plan.Samples = append(plan.Samples, account)
	}
	if id == "" {
		id = b.NewID()
	}
	sittings, err := sensory.Plan(w.Test, len(w.Tasters), len(w.Samples), seeded(id))
	if err != nil {
		return cellar.Entry{}, &cellar.Problem{Kind: cellar.Invalid, Field: "tasters", Value: fmt.Sprint(len(w.Tasters)), Reason: err.Error()}
	}
	for i, s := range sittings {
		plan.Sittings = append(plan.Sittings, cellar.TastingSitting{Taster: w.Tasters[i], Cups: keptCups(s.Cups)})
	}
	if err := cellar.CheckTastingPlan(plan); err != nil {
		return cellar.Entry{}, err
	}
	return b.postDesk(id, who, plan)
}

// seeded draws by lot from what an ID says.
func seeded(id string) *rand.Rand {
	hash := fnv.New128a()
	_, _ = hash.Write([]byte(id)) // it cannot fail
	sum := hash.Sum(nil)
	var halves [2]uint64
	for i, b := range sum {
		halves[i/8] = halves[i/8]<<8 | uint64(b)
	}
	return rand.New(rand.NewPCG(halves[0], halves[1]))
}

func keptCups(cups []sensory.Cup) []cellar.TastingCup {
	kept := make([]cellar.TastingCup, len(cups))
	for i, c := range cups {
		kept[i] = cellar.TastingCup{Code: c.Code, Sample: c.Sample, Reference: c.Reference}
	}
	return kept
}

// AnswerTasting writes answers of a planned test down.
func (b *Book) AnswerTasting(id, who, plan string, answers []cellar.TastingAnswer) error {
	fact := &cellar.TastingAnswers{Plan: plan, Answers: answers}
	err := b.Glance(Moment{}, func(v *View) error {
		planned, err := v.FindTasting(plan)
		if err != nil {
			return err
		}
		if err := cellar.CheckTastingAnswers(fact, planned.TastingPlan); err != nil {
			return err
		}
		return wholeAnswers(planned.TastingPlan, answers)
	})
	if err != nil {
		return err
	}
	_, err = b.postDesk(id, who, fact)
	return err
}

// wholeAnswers holds a ranking to all its cups, and the other tests to one.
func wholeAnswers(plan *cellar.TastingPlan, answers []cellar.TastingAnswer) error {
	want := 1
	if plan.Test == string(sensory.Ranking) {
		want = len(plan.Samples)
	}
	for _, a := range answers {
		if len(a.Codes) != want {
			return &cellar.Problem{
				Kind: cellar.Invalid, Field: "answers", Value: strings.Trim(fmt.Sprint(a.Codes), "[]"),
				Reason: fmt.Sprintf("%s names %d cups, and this test asks for %d", a.Taster, len(a.Codes), want),
			}
		}
	}
	return nil
}

// FindTasting finds a planned tasting by the ID of its entry.
func (v *View) FindTasting(id string) (cellar.TastingPlanned, error) {
	planned, found := v.State.Desk.FindTasting(id)
	if !found {
		return planned, &cellar.Problem{Kind: cellar.NotFound, Field: "tasting", Value: id, Reason: "no such tasting was planned, or it was taken back"}
	}
	return planned, nil
}

// SetTastingWords sets the store's own list of words to score under.
func (b *Book) SetTastingWords(id, who string, words []string) error {
	fact := &cellar.TastingWords{Words: words}
	if err := cellar.CheckTastingWords(fact); err != nil {
		return err
	}
	_, err := b.postDesk(id, who, fact)
	return err
}

// TastingWords is the store's list, or else the words used so far.
func (v *View) TastingWords() []string {
	if len(v.State.Desk.Words) > 0 {
		return v.State.Desk.Words
	}
	return v.ScoreWords()
}
