package exchange

import (
	"maps"
	"slices"

	"example.org/croze/internal/cellar"
)

// Register is what of a book goes into the four files.
type Register struct {
	Places  []cellar.Place
	Vessels []cellar.Vessel
	Batches []cellar.Batch
	Entries []cellar.Request
}

// RegisterOf writes a book down as files can say it: what stands, in the order
// in which it happened. A blend becomes a fill, transfers and a reduction; a
// bottling becomes a draw and a move a note, each with words; scores of
// tastings, instruments and left-overs carried into a run are not in the files.
func RegisterOf(s *cellar.State, entries []cellar.Entry) Register {
	r := Register{}
	for _, name := range slices.Sorted(maps.Keys(s.Places)) {
		r.Places = append(r.Places, s.Places[name])
	}
	for _, code := range s.VesselCodes() {
		r.Vessels = append(r.Vessels, s.Vessels[code].Vessel)
	}
	for _, name := range s.BatchNames() {
		if b := s.Batches[name]; !b.Unnamed {
			r.Batches = append(r.Batches, b.Batch)
		}
	}
	standing := cellar.Standing(entries)
	slices.SortStableFunc(standing, func(a, b cellar.Entry) int { return a.HappenedAt.Compare(b.HappenedAt) })
	for _, e := range standing {
		r.Entries = append(r.Entries, requestsOf(s, e)...)
	}
	return r
}
