package cellar

import "example.org/croze/internal/spirit"

// PlaceFact registers a place, or corrects what is known of it.
type PlaceFact struct{ Place }

// Kind is "place".
func (*PlaceFact) Kind() string { return "place" }

// Subjects names the place.
func (f *PlaceFact) Subjects() []Account { return []Account{Account("place:" + f.Name)} }

func (f *PlaceFact) register(s *State) error {
	s.Places[f.Name] = f.Place
	return nil
}

// VesselFact registers a vessel, or corrects what is known of it.
type VesselFact struct{ Vessel }

// Kind is "vessel".
func (*VesselFact) Kind() string { return "vessel" }

// Subjects names the vessel.
func (f *VesselFact) Subjects() []Account { return []Account{VesselAccount(f.Code)} }

func (f *VesselFact) register(s *State) error {
	if err := s.testAliases(f.Vessel); err != nil {
		return err
	}
	s.alias(f.Code, f.Code)
	s.alias(f.MakerCode, f.Code)
	if v, known := s.Vessels[f.Code]; known {
		v.Vessel = f.Vessel
		if len(v.Events) == 0 {
			v.PlacedAt = f.Place
		}
		return nil
	}
	s.Vessels[f.Code] = &VesselState{Vessel: f.Vessel, PlacedAt: f.Place}
	return nil
}

// alias makes a vessel known under a code that is free.
func (s *State) alias(written, code string) {
	if written != "" {
		s.aliases[spelling(written)] = code
	}
}

func (s *State) testAlias(field, written, code string) error {
	if other, taken := s.aliases[spelling(written)]; taken && other != code {
		return refused(field, written, "vessel %s goes by this already", other)
	}
	return nil
}

// testAliases says whether a vessel's codes are free.
func (s *State) testAliases(v Vessel) error {
	if err := s.testAlias("code", v.Code, v.Code); err != nil {
		return err
	}
	return s.testAlias("maker_code", v.MakerCode, v.Code)
}

// Carry is left-over spirit from a vessel or an earlier batch that went into a run.
type Carry struct {
	From    Account       `json:"from"`
	Amount  spirit.Amount `json:"amount"`
	Empties bool          `json:"empties,omitempty"` // nothing is left where it came from
}

// BatchFact registers what a run gave. The amount made is all that came off,
// the alcohol of left-overs carried into it included.
type BatchFact struct {
	Batch
	CarriedIn []Carry `json:"carried_in,omitempty"`
}

// Kind is "batch".
func (*BatchFact) Kind() string { return "batch" }

// Subjects names the batch and where its left-overs came from.
func (f *BatchFact) Subjects() []Account {
	subjects := []Account{BatchAccount(f.Name)}
	for _, c := range f.CarriedIn {
		subjects = append(subjects, c.From)
	}
	return subjects
}

func (f *BatchFact) register(s *State) error {
	s.Batches[f.Name] = &BatchState{Batch: f.Batch, CarriedIn: f.CarriedIn}
	return nil
}

// apply posts what was made on the day it was made. A batch without a day is
// posted when it is first used.
func (f *BatchFact) apply(c *change) error {
	if f.MadeOn == 0 {
		return nil
	}
	return c.postMade(f.Name)
}
