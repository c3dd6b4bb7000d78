package book

import (
	"maps"
	"slices"

	"example.org/croze/internal/loss"
)

// Summary is the whole stock in a few figures.
type Summary struct {
	Filled, Empty int
	Total         loss.State // of all that is filled, with what vessels share in the intervals
}

// Summary sums the stock up.
func (v *View) Summary() Summary { return remember(v, "", "summary", v.summary) }

func (v *View) summary() Summary {
	var s Summary
	var codes []string
	for _, code := range v.State.VesselCodes() {
		if v.State.IsEmpty(code) {
			s.Empty++
			continue
		}
		s.Filled++
		codes = append(codes, code)
	}
	s.Total = v.Model.Total(codes, dayNumber(v.At))
	return s
}

// Total sums vessels up, with what they share in the intervals.
func (v *View) Total(codes []string) loss.State { return v.Model.Total(codes, dayNumber(v.At)) }

// PlaceNames lists the places, sorted.
func (v *View) PlaceNames() []string { return slices.Sorted(maps.Keys(v.State.Places)) }
