package cellar

import "example.org/croze/internal/spirit"

// Close closes a period: its statement is frozen as it was worked out then, to
// the milligram. What is found out later shows in the next period.
type Close struct {
	From     Day                       `json:"from"`
	To       Day                       `json:"to"`                // the last day of it
	Vessels  []string                  `json:"vessels,omitempty"` // none: all, and what is made and not yet filled
	Sections []FrozenSection           `json:"sections"`
	Held     map[Account]spirit.Amount `json:"held"` // at its end, what holds nothing left out
	Note     string                    `json:"note,omitempty"`
}

// FrozenSection is one account of a statement.
type FrozenSection struct {
	Section string       `json:"section"`
	Lines   []FrozenLine `json:"lines"`
}

// FrozenLine is one line of it: below nothing for what went out.
type FrozenLine struct {
	Line   string        `json:"line"`
	Amount spirit.Amount `json:"amount"`
}

// Kind is "close".
func (*Close) Kind() string { return "close" }

// Subjects names the vessels closed, none for all.
func (f *Close) Subjects() []Account {
	subjects := make([]Account, len(f.Vessels))
	for i, code := range f.Vessels {
		subjects[i] = VesselAccount(code)
	}
	return subjects
}

// Covers says whether the close froze what an account held.
func (f *Close) Covers(a Account) bool {
	if len(f.Vessels) == 0 {
		return true
	}
	class, name := a.Split()
	if class != "vessel" && class != "indrink" {
		return false
	}
	for _, code := range f.Vessels {
		if code == name {
			return true
		}
	}
	return false
}

// overlaps says whether two closes share a day and a vessel.
func (f *Close) overlaps(o *Close) bool {
	if f.From > o.To || o.From > f.To {
		return false
	}
	if len(f.Vessels) == 0 || len(o.Vessels) == 0 {
		return true
	}
	for _, code := range f.Vessels {
		if o.Covers(VesselAccount(code)) {
			return true
		}
	}
	return false
}

func (f *Close) apply(c *change) error {
	switch {
	case f.From > f.To:
		return invalid("to", f.To, "the period ends before it begins, on %s", f.From)
	case f.To >= c.day:
		return refused("to", f.To, "a period can be closed from the day after its last day")
	}
	for _, code := range f.Vessels {
		if _, err := c.vessel(code); err != nil {
			return err
		}
	}
	for _, other := range c.state.Closings {
		if f.overlaps(other.Close) {
			return refused("from", f.From, "%s to %s is closed already by entry %d", other.From, other.To, other.Entry.Seq)
		}
	}
	c.closing = &Closing{c.entry, f}
	return nil
}

// Limit sets the yearly loss, in per cent of the pure alcohol, above which the
// loss of a vessel of a kind is listed for explanation; 0: none is.
type Limit struct {
	Of         VesselKind `json:"of"`
	PctPerYear float64    `json:"pct_per_year"`
}

// Kind is "limit".
func (*Limit) Kind() string { return "limit" }

// Subjects names nothing: it is about a kind.
func (*Limit) Subjects() []Account { return nil }

// CheckLimit holds a limit to a kind that there is and a sensible figure.
func CheckLimit(f *Limit) error {
	for _, kind := range VesselKinds {
		if f.Of == kind {
			if f.PctPerYear >= 0 && f.PctPerYear <= 100 {
				return nil
			}
			return invalid("pct_per_year", trimmed(f.PctPerYear), "must be 0 (no limit) to 100")
		}
	}
	return invalid("kind", f.Of, "use cask, hybrid, jar or tank")
}

func (f *Limit) apply(c *change) error {
	if err := CheckLimit(f); err != nil {
		return err
	}
	c.limit = f
	return nil
}

// Explain is words for a loss that a statement lists.
type Explain struct {
	Vessel string `json:"vessel"`
	From   Day    `json:"from"` // of the statement
	To     Day    `json:"to"`
	Words  string `json:"words"`
}

// Kind is "explain".
func (*Explain) Kind() string { return "explain" }

// Subjects names the vessel.
func (f *Explain) Subjects() []Account { return []Account{VesselAccount(f.Vessel)} }

func (f *Explain) apply(c *change) error {
	if _, err := c.vessel(f.Vessel); err != nil {
		return err
	}
	if f.From > f.To {
		return invalid("to", f.To, "the period ends before it begins, on %s", f.From)
	}
	c.explained = &Explanation{c.entry, f}
	return nil
}

// Closing is a period that is closed, with the entry that closed it.
type Closing struct {
	Entry Entry
	*Close
}

// Explanation is words for a loss, with the entry that they stand in.
type Explanation struct {
	Entry Entry
	*Explain
}
