package book_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/sensory"
)

// tastingHouse has three filled vessels.
func tastingHouse(t *testing.T) *house {
	h := newHouse(t)
	h.batch("B", "2020-01-01", 300, 60)
	h.clock.on("2021-01-01")
	for _, code := range []string{"A", "C", "D"} {
		h.vessel(code, cellar.Cask, 50)
		h.does("2020-02-01", cellar.Request{Entry: "fill", Vessel: code, From: "B", VolumeL: ptr(40.0)})
	}
	return h
}

func tasters(n int) []string {
	names := make([]string, n)
	for i := range names {
		names[i] = fmt.Sprintf("taster %d", i+1)
	}
	return names
}

func (h *house) tasting(id string) (plan cellar.TastingPlanned, result book.TastingResult) {
	h.t.Helper()
	h.must(h.See(book.Moment{}, func(v *book.View) (err error) {
		if plan, err = v.FindTasting(id); err == nil {
			result, err = v.TastingResult(plan)
		}
		return err
	}))
	return plan, result
}

// oddOne is the cup whose sample is there once.
func oddOne(s cellar.TastingSitting) int {
	counts := make(map[int]int)
	for _, c := range s.Cups {
		counts[c.Sample]++
	}
	for _, c := range s.Cups {
		if counts[c.Sample] == 1 {
			return c.Code
		}
	}
	return 0
}

// Twelve tasters of whom eight find the odd one: p = 0.0188 by the binomial,
// and eight is the published least number at 5 % (triangle_min_correct).
func TestTriangleFromPlanToVerdict(t *testing.T) {
	h := tastingHouse(t)
	wish := book.TastingWish{Name: "T", Test: sensory.Triangle, Samples: []string{"A", "c"}, Tasters: tasters(12), Alpha: 0.05, Beta: 0.2, Able: 0.5}
	e, err := h.PlanTasting("", "keeper", wish)
	h.must(err)
	plan, _ := h.tasting(e.ID)
	var answers []cellar.TastingAnswer
	for i, s := range plan.Sittings {
		code := oddOne(s)
		if i >= 8 { // wrong: one of the two that are the same
			for _, c := range s.Cups {
				if c.Code != oddOne(s) {
					code = c.Code
				}
			}
		}
		answers = append(answers, cellar.TastingAnswer{Taster: s.Taster, Codes: []int{code}})
	}
	h.must(h.AnswerTasting("", "keeper", e.ID, answers))
	_, result := h.tasting(e.ID)
	want, err := sensory.PValue(sensory.Triangle, 8, 12)
	h.must(err)
	v := result.Verdict
	if v == nil || v.Right != 8 || v.Answers != 12 || v.P != want || math.Abs(v.P-0.0188) > 0.0001 || v.Least != 8 || !v.Found {
		t.Errorf("the verdict is %+v", v)
	}
	needed, err := sensory.NeededAnswers(sensory.Triangle, 0.05, 0.2, 0.5)
	h.must(err)
	if plan.Needed != needed {
		t.Errorf("%d answers are needed, the plan says %d", needed, plan.Needed)
	}
	// The last word counts.
	h.must(h.AnswerTasting("", "keeper", e.ID, []cellar.TastingAnswer{{Taster: "taster 12", Codes: []int{oddOne(plan.Sittings[11])}}}))
	if _, result := h.tasting(e.ID); result.Verdict.Right != 9 || result.Answered != 12 {
		t.Errorf("after a change of mind %d of %d are right", result.Verdict.Right, result.Answered)
	}
}

// Every test takes a right and a wrong answer and scores them as package sensory does.
func TestEveryTestIsScored(t *testing.T) {
	h := tastingHouse(t)
	for _, test := range sensory.DifferenceTests {
		e, err := h.PlanTasting("", "keeper", book.TastingWish{Name: "T", Test: test, Samples: []string{"A", "C"}, Tasters: tasters(6), Alpha: 0.05})
		h.must(err)
		plan, _ := h.tasting(e.ID)
		right := 0
		var answers []cellar.TastingAnswer
		for _, s := range plan.Sittings {
			cup := s.Cups[len(s.Cups)-1]
			cups := make([]sensory.Cup, len(s.Cups))
			for i, c := range s.Cups {
				cups[i] = sensory.Cup{Code: c.Code, Sample: c.Sample, Reference: c.Reference}
			}
			is, err := sensory.Sitting{Test: test, Cups: cups}.Right(cup.Code)
			h.must(err)
			if is {
				right++
			}
			answers = append(answers, cellar.TastingAnswer{Taster: s.Taster, Codes: []int{cup.Code}})
		}
		h.must(h.AnswerTasting("", "keeper", e.ID, answers))
		_, result := h.tasting(e.ID)
		want, err := sensory.Score(test, right, 6, 0.05)
		h.must(err)
		if result.Verdict.P != want.P || result.Verdict.Meaning != want.Meaning {
			t.Errorf("%s: %+v, want %+v", test, result.Verdict, want)
		}
	}
}

