package cellar

import (
	"slices"
	"time"
)

// Fold applies the standing entries, in the order in which things happened,
// up to and including `until` (zero: all). The entries may come in any order
// of time but must be in journal order. It stops at the first entry that
// cannot have happened and says which.
func Fold(entries []Entry, until time.Time) (*State, error) {
	s := NewState()
	standing := Standing(entries)
	for _, e := range standing {
		if err := s.Define(e); err != nil {
			return nil, &EntryError{e, err}
		}
	}
	slices.SortStableFunc(standing, compareTime)
	for _, e := range standing {
		if !until.IsZero() && e.HappenedAt.After(until) {
			break
		}
		if err := s.Apply(e); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// Define registers what an entry defines, whenever it happened.
func (s *State) Define(e Entry) error {
	d, ok := e.Fact.(definition)
	if !ok {
		return nil
	}
	if err := d.test(s); err != nil {
		return err
	}
	d.register(s)
	return nil
}

// Follows says whether an entry can be applied to the state as it is, because
// it comes after everything in it and takes nothing back and corrects nothing.
func (s *State) Follows(e Entry) bool {
	switch f := e.Fact.(type) {
	case *Void:
		return false
	case *VesselFact:
		return s.Vessels[f.Code] == nil
	case *BatchFact:
		if s.Batches[f.Name] != nil || len(f.CarriedIn) > 0 {
			return false
		}
	case *PlaceFact, *InstrumentFact, *ClimateFact:
		return true
	}
	return s.last.Fact == nil || compareTime(s.last, e) < 0
}

// Extend registers and applies one entry that Follows. On an error the state
// is as it was.
func (s *State) Extend(e Entry) error {
	if _, registers := e.Fact.(definition); registers {
		s.ownRegisters()
	}
	if err := s.Define(e); err != nil {
		return &EntryError{e, err}
	}
	if err := s.Apply(e); err != nil {
		s.undefine(e)
		return err
	}
	return nil
}

// undefine takes back a registration whose entry was refused.
func (s *State) undefine(e Entry) {
	if f, ok := e.Fact.(*BatchFact); ok {
		delete(s.Batches, f.Name)
	}
}

// Apply applies one entry, wholly or not at all.
func (s *State) Apply(e Entry) error {
	m, ok := e.Fact.(mover)
	if !ok {
		return nil
	}
	c := newChange(s, e)
	if err := m.apply(c); err != nil {
		return &EntryError{e, err}
	}
	if err := c.check(); err != nil {
		return &EntryError{e, err}
	}
	c.commit()
	return nil
}

// Test says whether Extend would take an entry, and changes nothing.
func (s *State) Test(e Entry) error {
	switch f := e.Fact.(type) {
	case definition:
		if err := f.test(s); err != nil { // what Follows can fail in nothing else
			return &EntryError{e, err}
		}
	case mover:
		c := newChange(s, e)
		if err := f.apply(c); err != nil {
			return &EntryError{e, err}
		}
		if err := c.check(); err != nil {
			return &EntryError{e, err}
		}
	}
	return nil
}
