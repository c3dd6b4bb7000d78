package cellar

import "slices"

// Round is a walk through the store that somebody began: the vessels to look
// at, in the order in which they are passed. A vessel of it is done when a
// sample of it was recorded after the round began, so nothing has to be ticked.
type Round struct {
	Name  string      `json:"name"`
	Stops []RoundStop `json:"stops"`
}

// RoundStop is one vessel of a round, and why it is in it.
type RoundStop struct {
	Vessel string `json:"vessel"`
	Reason string `json:"reason,omitempty"`
}

// Kind is "round".
func (*Round) Kind() string { return "round" }

// Subjects names nothing: to be on a list changes nothing about a vessel.
func (*Round) Subjects() []Account { return nil }

// CheckRound holds a round to a name and to vessels that are named once each.
func CheckRound(f *Round) error {
	if err := CheckName("name", f.Name); err != nil {
		return err
	}
	if len(f.Stops) == 0 || len(f.Stops) > MostStops {
		return invalid("stops", len(f.Stops), "a round has 1 to %d vessels: choose some", MostStops)
	}
	seen := make(map[string]bool)
	for _, stop := range f.Stops {
		if seen[stop.Vessel] {
			return invalid("stops", stop.Vessel, "is named twice")
		}
		seen[stop.Vessel] = true
		if err := CheckNote("reason", stop.Reason); err != nil {
			return err
		}
	}
	return nil
}

func (f *Round) apply(c *change) error {
	if err := CheckRound(f); err != nil {
		return err
	}
	for _, stop := range f.Stops {
		if _, err := c.vessel(stop.Vessel); err != nil {
			return err
		}
	}
	c.beside = func(s *State) { s.Rounds = append(s.Rounds, Begun{c.entry, f}) }
	return nil
}

// RoundSkip leaves a vessel of a round out, for a reason.
type RoundSkip struct {
	Round  string `json:"round"` // ID of the entry that began it
	Vessel string `json:"vessel"`
	Reason string `json:"reason"`
}

// Kind is "round_skip".
func (*RoundSkip) Kind() string { return "round_skip" }

// Subjects names the vessel.
func (f *RoundSkip) Subjects() []Account { return []Account{VesselAccount(f.Vessel)} }

// apply does not ask for the round: it can be taken back after vessels of it
// were skipped, and the skips then count for nothing.
func (f *RoundSkip) apply(c *change) error {
	if _, err := c.vessel(f.Vessel); err != nil {
		return err
	}
	c.beside = func(s *State) { s.Skips = append(s.Skips, Skipped{c.entry, f}) }
	return nil
}

// Rhythm says how many days may pass between two looks at a vessel of a kind;
// 0: none are asked for by the calendar.
type Rhythm struct {
	Of   VesselKind `json:"of"`
	Days int        `json:"days"`
}

// Kind is "rhythm".
func (*Rhythm) Kind() string { return "rhythm" }

// Subjects names nothing: it is about a kind.
func (*Rhythm) Subjects() []Account { return nil }

// CheckRhythm holds a rhythm to a kind that there is and up to ten years.
func CheckRhythm(f *Rhythm) error {
	if !slices.Contains(VesselKinds, f.Of) {
		return invalid("kind", f.Of, "use cask, hybrid, jar or tank")
	}
	if f.Days < 0 || f.Days > LongestRhythm {
		return invalid("days", f.Days, "must be 0 (never) to %d", LongestRhythm)
	}
	return nil
}

func (f *Rhythm) apply(c *change) error {
	if err := CheckRhythm(f); err != nil {
		return err
	}
	c.beside = func(s *State) { s.Rhythm[f.Of] = f.Days }
	return nil
}

// Begun is a round with the entry that began it.
type Begun struct {
	Entry Entry
	*Round
}

// Skipped is a vessel left out of a round, with the entry that says so.
type Skipped struct {
	Entry Entry
	*RoundSkip
}
