package openhouse

import (
	"errors"
	"time"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/demo"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/sensory"
)

const owner = "owner"

// The evening is the one before yesterday's: over, wherever on earth it is read of.
const (
	daysAgo   = 2
	atTheDesk = 19 * time.Hour
)

// Fill tells the story of a seed into an empty journal and lets the owner sit
// down at the desk. One seed and day give one journal, but for the IDs.
func Fill(j journal.Journal, seed uint64, today time.Time, newID func(time.Time) string) error {
	story, err := demo.Tell(seed, today)
	if err != nil {
		return err
	}
	if err := story.Write(j, newID); err != nil {
		return err
	}
	year, month, day := today.Date()
	clock := time.Date(year, month, day-daysAgo, 0, 0, 0, 0, time.UTC).Add(atTheDesk)
	b, err := book.Open(j, book.Edge{Now: func() time.Time { return clock }, NewID: newID})
	if err != nil {
		return err
	}
	defer b.Wait()
	for _, do := range []func(*book.Book, *demo.Story) error{closeYear, planBottling, beginRound, blindTest} {
		clock = clock.Add(20 * time.Minute)
		if err := do(b, story); err != nil {
			return err
		}
	}
	return nil
}

// closeYear closes the calendar year before last evening's.
func closeYear(b *book.Book, _ *demo.Story) error {
	year := b.Now().Year() - 1
	p := book.Period{From: cellar.Date(year, time.January, 1), To: cellar.Date(year, time.December, 31)}
	_, err := b.ClosePeriod("", owner, p, nil, "The year is done: every vessel was gauged by February.")
	return err
}

// planBottling keeps a plan for the bottling that vessels are set aside for.
func planBottling(b *book.Book, s *demo.Story) error {
	const most = 3
	someOat := 0.15 // of the alcohol
	wish := blend.Plan{
		Kind: blend.KindBlend, Target: &blend.Target{VolumeL: s.Needs.VolumeL, StrengthPct: s.Needs.StrengthPct},
		Water: true, Objective: blend.OldestFirst, Limits: &blend.Limits{MaxVessels: most, Shares: []blend.Band{{Of: "oat", Min: &someOat}}},
	}
	err := b.See(book.Moment{}, func(v *book.View) error {
		for _, code := range s.Needs.From {
			wish.Sources = append(wish.Sources, v.Source(code))
		}
		return nil
	})
	if err != nil {
		return err
	}
	found, err := book.WorkOut(wish)
	if err != nil {
		return err
	}
	if !found.Possible() {
		return errors.New("the bottling that the story wants cannot be planned")
	}
	plan := book.Kept(wish, found.Result.Draws, found.Result.WaterKg, *found.Result.Made)
	plan.Name, plan.Wanted = "Rye and oat for the new year", s.Needs.On
	if plan.File, err = book.PlanFile(wish); err != nil {
		return err
	}
	_, err = b.KeepPlan("", owner, plan)
	return err
}

// mostStops keeps the demo's round short enough to walk.
const mostStops = 8

// beginRound begins a round through what is due.
func beginRound(b *book.Book, _ *demo.Story) error {
	var codes []string
	err := b.See(book.Moment{}, func(v *book.View) error {
		for _, line := range v.Due() {
			if len(codes) < mostStops {
				codes = append(codes, line.Vessel)
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	_, err = b.BeginRound("", owner, "What is due this week", codes)
	return err
}

// tasters are the circle, by their work.
var tasters = []string{"baker", "carter", "cooper", "ferryman", "gardener", "mason", "miller", "saddler", "shepherd", "smith", "thatcher", "weaver"}

// wrong is how many of them name the wrong cup: few enough to find a difference
// at one chance in twenty (8 right of 12), as people do who can taste staves.
const wrong = 4

// blindTest asks the circle whether the cask and the staves can be told apart.
func blindTest(b *book.Book, s *demo.Story) error {
	e, err := b.PlanTasting("", owner, book.TastingWish{
		Name: "Cask or staves, blind", Question: "Can anybody tell them apart after the same years?",
		Test: sensory.Triangle, Samples: s.Twins[0], Tasters: tasters, Alpha: 0.05, Beta: 0.2, Able: 0.5,
	})
	if err != nil {
		return err
	}
	var answers []cellar.TastingAnswer
	for i, sitting := range e.Fact.(*cellar.TastingPlan).Sittings {
		answers = append(answers, cellar.TastingAnswer{Taster: sitting.Taster, Codes: []int{oddCup(sitting.Cups, i >= wrong)}})
	}
	return b.AnswerTasting("", owner, e.ID, answers)
}

// oddCup is the code of the odd cup of three, or of another.
func oddCup(cups []cellar.TastingCup, right bool) int {
	for i, cup := range cups {
		alike := 0
		for _, other := range cups {
			if other.Sample == cup.Sample {
				alike++
			}
		}
		if (alike == 1) == right {
			return cups[i].Code
		}
	}
	return 0
}
