package book

import (
	"time"

	"example.org/croze/internal/cellar"
)

// RegisterNewVessel registers a vessel. Without a code one is issued; a code
// that is in use is refused. It returns the vessel as registered.
func (b *Book) RegisterNewVessel(id, who string, v cellar.Vessel) (cellar.Vessel, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if old, found, err := b.repeatedVessel(id); found || err != nil {
		return old, err
	}
	if v.Code == "" {
		v.Code = issue(b.state)
	}
	if other, taken := b.state.FindVessel(v.Code); taken {
		return v, looksTaken("code", v.Code, other.Code)
	}
	return b.saveVessel(id, who, v)
}

// repeatedVessel finds the vessel that a form sent twice has registered already.
func (b *Book) repeatedVessel(id string) (cellar.Vessel, bool, error) {
	if id == "" {
		return cellar.Vessel{}, false, nil
	}
	old, found, err := b.find(id)
	if err != nil || !found {
		return cellar.Vessel{}, false, err
	}
	e, err := decode(old)
	if f, ok := e.Fact.(*cellar.VesselFact); ok {
		return f.Vessel, true, nil
	}
	return cellar.Vessel{}, true, err
}

// RegisterVessel corrects what is registered of a vessel, or registers it
// under the code given.
func (b *Book) RegisterVessel(id, who string, v cellar.Vessel) (cellar.Vessel, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if known, ok := b.state.FindVessel(v.Code); ok {
		v.Code = known.Code
	}
	return b.saveVessel(id, who, v)
}

func (b *Book) saveVessel(id, who string, v cellar.Vessel) (cellar.Vessel, error) {
	if err := cellar.CheckVessel(&v); err != nil {
		return v, err
	}
	if err := checkLooks(b.state, v); err != nil {
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

// checkLooks refuses a maker's code that would be taken for another vessel's.
func checkLooks(s *cellar.State, v cellar.Vessel) error {
	if other := s.LooksTaken(v.MakerCode, v.Code); other != "" {
		return looksTaken("maker_code", v.MakerCode, other)
	}
	return nil
}

func looksTaken(field, written, by string) error {
	reason := "a vessel with this code is registered already"
	if written != by {
		reason = "vessel " + by + " goes by this already, or by what looks the same"
	}
	return &cellar.Problem{Kind: cellar.Refused, Field: field, Value: written, Reason: reason}
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
	return b.register(id, who, &cellar.PlaceFact{Place: p})
}

// register posts a registration as of now, once: a form sent twice has the
// same ID. The caller holds the lock.
func (b *Book) register(id, who string, fact cellar.Fact) error {
	if id != "" {
		if _, repeated, err := b.journal.Find(id); repeated || err != nil {
			return err
		}
	}
	_, err := b.post(id, who, b.recordingTime(), fact)
	return err
}

// RegisterInstrument registers an instrument, or a further certificate of one.
func (b *Book) RegisterInstrument(id, who string, i cellar.Instrument) error {
	if err := cellar.CheckInstrument(&i); err != nil {
		return err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.register(id, who, &cellar.InstrumentFact{Instrument: i})
}

// RegisterNewBatch registers what a run gave. The left-overs that went into it
// are named as in a request; a nil volume means all of it.
func (b *Book) RegisterNewBatch(id, who string, batch cellar.Batch, leftovers []cellar.RequestDraw) error {
	if err := cellar.CheckBatch(&batch); err != nil {
		return err
	}
	return b.whenRead(func() error { return b.registerBatch(id, who, batch, leftovers) })
}

func (b *Book) registerBatch(id, who string, batch cellar.Batch, leftovers []cellar.RequestDraw) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if _, repeated, err := b.find(id); id != "" && (repeated || err != nil) {
		return err
	}
	if b.state.Batches[batch.Name] != nil {
		return &cellar.Problem{Kind: cellar.Refused, Field: "batch", Value: batch.Name, Reason: "a batch with this name is registered already"}
	}
	made := b.recordingTime()
	if batch.MadeOn != 0 {
		made = batch.MadeOn.Time()
	}
	if batch.MadeOn > cellar.DayOf(b.edge.Now()) {
		return &cellar.Problem{Kind: cellar.Invalid, Field: "made_on", Value: batch.MadeOn.String(), Reason: "lies in the future"}
	}
	carried, err := b.carried(b.edge.Now(), made, leftovers)
	if err != nil {
		return err
	}
	_, err = b.post(id, who, made, &cellar.BatchFact{Batch: batch, CarriedIn: carried})
	return err
}

func (s *standing) carried(now, when time.Time, leftovers []cellar.RequestDraw) ([]cellar.Carry, error) {
	if len(leftovers) == 0 {
		return nil, nil
	}
	state, err := s.stateAt(when)
	if err != nil {
		return nil, err
	}
	e := estimator{model: s.model}
	carried, err := cellar.Resolver{State: state, Now: now, Estimate: e.of}.Carried(when, leftovers)
	return carried, e.or(err)
}
