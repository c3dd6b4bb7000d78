package book

import (
	"slices"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// Statement says what was in some vessels when a period began, what came and
// went by cause, and what was in them at its end, by the books.
type Statement struct {
	Period
	Vessels  []string  `json:"vessels,omitempty"` // none: all, and what is made and not yet filled
	Sections []Section `json:"sections"`

	Closed uint64    `json:"closed_by,omitempty"` // the entry that closed just this period: the figures are frozen
	Since  []Section `json:"as_now,omitempty"`    // what they would be with what was found out after that, where it differs
	Cuts   []uint64  `json:"cuts,omitempty"`      // entries that closed other periods of which this has days
	Late   []uint64  `json:"late,omitempty"`      // entries that came after a closing and touched what was closed

	Unposted Unposted     `json:"estimate"`
	Losses   []ListedLoss `json:"losses"`
}

// Section is one account of a statement. Its lines but the last add up to the
// last, the closing, to the milligram, and so do their printed decimals.
type Section struct {
	Name  string `json:"section"`
	Lines []Line `json:"lines"`
}

// Line is one line of a section; what went out is below nothing.
type Line struct {
	Key          string        `json:"line"`
	Amount       spirit.Amount `json:"amount"`
	PureAlcoholL Thousandths   `json:"pure_alcohol_l"` // at 20 °C, as printed
	ProofGallons Thousandths   `json:"proof_gallons"`  // US, as printed
}

// The sections: of all that spirit is kept in, of vessels, of what is made and
// not yet filled, and of what soaked into wood.
const (
	SectionStore    = "store"
	SectionVessels  = "vessels"
	SectionUnfilled = "unfilled"
	SectionWood     = "wood"
)

// Line finds a line of the section; one that is not there is of nothing.
func (s Section) Line(key string) spirit.Amount {
	for _, l := range s.Lines {
		if l.Key == key {
			return l.Amount
		}
	}
	return spirit.Amount{}
}

// Statement works out the statement of a period for some vessels, or for all if
// none are named. The period may not end after the day of the view.
func (v *View) Statement(p Period, vessels []string) (*Statement, error) {
	codes, err := checkStatement(v.State, p, vessels)
	if err != nil {
		return nil, err
	}
	if p.To > v.On {
		return nil, &cellar.Problem{Kind: cellar.Refused, Field: "to", Value: p.To.String(), Reason: "a statement can be made up to " + v.On.String()}
	}
	ledger := newLedger(v.State, p, codes)
	s := &Statement{Period: p, Vessels: codes, Sections: ledger.sections()}
	for _, closing := range v.State.Closings {
		switch {
		case closing.From == p.From && closing.To == p.To && slices.Equal(closing.Vessels, codes):
			s.freeze(closing)
			s.Late = append(s.Late, v.lateFor(closing)...)
		case closing.To == p.From-1:
			s.Late = append(s.Late, v.lateFor(closing)...)
		case closing.From <= p.To && p.From <= closing.To:
			s.Cuts = append(s.Cuts, closing.Entry.Seq)
		}
	}
	slices.Sort(s.Late)
	s.Late = slices.Compact(s.Late)
	s.Unposted = v.unposted(ledger)
	s.Losses = v.listedLosses(p, ledger.codes())
	return s, nil
}

// checkStatement holds a period and vessels to what can be, and gives the
// vessels' codes sorted, each once.
func checkStatement(s *cellar.State, p Period, vessels []string) ([]string, error) {
	if p.From == 0 || p.To == 0 {
		return nil, &cellar.Problem{Kind: cellar.Invalid, Field: "from", Reason: "say from which day to which, as YYYY-MM-DD"}
	}
	if p.From > p.To {
		return nil, &cellar.Problem{Kind: cellar.Invalid, Field: "to", Value: p.To.String(), Reason: "the period ends before it begins, on " + p.From.String()}
	}
	var codes []string
	for _, written := range vessels {
		vessel, ok := s.FindVessel(written)
		if !ok {
			return nil, &cellar.Problem{Kind: cellar.NotFound, Field: "vessel", Value: written, Reason: "no such vessel is registered"}
		}
		codes = append(codes, vessel.Code)
	}
	slices.Sort(codes)
	return slices.Compact(codes), nil
}

// freeze puts the figures of a closing in the place of those worked out now,
// which it keeps where they differ.
func (s *Statement) freeze(closing cellar.Closing) {
	now := s.Sections
	s.Closed, s.Sections = closing.Entry.Seq, thawed(closing.Sections)
	if !sameAmounts(now, s.Sections) {
		s.Since = now
	}
}

// thawed makes the sections of a closing ready to print.
func thawed(frozen []cellar.FrozenSection) []Section {
	sections := make([]Section, len(frozen))
	for i, f := range frozen {
		sections[i].Name = f.Section
		for _, l := range f.Lines {
			sections[i].Lines = append(sections[i].Lines, Line{Key: l.Line, Amount: l.Amount})
		}
		sections[i].round()
	}
	return sections
}

func frozen(sections []Section) []cellar.FrozenSection {
	out := make([]cellar.FrozenSection, len(sections))
	for i, s := range sections {
		out[i].Section = s.Name
		for _, l := range s.Lines {
			out[i].Lines = append(out[i].Lines, cellar.FrozenLine{Line: l.Key, Amount: l.Amount})
		}
	}
	return out
}

func sameAmounts(a, b []Section) bool {
	return slices.EqualFunc(a, b, func(x, y Section) bool {
		return x.Name == y.Name && slices.EqualFunc(x.Lines, y.Lines, func(l, m Line) bool {
			return l.Key == m.Key && l.Amount == m.Amount
		})
	})
}
