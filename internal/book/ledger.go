package book

import (
	"slices"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// ledger makes the sections of a statement out of the movements. What was in an
// account on a day is the sum of what moved up to that day, so that opening and
// lines add up to the closing whatever the period and the vessels.
type ledger struct {
	state   *cellar.State
	period  Period
	chosen  map[string]bool // nil: all vessels
	opening map[cellar.Account]spirit.Amount
	closing map[cellar.Account]spirit.Amount
	frozen  map[cellar.Account]spirit.Amount // opening by a closing of the period before
}

func newLedger(s *cellar.State, p Period, codes []string) *ledger {
	l := &ledger{state: s, period: p, opening: heldOn(s, p.From-1), closing: heldOn(s, p.To)}
	if len(codes) > 0 {
		l.chosen = make(map[string]bool)
		for _, code := range codes {
			l.chosen[code] = true
		}
	}
	l.frozen = frozenOn(s, p.From-1, l.opening)
	return l
}

// heldOn is what every account with a story held at the end of a day, by the
// civil dates on which things happened.
func heldOn(s *cellar.State, day cellar.Day) map[cellar.Account]spirit.Amount {
	held := make(map[cellar.Account]spirit.Amount)
	for _, m := range s.Movements {
		if cellar.DayOf(m.At) > day {
			continue
		}
		if _, name := m.From.Split(); name != "" {
			held[m.From] = held[m.From].Sub(m.Amount)
		}
		if _, name := m.To.Split(); name != "" {
			held[m.To] = held[m.To].Add(m.Amount)
		}
	}
	return held
}

// frozenOn is what accounts held at the end of a day on which a closed period
// ends, as it was frozen.
func frozenOn(s *cellar.State, day cellar.Day, now map[cellar.Account]spirit.Amount) map[cellar.Account]spirit.Amount {
	frozen := make(map[cellar.Account]spirit.Amount)
	for _, closing := range s.Closings {
		if closing.To != day {
			continue
		}
		for a := range now {
			if closing.Covers(a) {
				frozen[a] = spirit.Amount{}
			}
		}
		for a, amount := range closing.Held {
			frozen[a] = amount
		}
	}
	return frozen
}

// codes lists the vessels of the statement.
func (l *ledger) codes() []string {
	if l.chosen == nil {
		return l.state.VesselCodes()
	}
	return slices.DeleteFunc(l.state.VesselCodes(), func(code string) bool { return !l.chosen[code] })
}

// inside says whether a section is about an account.
func (l *ledger) inside(section string, a cellar.Account) bool {
	class, name := a.Split()
	chosen := l.chosen == nil || l.chosen[name]
	switch section {
	case SectionStore:
		return class == "vessel" || class == "batch"
	case SectionVessels:
		return class == "vessel" && chosen
	case SectionUnfilled:
		return class == "batch"
	}
	return class == "indrink" && chosen
}

func (l *ledger) sections() []Section {
	names := []string{SectionVessels, SectionWood}
	if l.chosen == nil {
		names = []string{SectionStore, SectionVessels, SectionUnfilled, SectionWood}
	}
	sections := make([]Section, len(names))
	for i, name := range names {
		sections[i] = l.section(name)
	}
	return sections
}

func (l *ledger) section(name string) Section {
	sums := make(map[string]spirit.Amount)
	l.open(name, sums)
	for _, m := range l.state.Movements {
		day := cellar.DayOf(m.At)
		in, out := l.inside(name, m.To), l.inside(name, m.From)
		switch {
		case day < l.period.From || day > l.period.To || in == out:
		case in:
			key := keyOfIn(m)
			sums[key] = sums[key].Add(m.Amount)
		default:
			key := keyOfOut(m)
			sums[key] = sums[key].Sub(m.Amount)
		}
	}
	for a, amount := range l.closing {
		if l.inside(name, a) {
			sums[keyClosing] = sums[keyClosing].Add(amount)
		}
	}
	section := Section{Name: name}
	for _, key := range lineOrder {
		if amount := sums[key]; !amount.IsZero() || key == keyOpening || key == keyClosing {
			section.Lines = append(section.Lines, Line{Key: key, Amount: amount})
		}
	}
	section.round()
	return section
}

// open sums what the section begins with: what was frozen at the end of the
// period before, and apart from it what was found out about that since.
func (l *ledger) open(name string, sums map[string]spirit.Amount) {
	for a, amount := range l.opening {
		if !l.inside(name, a) {
			continue
		}
		if was, is := l.frozen[a]; is {
			sums[keyAdjustment] = sums[keyAdjustment].Add(amount.Sub(was))
			amount = was
		}
		sums[keyOpening] = sums[keyOpening].Add(amount)
	}
	for a, was := range l.frozen {
		if _, still := l.opening[a]; !still && l.inside(name, a) {
			sums[keyOpening] = sums[keyOpening].Add(was)
			sums[keyAdjustment] = sums[keyAdjustment].Sub(was)
		}
	}
}

// held is what is not nothing at the end, for a closing to keep.
func (l *ledger) held() map[cellar.Account]spirit.Amount {
	held := make(map[cellar.Account]spirit.Amount)
	for a, amount := range l.closing {
		within := l.inside(SectionVessels, a) || l.inside(SectionWood, a) || l.chosen == nil && l.inside(SectionUnfilled, a)
		if within && !amount.IsZero() {
			held[a] = amount
		}
	}
	return held
}
