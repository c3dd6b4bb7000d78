package book

import (
	"slices"

	"example.org/croze/internal/cellar"
)

// BeginRound begins a round through vessels, in the order in which they are
// passed. Sending the same ID again gives the round that was begun.
func (b *Book) BeginRound(id, who, name string, codes []string) (cellar.Entry, error) {
	fact := &cellar.Round{Name: name}
	err := b.See(Moment{}, func(v *View) error {
		stops, err := v.stops(codes)
		fact.Stops = stops
		return err
	})
	if err != nil {
		return cellar.Entry{}, err
	}
	if err := cellar.CheckRound(fact); err != nil {
		return cellar.Entry{}, err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if old, repeated, err := b.repeated(id, fact.Kind()); repeated || err != nil {
		return old, err
	}
	return b.post(id, who, b.recordingTime(), fact)
}

// stops puts vessels, named in any spelling, into walking order with the
// reasons for a look at each.
func (v *View) stops(codes []string) ([]cellar.RoundStop, error) {
	wanted := make(map[string]bool)
	for _, written := range codes {
		vessel, ok := v.State.FindVessel(written)
		if !ok {
			return nil, &cellar.Problem{Kind: cellar.NotFound, Field: "vessel", Value: written, Reason: "no such vessel is registered"}
		}
		if v.State.IsEmpty(vessel.Code) {
			return nil, &cellar.Problem{Kind: cellar.Refused, Field: "vessel", Value: written, Reason: "it is empty: there is nothing to sample"}
		}
		wanted[vessel.Code] = true
	}
	var stops []cellar.RoundStop
	for _, line := range v.Due() {
		if wanted[line.Vessel] {
			stops = append(stops, cellar.RoundStop{Vessel: line.Vessel, Reason: line.Reason()})
		}
	}
	return stops, nil
}

// SetRhythm sets the days between looks for kinds of vessel. Those that are so
// already are left alone, so that a form sent twice changes nothing.
func (b *Book) SetRhythm(who string, days map[cellar.VesselKind]int) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, kind := range cellar.VesselKinds {
		wanted, given := days[kind]
		known, set := b.state.Rhythm[kind]
		if !given || set && known == wanted {
			continue
		}
		if err := cellar.CheckRhythm(&cellar.Rhythm{Of: kind, Days: wanted}); err != nil {
			return err
		}
		if _, err := b.post("", who, b.recordingTime(), &cellar.Rhythm{Of: kind, Days: wanted}); err != nil {
			return err
		}
	}
	return nil
}

// SkipRest skips every vessel of a round that is still open, for one reason.
func (b *Book) SkipRest(who, round, reason string) error {
	var open []string
	err := b.See(Moment{}, func(v *View) error {
		line, err := v.FindRound(round)
		for _, stop := range line.Stops {
			if stop.Open() {
				open = append(open, stop.Vessel)
			}
		}
		return err
	})
	if err != nil {
		return err
	}
	for _, code := range slices.Compact(open) {
		request := cellar.Request{When: b.Now(), Entry: "round_skip", Round: round, Vessel: code, Note: reason}
		if _, err := b.Record(Submission{Who: who, Request: request}); err != nil {
			return err
		}
	}
	return nil
}

// checkSkip says whether a vessel is on the round that it is to be skipped in.
func (s *standing) checkSkip(r cellar.Request) error {
	for _, begun := range s.state.Rounds {
		if begun.Entry.ID != r.Round {
			continue
		}
		vessel, known := s.state.FindVessel(r.Vessel)
		if known && slices.ContainsFunc(begun.Stops, func(s cellar.RoundStop) bool { return s.Vessel == vessel.Code }) {
			return nil
		}
		return &cellar.Problem{Kind: cellar.NotFound, Field: "vessel", Value: r.Vessel, Reason: "is not in this round"}
	}
	return &cellar.Problem{Kind: cellar.NotFound, Field: "round", Value: r.Round, Reason: "no such round was begun, or it was taken back"}
}
