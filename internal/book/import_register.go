package book

import (
	"time"

	"example.org/croze/internal/cellar"
)

func (r *importRun) registerPlaces() {
	for _, row := range r.set.Places {
		if err := cellar.CheckPlace(row.Value); err != nil {
			r.problem(row.File, row.Line, err)
			continue
		}
		if known, ok := r.state.Places[row.Value.Name]; ok && samePlace(known, row.Value) {
			continue
		}
		r.define(row.File, row.Line, "", r.book.recordingTime(), &cellar.PlaceFact{Place: row.Value})
		r.report.Places++
	}
}

func samePlace(a, b cellar.Place) bool {
	same := func(x, y *float64) bool { return x == y || x != nil && y != nil && *x == *y }
	return same(a.TempC, b.TempC) && same(a.HumidityPct, b.HumidityPct)
}

func (r *importRun) registerVessels() {
	for _, row := range r.set.Vessels {
		v := row.Value
		if v.Code == "" && r.there(row.File, row.Line, row.ID) {
			continue
		}
		if v.Code == "" {
			v.Code = issue(r.state)
			r.report.Issued = append(r.report.Issued, v.Code)
		}
		if err := cellar.CheckVessel(&v); err != nil {
			r.problem(row.File, row.Line, err)
			r.doubtful[row.Value.Code] = true
			continue
		}
		if other, taken := r.state.FindVessel(v.Code); taken {
			r.problem(row.File, row.Line, looksTaken("code", v.Code, other.Code))
			continue
		}
		if err := checkLooks(r.state, v); err != nil {
			r.problem(row.File, row.Line, err)
			continue
		}
		if _, known := r.state.Places[v.Place]; v.Place != "" && !known {
			r.define(row.File, row.Line, "", r.book.recordingTime(), &cellar.PlaceFact{Place: cellar.Place{Name: v.Place}})
		}
		r.define(row.File, row.Line, row.ID, r.book.recordingTime(), &cellar.VesselFact{Vessel: v})
		r.report.Vessels++
	}
}

// there reports a row that the journal has already.
func (r *importRun) there(file string, line int, id string) bool {
	_, there, err := r.book.journal.Find(id)
	if err == nil && there {
		err = &cellar.Problem{Kind: cellar.Refused, Reason: "this row is in the book already"}
	}
	if err != nil {
		r.problem(file, line, err)
	}
	return err != nil
}

// registerBatches returns the entries that post what was made, to be applied
// in their turn.
func (r *importRun) registerBatches() []cellar.Entry {
	var entries []cellar.Entry
	for _, row := range r.set.Batches {
		batch := row.Value
		if err := r.checkBatch(&batch); err != nil {
			r.problem(row.File, row.Line, err)
			r.doubtful[row.Value.Name] = true
			continue
		}
		made := r.book.recordingTime()
		if batch.MadeOn != 0 {
			made = batch.MadeOn.Time()
		}
		fact := &cellar.BatchFact{Batch: batch}
		if e, ok := r.define(row.File, row.Line, row.ID, made, fact); ok {
			entries = append(entries, e)
			r.report.Batches++
		}
	}
	return entries
}

func (r *importRun) checkBatch(b *cellar.Batch) error {
	if err := cellar.CheckBatch(b); err != nil {
		return err
	}
	if b.MadeOn > cellar.DayOf(r.book.edge.Now()) {
		return &cellar.Problem{Kind: cellar.Invalid, Field: "made_on", Value: b.MadeOn.String(), Reason: "lies in the future"}
	}
	if r.state.Batches[b.Name] != nil {
		return &cellar.Problem{Kind: cellar.Refused, Field: "batch", Value: b.Name, Reason: "a batch with this name is registered already"}
	}
	return nil
}

// define registers something in the state being built and drafts it.
func (r *importRun) define(file string, line int, id string, when time.Time, fact cellar.Fact) (cellar.Entry, bool) {
	draft, err := r.book.draft(r.book.edge, id, r.who, when, fact)
	if err != nil {
		r.problem(file, line, err)
		return cellar.Entry{}, false
	}
	e := cellar.Entry{
		Seq: r.book.head.Seq + uint64(len(r.drafts)) + 1, ID: draft.ID, RecordedAt: draft.RecordedAt,
		HappenedAt: when, Who: r.who, Fact: fact,
	}
	if err := r.state.Define(e); err != nil {
		r.problem(file, line, err)
		return cellar.Entry{}, false
	}
	r.drafts = append(r.drafts, draft)
	return e, true
}
