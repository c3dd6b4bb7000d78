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
	s.Total = v.Total(codes)
	return s
}

// FilledCount is how many vessels hold something.
func (v *View) FilledCount() (n int) {
	for code := range v.State.Vessels {
		if !v.State.IsEmpty(code) {
			n++
		}
	}
	return n
}

// Total sums vessels up, with what they share in the intervals.
func (v *View) Total(codes []string) loss.State {
	shares := make([]loss.Share, len(codes))
	for i, code := range slices.Sorted(slices.Values(codes)) {
		shares[i] = v.shareOf(code)
	}
	return v.Model.TotalOf(shares, dayNumber(v.At))
}

// shareOf is what a vessel adds to a total of now.
func (v *View) shareOf(code string) loss.Share {
	return remember(v, code, "share", func() loss.Share {
		share, _ := v.Model.Share(code, dayNumber(v.At))
		return share
	})
}

// pastShare is a vessel's share in the total of an earlier day, in the numbers
// of the estimator.
type pastShare struct {
	at    float64
	share loss.Share
	known bool
}

// pastShare remembers the share of the day last asked for.
func (v *View) pastShare(code string, at float64) (loss.Share, bool) {
	const name = "past share"
	if kept, ok := v.memo.get(v, code, name); ok && kept.(pastShare).at == at {
		return kept.(pastShare).share, kept.(pastShare).known
	}
	share, known := v.Model.Share(code, at)
	v.memo.put(v, code, name, pastShare{at, share, known})
	return share, known
}

// PlaceNames lists the places, sorted.
func (v *View) PlaceNames() []string { return slices.Sorted(maps.Keys(v.State.Places)) }
