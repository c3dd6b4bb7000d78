package book

import (
	"maps"
	"slices"

	"example.org/croze/internal/cellar"
)

// NewID makes a ULID for an entry to come, so that a form sent twice is one entry.
func (b *Book) NewID() string { return b.edge.NewID(b.edge.Now()) }

// BatchesLeft lists the batches that something can still be filled from,
// newest first: those with some left, and those whose amount was not stated.
func (v *View) BatchesLeft() []string {
	var left []string
	for _, name := range v.State.BatchNames() {
		b := v.State.Batches[name]
		stated, open := !b.Made.IsZero(), b.Made.IsZero() && !b.Unnamed
		untouched := stated && v.State.Balance(cellar.BatchAccount(name)).IsZero() && b.MadeOn == 0
		if open || untouched || v.State.Balance(cellar.BatchAccount(name)).PureAlcohol() > 0.05 {
			left = append(left, name)
		}
	}
	slices.SortStableFunc(left, func(a, b string) int {
		return int(v.State.Batches[b].MadeOn - v.State.Batches[a].MadeOn)
	})
	return left
}

// ScoreWords lists the words that this store has scored samples under.
func (v *View) ScoreWords() []string {
	words := make(map[string]bool)
	for _, vessel := range v.State.Vessels {
		for _, e := range vessel.Events {
			if s, ok := e.Entry.Fact.(*cellar.Sample); ok && s.Senses != nil {
				for word := range s.Senses.Scores {
					words[word] = true
				}
			}
		}
	}
	return slices.Sorted(maps.Keys(words))
}
