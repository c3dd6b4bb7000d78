package demo

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
)

// Write puts the story into an empty journal, as if it had been kept for all
// those years: each entry with the time at which it was recorded.
func (s *Story) Write(j journal.Journal, newID func(time.Time) string) error {
	w := &writer{story: s, newID: newID, state: cellar.NewState(), ids: make(map[int]string)}
	if err := w.register(); err != nil {
		return err
	}
	for _, h := range s.timeline() {
		if err := w.add(h); err != nil {
			return err
		}
	}
	slices.SortStableFunc(w.drafts, func(a, b journal.Draft) int { return a.RecordedAt.Compare(b.RecordedAt) })
	_, err := j.Append(journal.Head{}, w.drafts...)
	return err
}

// writer resolves the story in the order in which it happened.
type writer struct {
	story  *Story
	newID  func(time.Time) string
	state  *cellar.State
	drafts []journal.Draft
	ids    map[int]string // of the story's entries
}

// turn is one thing of the story in its turn.
type turn struct {
	at    time.Time
	batch *cellar.BatchFact
	index int // of the entry, if it is no batch
}

// timeline merges batches and entries by when they happened.
func (s *Story) timeline() []turn {
	var all []turn
	for i := range s.Batches {
		all = append(all, turn{at: s.Batches[i].MadeOn.Time(), batch: &s.Batches[i]})
	}
	for i := range s.Entries {
		all = append(all, turn{at: s.Entries[i].Request.When, index: i})
	}
	slices.SortStableFunc(all, func(a, b turn) int { return a.at.Compare(b.at) })
	return all
}

// register puts the house down on the day before the first thing happened.
func (w *writer) register() error {
	began := w.story.timeline()[0].at.AddDate(0, 0, -1)
	for _, p := range w.story.Places {
		if err := w.extend("", began, began, keeper, &cellar.PlaceFact{Place: p}); err != nil {
			return err
		}
	}
	for _, v := range w.story.Vessels {
		if err := w.extend("", began, began, keeper, &cellar.VesselFact{Vessel: v}); err != nil {
			return err
		}
	}
	for _, limit := range lossLimits {
		if err := w.extend("", began, began, keeper, &limit); err != nil {
			return err
		}
	}
	for _, rhythm := range rhythms {
		if err := w.extend("", began, began, keeper, &rhythm); err != nil {
			return err
		}
	}
	return nil
}

// lossLimits are the yearly losses above which the house wants an explanation.
var lossLimits = []cellar.Limit{
	{Of: cellar.Cask, PctPerYear: 8}, {Of: cellar.Hybrid, PctPerYear: 2},
	{Of: cellar.Jar, PctPerYear: 2}, {Of: cellar.Tank, PctPerYear: 0.5},
}

func (w *writer) add(t turn) error {
	if t.batch != nil {
		return w.extend("", t.at, t.at, keeper, t.batch)
	}
	told := w.story.Entries[t.index]
	if told.Fact != nil {
		return w.extend("", told.Request.When, told.RecordedAt, told.Who, told.Fact)
	}
	request := told.Request
	if told.VoidOf >= 0 {
		request.Void = w.ids[told.VoidOf]
	}
	fact, _, err := cellar.Resolver{State: w.state, Now: told.RecordedAt}.Resolve(request)
	if err != nil {
		return fmt.Errorf("the story's %s of %s on %s: %w", request.Entry, request.Vessel, request.When.Format(time.DateOnly), err)
	}
	id := w.newID(told.RecordedAt)
	w.ids[t.index] = id
	return w.extend(id, request.When, told.RecordedAt, cmp.Or(told.Who, keeper), fact)
}

func (w *writer) extend(id string, happened, recorded time.Time, who string, fact cellar.Fact) error {
	body, err := json.Marshal(fact)
	if err != nil {
		return err
	}
	id = cmp.Or(id, w.newID(recorded))
	w.drafts = append(w.drafts, journal.Draft{ID: id, RecordedAt: recorded, HappenedAt: happened, Who: who, Kind: fact.Kind(), Body: body})
	return w.state.Extend(cellar.Entry{
		Seq: uint64(len(w.drafts)), ID: id, RecordedAt: recorded, HappenedAt: happened, Who: who, Fact: fact,
	})
}
