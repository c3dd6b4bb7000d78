package cellar

import (
	"slices"

	"example.org/croze/internal/spirit"
)

// PlaceFact registers a place, or corrects what is known of it.
type PlaceFact struct{ Place }

// Kind is "place".
func (*PlaceFact) Kind() string { return "place" }

// Subjects names the place.
func (f *PlaceFact) Subjects() []Account { return []Account{Account("place:" + f.Name)} }

func (f *PlaceFact) test(*State) error { return named("place", f.Name) }

func (f *PlaceFact) register(s *State) { s.Places[f.Name] = f.Place }

// named refuses a registration without a name. The tests of registrations hold
// a fact only to what the fold cannot do without: what CheckPlace and its like
// refuse in new entries may become stricter, and old journals must still fold.
func named(field, name string) error {
	if name == "" {
		return invalid(field, nil, "it has no name")
	}
	return nil
}

// VesselFact registers a vessel, or corrects what is known of it.
type VesselFact struct{ Vessel }

// Kind is "vessel".
func (*VesselFact) Kind() string { return "vessel" }

// Subjects names the vessel.
func (f *VesselFact) Subjects() []Account { return []Account{VesselAccount(f.Code)} }

// test holds a vessel to a code that is free, a known kind and figures that
// losses and room can be worked out from.
func (f *VesselFact) test(s *State) error {
	if err := named("code", f.Code); err != nil {
		return err
	}
	if !slices.Contains(VesselKinds, f.Vessel.Kind) {
		return invalid("kind", f.Vessel.Kind, "use cask, hybrid, jar or tank")
	}
	if !(f.CapacityL > 0 && f.CapacityL <= LargestVolumeL) {
		return invalid("capacity_l", trimmed(float64(f.CapacityL)), "must be above 0 and at most %d", LargestVolumeL)
	}
	if !(f.TareKg >= 0 && f.TareKg <= LargestMassKg) {
		return invalid("tare_kg", trimmed(float64(f.TareKg)), "must be 0 to %d", LargestMassKg)
	}
	if err := s.testAlias("code", f.Code, f.Code); err != nil {
		return err
	}
	return s.testAlias("maker_code", f.MakerCode, f.Code)
}

func (f *VesselFact) register(s *State) {
	var v VesselState
	if known := s.Vessels[f.Code]; known != nil {
		v = *known
	}
	if v.MakerCode != "" {
		delete(s.aliases, spelling(v.MakerCode)) // corrected: it is free for the vessel that has it
		delete(s.alike, likeness(v.MakerCode))
	}
	s.alias(f.Code, f.Code)
	s.alias(f.MakerCode, f.Code)
	v.Vessel = f.Vessel
	if len(v.Events) == 0 {
		v.PlacedAt, v.PlacedIn = f.Place, f.Spot
	}
	s.Vessels[f.Code] = &v
}

// alias makes a vessel known under a code that is free.
func (s *State) alias(written, code string) {
	if written != "" {
		s.aliases[spelling(written)] = code
		s.alike.add(written, code)
	}
}

func (s *State) testAlias(field, written, code string) error {
	if other, taken := s.aliases[spelling(written)]; taken && other != code {
		return refused(field, written, "vessel %s goes by this already", other)
	}
	return nil
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

func (f *BatchFact) test(*State) error {
	if err := named("batch", f.Name); err != nil {
		return err
	}
	return checkAmount(f.Made)
}

func (f *BatchFact) register(s *State) {
	for _, grain := range f.GrainNames() {
		if key := likeness(grain); s.grains[key] == "" {
			s.grains[key] = grain
		}
	}
	s.Batches[f.Name] = &BatchState{Batch: f.Batch, CarriedIn: f.CarriedIn}
}

// apply posts what was made on the day it was made. A batch without a day is
// posted when it is first used.
func (f *BatchFact) apply(c *change) error {
	if f.MadeOn == 0 {
		return nil
	}
	return c.postMade(f.Name)
}
