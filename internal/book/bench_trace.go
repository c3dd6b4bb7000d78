package book

import (
	"slices"
	"time"

	"example.org/croze/internal/cellar"
)

// Trace is where the liquid of an account came from, as far back as the book
// goes: every batch, and every vessel that it lay in, latest first.
type Trace struct {
	Batches []string
	Stays   []Stay
}

// Stay is the time that a part of the liquid spent in a vessel: one filling of
// it, up to when the liquid that is traced left it for the last time.
type Stay struct {
	Vessel   string
	From, To time.Time
	Fill     float64       // strength of what went into it at first, % vol; 0 where there is no wood
	Lines    []HistoryLine // what was done there meanwhile, oldest first
	Samples  int           // of those, looks at it
}

// Trace follows the movements backwards.
func (v *View) Trace(a cellar.Account) Trace {
	t := &tracing{view: v, open: map[cellar.Account]time.Time{a: v.At}, fills: v.fillings()}
	moves := v.State.Movements
	for end := len(moves); end > 0; {
		start := end - 1
		for start > 0 && moves[start-1].Seq == moves[end-1].Seq {
			start--
		}
		t.undo(moves[start:end])
		end = start
	}
	slices.Sort(t.found.Batches)
	slices.SortStableFunc(t.found.Stays, func(x, y Stay) int { return y.To.Compare(x.To) })
	return t.found
}

// tracing is a trace on its way back through the movements.
type tracing struct {
	view  *View
	open  map[cellar.Account]time.Time // accounts that liquid is traced in, and when it left them
	fills map[uint64][]string          // vessels that an entry filled, empty before
	found Trace
}

// fillings maps each entry to the vessels whose filling it began.
func (v *View) fillings() map[uint64][]string {
	return remember(v, "", "fillings", func() map[uint64][]string {
		fills := make(map[uint64][]string)
		for code, vessel := range v.State.Vessels {
			for _, e := range vessel.Events {
				if e.Filled {
					fills[e.Entry.Seq] = append(fills[e.Entry.Seq], code)
				}
			}
		}
		return fills
	})
}

// undo goes back over the movements of one entry.
func (t *tracing) undo(moves []cellar.Movement) {
	for _, m := range slices.Backward(moves) {
		if _, traced := t.open[m.To]; !traced || m.From == m.To {
			continue
		}
		if _, name := m.From.Split(); name == "" {
			continue // an end: nothing lies behind it
		}
		if _, traced := t.open[m.From]; !traced {
			t.open[m.From] = m.At
		}
		if name, ok := m.From.Batch(); ok && !slices.Contains(t.found.Batches, name) {
			t.found.Batches = append(t.found.Batches, name)
		}
	}
	for _, code := range t.fills[moves[0].Seq] {
		a := cellar.VesselAccount(code)
		if to, traced := t.open[a]; traced {
			t.found.Stays = append(t.found.Stays, t.view.stay(code, moves[0], to))
			delete(t.open, a)
		}
	}
}

// stay gathers what was done to a vessel from the entry that filled it up to a time.
func (v *View) stay(code string, fill cellar.Movement, to time.Time) Stay {
	s := Stay{Vessel: code, From: fill.At, To: to}
	for _, e := range v.State.Vessels[code].Events {
		at := e.Entry.HappenedAt
		if at.Before(s.From) || at.After(to) || at.Equal(s.From) && e.Entry.Seq < fill.Seq {
			continue
		}
		line := historyLine(e.Entry, code)
		line.Strength, line.Content = e.Reading, e.Content
		s.Lines = append(s.Lines, line)
		if line.Kind == "sample" {
			s.Samples++
		}
		if e.Filled && v.State.Vessels[code].Kind.Wooden() {
			s.Fill = float64(e.In.Strength())
		}
	}
	return s
}
