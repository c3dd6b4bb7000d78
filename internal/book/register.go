package book

import (
	"time"

	"example.org/croze/internal/cellar"
)

// RegisterVessel registers a vessel, or corrects one that is known by its
// code. Without a code one is issued. It returns the vessel as registered.
func (b *Book) RegisterVessel(id, who string, v cellar.Vessel) (cellar.Vessel, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if v.Code == "" {
		v.Code = issue(b.state)
	}
	if err := cellar.CheckVessel(&v); err != nil {
		return v, err
	}
	if v.Place != "" {
		if _, known := b.state.Places[v.Place]; !known {
			if _, err := b.post("", who, b.recordingTime(), &cellar.PlaceFact{Place: cellar.Place{Name: v.Place}}); err != nil {
				return v, err
			}
		}
	}
	_, err := b.post(id, who, b.recordingTime(), &cellar.VesselFact{Vessel: v})
	return v, err
}

// issue returns the first code of the book's own form that is not in use.
func issue(s *cellar.State) string {
	for n := uint64(len(s.Vessels)); ; n++ {
		code := cellar.IssueCode(n)
		if _, taken := s.FindVessel(code); !taken {
			return code
		}
	}
}

// RegisterPlace registers a place or corrects its climate.
func (b *Book) RegisterPlace(id, who string, p cellar.Place) error {
	if err := cellar.CheckPlace(p); err != nil {
		return err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	_, err := b.post(id, who, b.recordingTime(), &cellar.PlaceFact{Place: p})
	return err
}

// RegisterBatch registers what a run gave. The left-overs that went into it
// are named as in a request; nil volumes mean all of it.
func (b *Book) RegisterBatch(id, who string, batch cellar.Batch, leftovers []cellar.RequestDraw) error {
	if err := cellar.CheckBatch(&batch); err != nil {
		return err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	made := b.recordingTime()
	if batch.MadeOn != 0 {
		made = batch.MadeOn.Time()
	}
	if batch.MadeOn > cellar.DayOf(b.edge.Now()) {
		return &cellar.Problem{Kind: cellar.Invalid, Field: "made_on", Value: batch.MadeOn.String(), Reason: "lies in the future"}
	}
	carried, err := b.carried(made, leftovers)
	if err != nil {
		return err
	}
	_, err = b.post(id, who, made, &cellar.BatchFact{Batch: batch, CarriedIn: carried})
	return err
}

func (b *Book) carried(when time.Time, leftovers []cellar.RequestDraw) ([]cellar.Carry, error) {
	if len(leftovers) == 0 {
		return nil, nil
	}
	state, err := b.stateAt(when)
	if err != nil {
		return nil, err
	}
	return cellar.Resolver{State: state, Now: b.edge.Now(), Estimate: b.estimate}.Carried(when, leftovers)
}
