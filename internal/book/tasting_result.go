package book

import (
	"fmt"
	"slices"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/sensory"
)

// TastingResult is what a blind test came to so far.
type TastingResult struct {
	Answered int
	Missing  []string         // tasters without an answer
	Answers  map[string][]int // by taster, as last said
	Verdict  *sensory.Verdict // of a test of difference with any answers
	Ranks    *sensory.Ranks   // of a ranking with two rankings or more
	MeanRank []float64        // by sample, 1 is first
	Note     string           // why there is no result, if there is none
}

// TastingResult scores a planned test. The risk is the one chosen beforehand.
func (v *View) TastingResult(plan cellar.TastingPlanned) (TastingResult, error) {
	r := TastingResult{Answers: v.answersOf(plan.Entry.ID)}
	for _, s := range plan.Sittings {
		if _, answered := r.Answers[s.Taster]; !answered {
			r.Missing = append(r.Missing, s.Taster)
		}
	}
	r.Answered = len(plan.Sittings) - len(r.Missing)
	if r.Answered == 0 {
		r.Note = "Nobody has answered yet."
		return r, nil
	}
	if plan.Test == string(sensory.Ranking) {
		return r, r.rank(plan)
	}
	return r, r.score(plan)
}

// answersOf gathers the answers of a test, the last word of each taster.
func (v *View) answersOf(plan string) map[string][]int {
	answers := make(map[string][]int)
	for _, given := range v.State.Desk.Answers {
		if given.Plan != plan {
			continue
		}
		for _, a := range given.Answers {
			answers[a.Taster] = a.Codes
		}
	}
	return answers
}

func (r *TastingResult) score(plan cellar.TastingPlanned) error {
	right := 0
	for _, s := range plan.Sittings {
		codes, answered := r.Answers[s.Taster]
		if !answered {
			continue
		}
		sitting := sensory.Sitting{Test: sensory.Test(plan.Test), Cups: servedCups(s.Cups)}
		is, err := sitting.Right(codes[0])
		if err != nil {
			return fmt.Errorf("the answer of %s: %w", s.Taster, err)
		}
		if is {
			right++
		}
	}
	verdict, err := sensory.Score(sensory.Test(plan.Test), right, r.Answered, plan.Alpha)
	r.Verdict = &verdict
	return err
}

func servedCups(cups []cellar.TastingCup) []sensory.Cup {
	served := make([]sensory.Cup, len(cups))
	for i, c := range cups {
		served[i] = sensory.Cup{Code: c.Code, Sample: c.Sample, Reference: c.Reference}
	}
	return served
}

func (r *TastingResult) rank(plan cellar.TastingPlanned) error {
	var rows [][]float64
	for _, s := range plan.Sittings {
		codes, answered := r.Answers[s.Taster]
		if !answered {
			continue
		}
		row := make([]float64, len(plan.Samples))
		for _, cup := range s.Cups {
			row[cup.Sample] = float64(slices.Index(codes, cup.Code) + 1)
		}
		rows = append(rows, row)
	}
	r.MeanRank = make([]float64, len(plan.Samples))
	for _, row := range rows {
		for i, rank := range row {
			r.MeanRank[i] += rank / float64(len(rows))
		}
	}
	if len(rows) < 2 {
		r.Note = "One ranking alone says nothing about chance."
		return nil
	}
	ranks, err := rankTest(rows, plan)
	r.Ranks = &ranks
	return err
}

func rankTest(rows [][]float64, plan cellar.TastingPlanned) (sensory.Ranks, error) {
	if !plan.Expected {
		return sensory.FriedmanTest(rows, seeded(plan.Entry.ID))
	}
	expected := make([]int, len(plan.Samples))
	for i := range expected {
		expected[i] = i
	}
	return sensory.PageTest(rows, expected)
}

// ScoreMeans gives the score of every vessel with tasting notes under every
// word, as the average taster would give it; where tasters have no sample in
// common, and so cannot be told apart, the plain mean.
func (v *View) ScoreMeans() map[string]map[string]sensory.Mean {
	return remember(v, "", "score means", func() map[string]map[string]sensory.Mean {
		byWord := make(map[string][]sensory.Opinion)
		for _, code := range v.State.VesselCodes() {
			if v.State.IsEmpty(code) {
				continue
			}
			for word, given := range v.opinionsOf(code) {
				byWord[word] = append(byWord[word], given...)
			}
		}
		means := make(map[string]map[string]sensory.Mean)
		for word, given := range byWord {
			found, err := sensory.Means(given)
			if err != nil {
				found = plainMeans(given)
			}
			for _, m := range found {
				if means[m.Sample] == nil {
					means[m.Sample] = make(map[string]sensory.Mean)
				}
				means[m.Sample][word] = m
			}
		}
		return means
	})
}

func plainMeans(given []sensory.Opinion) []sensory.Mean {
	var means []sensory.Mean
	at := make(map[string]int)
	for _, o := range given {
		i, known := at[o.Sample]
		if !known {
			i = len(means)
			at[o.Sample] = i
			means = append(means, sensory.Mean{Sample: o.Sample})
		}
		means[i].Score += o.Score
		means[i].Count++
	}
	for i := range means {
		means[i].Score /= float64(means[i].Count)
		means[i].Low, means[i].High = means[i].Score, means[i].Score
	}
	return means
}
