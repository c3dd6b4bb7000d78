package book

import (
	"time"

	"example.org/croze/internal/cellar"
)

// Period is a span of days, both ends in it.
type Period struct {
	From cellar.Day `json:"from"`
	To   cellar.Day `json:"to"`
}

// Before is the period of the same length that ends where this one begins;
// whole months go before whole months.
func (p Period) Before() Period {
	if months := p.months(); months > 0 {
		return Period{addMonths(p.From, -months), p.From - 1}
	}
	return Period{2*p.From - p.To - 1, p.From - 1}
}

// After is the period of the same length that begins where this one ends;
// whole months follow whole months.
func (p Period) After() Period {
	if months := p.months(); months > 0 {
		return Period{p.To + 1, addMonths(p.To+1, months) - 1}
	}
	return Period{p.To + 1, 2*p.To - p.From + 1}
}

// months is of how many whole calendar months the period is, 0 if of none.
func (p Period) months() int {
	from, after := p.From.Time(), (p.To + 1).Time()
	if from.Day() != 1 || after.Day() != 1 {
		return 0
	}
	return 12*(after.Year()-from.Year()) + int(after.Month()) - int(from.Month())
}

// addMonths goes so many months on from the first of a month.
func addMonths(first cellar.Day, months int) cellar.Day {
	t := first.Time()
	return cellar.Date(t.Year(), t.Month()+time.Month(months), 1)
}