func TestRankingFromPlanToSums(t *testing.T) {
	h := tastingHouse(t)
	e, err := h.PlanTasting("", "keeper", book.TastingWish{Name: "R", Test: sensory.Ranking, Samples: []string{"A", "C", "D"}, Tasters: tasters(5), Alpha: 0.05})
	h.must(err)
	plan, _ := h.tasting(e.ID)
	var answers []cellar.TastingAnswer
	for _, s := range plan.Sittings { // all agree: D, A, C
		codes := make([]int, 3)
		for _, c := range s.Cups {
			codes[map[int]int{2: 0, 0: 1, 1: 2}[c.Sample]] = c.Code
		}
		answers = append(answers, cellar.TastingAnswer{Taster: s.Taster, Codes: codes})
	}
	h.must(h.AnswerTasting("", "keeper", e.ID, answers))
	_, result := h.tasting(e.ID)
	if r := result.Ranks; r == nil || r.Sums[0] != 10 || r.Sums[1] != 15 || r.Sums[2] != 5 || r.Statistic != 10 {
		t.Errorf("the ranks are %+v", r) // five alike rankings of three: Friedman's statistic is 10
	}
	err = h.AnswerTasting("", "keeper", e.ID, []cellar.TastingAnswer{{Taster: "taster 1", Codes: answers[0].Codes[:2]}})
	if err == nil || !strings.Contains(err.Error(), "asks for 3") {
		t.Errorf("two of three cups: %v", err)
	}
}

func TestTastingsThatAreRefused(t *testing.T) {
	h := tastingHouse(t)
	good := book.TastingWish{Name: "T", Test: sensory.Triangle, Samples: []string{"A", "C"}, Tasters: tasters(3), Alpha: 0.05}
	for want, spoil := range map[string]func(*book.TastingWish){
		"not a test":  func(w *book.TastingWish) { w.Test = "guess" },
		"name two":    func(w *book.TastingWish) { w.Samples = []string{"A", "C", "D"} },
		"3 to 8":      func(w *book.TastingWish) { w.Test = sensory.Ranking },
		"name 1 to":   func(w *book.TastingWish) { w.Tasters = nil },
		"alpha":       func(w *book.TastingWish) { w.Alpha = 0.7 },
		"able":        func(w *book.TastingWish) { w.Able, w.Beta = 3, 0.2 },
		"has this":    func(w *book.TastingWish) { w.Samples = []string{"A", "NONE"} },
		"there twice": func(w *book.TastingWish) { w.Samples = []string{"A", "a"} },
		"named twice": func(w *book.TastingWish) { w.Tasters = []string{"x", "x"} },
		"has no name": func(w *book.TastingWish) { w.Name = "" },
	} {
		bad := good
		spoil(&bad)
		if _, err := h.PlanTasting("", "keeper", bad); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", want, err)
		}
	}
	if err := h.AnswerTasting("", "keeper", "none", []cellar.TastingAnswer{{Taster: "x", Codes: []int{1}}}); cellar.KindOf(err) != cellar.NotFound {
		t.Errorf("answers to nothing: %v", err)
	}
}

// A generous taster lifts nobody: the planner gets scores with tasters taken out.
func TestScoresOfSeveralTasters(t *testing.T) {
	h := tastingHouse(t)
	score := func(vessel, taster string, fruit int) {
		h.does("2020-12-01", cellar.Request{Entry: "sample", Vessel: vessel, Senses: &cellar.Senses{Taster: taster, Scores: map[string]int{"fruit": fruit}}})
	}
	score("A", "strict", 3)
	score("A", "generous", 7)
	score("C", "strict", 4)
	score("D", "generous", 7)
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		for code, want := range map[string]float64{"A": 5, "C": 6, "D": 5} { // tasters lie 2 below and 2 above
			if got := v.Source(code).Scores["fruit"]; math.Abs(got-want) > 1e-9 {
				t.Errorf("%s goes into a plan with fruit %.3f, want %.3f", code, got, want)
			}
		}
		return nil
	}))
	h.must(h.SetTastingWords("", "keeper", []string{"smoke", "fruit"}))
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		if got := fmt.Sprint(v.TastingWords()); got != "[smoke fruit]" {
			t.Errorf("the words are %s", got)
		}
		return nil
	}))
}
