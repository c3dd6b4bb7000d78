package demo

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"example.org/croze/internal/cellar"
)

const seed = 7

func anyDay() time.Time { return time.Date(2026, 11, 25, 9, 30, 0, 0, time.UTC) }

func tellOn(t testing.TB, seed uint64, today time.Time) *Story {
	t.Helper()
	s, err := Tell(seed, today)
	if err != nil {
		t.Fatalf("Tell(%d, %s): %v", seed, today.Format(time.DateOnly), err)
	}
	return s
}

// id is an entry's name in these tests.
func id(i int) string { return fmt.Sprintf("entry %04d", i) }

// happening is something to be applied in its turn.
type happening struct {
	at    time.Time
	batch *cellar.BatchFact
	index int
	told  *Told
}

// happenings lists batches and entries in the order in which they happened.
func happenings(s *Story) []happening {
	var all []happening
	for i := range s.Batches {
		all = append(all, happening{at: s.Batches[i].MadeOn.Time(), batch: &s.Batches[i]})
	}
	for i := range s.Entries {
		all = append(all, happening{at: s.Entries[i].Request.When, index: i, told: &s.Entries[i]})
	}
	slices.SortStableFunc(all, func(a, b happening) int { return a.at.Compare(b.at) })
	return all
}

// registered is a book that has the places and the vessels.
func registered(t testing.TB, s *Story, journal *[]cellar.Entry) *cellar.State {
	t.Helper()
	state := cellar.NewState()
	add := func(fact cellar.Fact) {
		e := cellar.Entry{
			Seq: uint64(len(*journal) + 1), ID: fmt.Sprintf("house %d", len(*journal)), Fact: fact, Who: "owner",
			HappenedAt: time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC),
		}
		if err := state.Extend(e); err != nil {
			t.Fatal(err)
		}
		*journal = append(*journal, e)
	}
	for _, p := range s.Places {
		add(&cellar.PlaceFact{Place: p})
	}
	for _, v := range s.Vessels {
		add(&cellar.VesselFact{Vessel: v})
	}
	return state
}

// asked is a question that the resolver put about an entry.
type asked struct {
	told     Told
	question cellar.Question
}

// replay takes a story through the domain in the order of what happened. It
// returns the journal, the facts by entry, and what was asked on the way.
func replay(t testing.TB, s *Story, today time.Time) (state *cellar.State, journal []cellar.Entry, questions []asked) {
	t.Helper()
	state = registered(t, s, &journal)
	for _, h := range happenings(s) {
		e := cellar.Entry{Seq: uint64(len(journal) + 1), HappenedAt: h.at, Who: "owner"}
		if h.batch != nil {
			e.ID, e.Fact, e.RecordedAt = "batch "+h.batch.Name, h.batch, h.at
		} else if h.told.Fact != nil {
			e.ID, e.Fact, e.RecordedAt, e.Who = id(h.index), h.told.Fact, h.told.RecordedAt, h.told.Who
		} else {
			request := h.told.Request
			if h.told.VoidOf >= 0 {
				request.Void = id(h.told.VoidOf)
			}
			fact, more, err := cellar.Resolver{State: state, Now: today}.Resolve(request)
			if err != nil {
				t.Fatalf("%s of %s on %s: %v", request.Entry, request.Vessel, request.When.Format(time.DateOnly), err)
			}
			for _, q := range more {
				questions = append(questions, asked{*h.told, q})
			}
			e.ID, e.Fact, e.RecordedAt, e.Who = id(h.index), fact, h.told.RecordedAt, h.told.Who
		}
		if err := state.Extend(e); err != nil {
			t.Fatal(err)
		}
		journal = append(journal, e)
	}
	return state, journal, questions
}

// folded is the book after the voids, from a journal in the order of recording.
func folded(t testing.TB, s *Story, today time.Time) *cellar.State {
	t.Helper()
	_, journal, _ := replay(t, s, today)
	slices.SortStableFunc(journal, func(a, b cellar.Entry) int { return a.RecordedAt.Compare(b.RecordedAt) })
	for i := range journal {
		journal[i].Seq = uint64(i + 1)
	}
	state, err := cellar.Fold(journal, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	if err := state.Check(); err != nil {
		t.Fatal(err)
	}
	return state
}
