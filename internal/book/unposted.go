package book

import (
	"fmt"
	"slices"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/loss"
	"example.org/croze/internal/spirit"
)

// Unposted is what is thought to have left the vessels by the end of a period
// and that no gauge has posted yet, in litres of pure alcohol. It is an
// estimate, and no figure of a statement has it in it.
type Unposted struct {
	Vessels   int     `json:"vessels"` // that hold something and can be estimated
	BookL     float64 `json:"book_l"`
	EstimateL float64 `json:"estimate_l"`
	MeanL     float64 `json:"unposted_l"`
	LowL      float64 `json:"unposted_lo_l"` // the central 90 % lies between
	HighL     float64 `json:"unposted_hi_l"`
}

// unposted compares the books at the end of the period with the estimator, which
// knows of later looks as well.
func (v *View) unposted(l *ledger) Unposted {
	name := fmt.Sprint("unposted ", l.period.To, l.codes())
	return remember(v, "", name, func() Unposted { return v.unpostedAnew(l) })
}

func (v *View) unpostedAnew(l *ledger) Unposted {
	at := endOf(l.period.To)
	if at.After(v.At) {
		at = v.At
	}
	var shares []loss.Share
	var book spirit.Amount
	for _, code := range slices.Sorted(slices.Values(l.codes())) {
		held := l.closing[cellar.VesselAccount(code)]
		if held.IsZero() {
			continue
		}
		if share, known := v.pastShare(code, dayNumber(at)); known {
			shares = append(shares, share)
			book = book.Add(held)
		}
	}
	u := Unposted{Vessels: len(shares), BookL: float64(book.PureAlcohol())}
	if len(shares) == 0 {
		return u
	}
	total := v.Model.TotalOf(shares, dayNumber(at)).PureAlcoholL
	u.EstimateL = total.Mean
	u.MeanL, u.LowL, u.HighL = u.BookL-total.Mean, u.BookL-total.High, u.BookL-total.Low
	return u
}

// lateFor lists the entries that were written down after a period was closed
// and touched what was closed.
func (v *View) lateFor(closing cellar.Closing) []uint64 {
	var late []uint64
	days := make(map[string]cellar.Entry, len(v.Entries))
	for _, e := range v.Entries {
		days[e.ID] = e
	}
	for _, e := range v.Entries {
		if e.Seq > closing.Entry.Seq && touches(e, closing, days, len(v.Entries)) {
			late = append(late, e.Seq)
		}
	}
	return late
}

// ClosedIn is the number of the entry that closed the period that an entry is
// in, 0 if its period is open.
func (v *View) ClosedIn(e cellar.Entry) uint64 {
	for _, closing := range v.State.Closings {
		if e.Day() >= closing.From && touches(e, closing, nil, 0) {
			return closing.Entry.Seq
		}
	}
	return 0
}

// touches says whether an entry is about a day and a vessel that were closed; a
// void is about what it takes back.
func touches(e cellar.Entry, closing cellar.Closing, byID map[string]cellar.Entry, deepest int) bool {
	if void, ok := e.Fact.(*cellar.Void); ok {
		target, known := byID[void.Entry]
		return known && deepest > 0 && touches(target, closing, byID, deepest-1)
	}
	switch e.Fact.(type) {
	case *cellar.Close, *cellar.Explain, *cellar.Limit, *cellar.Note, *cellar.Move, *cellar.PlaceFact:
		return false
	}
	if e.Day() > closing.To {
		return false
	}
	for _, a := range e.Fact.Subjects() {
		if closing.Covers(a) {
			return true
		}
	}
	return false
}
