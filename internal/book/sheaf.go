package book

import (
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
)

// sheaf is entries that go into the journal in one piece, each tried on what
// those before it leave: many who write at once cost one turn of the disk.
type sheaf struct {
	standing // the book as it will be
	edge     Edge
	drafts   []journal.Draft
}

// sheaf begins one. The caller holds the lock.
func (b *Book) sheaf() *sheaf { return &sheaf{standing: b.standing, edge: b.edge} }

// add tries a fact against the whole history and returns its number in the sheaf.
// What cannot have happened leaves the sheaf as it was.
func (s *sheaf) add(id, who string, when time.Time, fact cellar.Fact) (int, error) {
	draft, err := s.draft(s.edge, id, who, when, fact)
	if err != nil {
		return 0, err
	}
	e, err := decode(journal.Entry{
		Seq: s.head.Seq + uint64(len(s.drafts)) + 1, ID: draft.ID, RecordedAt: draft.RecordedAt, HappenedAt: draft.HappenedAt,
		Who: who, Kind: draft.Kind, Body: draft.Body,
	})
	if err != nil {
		return 0, err
	}
	next, err := s.with(e)
	if err != nil {
		return 0, err
	}
	s.state, s.entries, s.drafts = next, append(s.entries, e), append(s.drafts, draft)
	return len(s.drafts) - 1, nil
}

// with is the state with one more entry, or why it cannot be.
func (s *sheaf) with(e cellar.Entry) (*cellar.State, error) {
	if !s.state.Follows(e) {
		return cellar.Fold(append(slices.Clip(s.entries), e), time.Time{})
	}
	next := s.state
	if len(s.drafts) == 0 { // others may be looking at it
		if err := next.Test(e); err != nil {
			return nil, err
		}
		next = next.Copy()
	}
	return next, next.Extend(e)
}

func (s *standing) draft(edge Edge, id, who string, when time.Time, fact cellar.Fact) (journal.Draft, error) {
	body, err := json.Marshal(fact)
	if err != nil {
		return journal.Draft{}, err
	}
	if err := cellar.CheckWriting(body); err != nil {
		return journal.Draft{}, err
	}
	now := s.recordingTime(edge.Now())
	if id == "" {
		id = edge.NewID(now)
	}
	draft, err := journal.Settled(journal.Draft{ID: id, RecordedAt: now, HappenedAt: when, Who: who, Kind: fact.Kind(), Body: body})
	if err != nil {
		return draft, fmt.Errorf("nothing was saved: %w", err)
	}
	return draft, nil
}

// find returns the number in the sheaf of what has an ID.
func (s *sheaf) find(id string) (int, bool) {
	i := slices.IndexFunc(s.drafts, func(d journal.Draft) bool { return id != "" && d.ID == id })
	return i, i >= 0
}

// commit puts a sheaf into the journal and moves the book on. The caller holds the lock.
func (b *Book) commit(s *sheaf) ([]cellar.Entry, error) {
	if len(s.drafts) == 0 {
		return nil, nil
	}
	written, err := b.append(s.drafts)
	if err != nil {
		return nil, err
	}
	b.moveOn(s.state, written)
	return written, nil
}

// post is a sheaf of one entry. The caller holds the lock.
func (b *Book) post(id, who string, when time.Time, fact cellar.Fact) (cellar.Entry, error) {
	s := b.sheaf()
	if _, err := s.add(id, who, when, fact); err != nil {
		return cellar.Entry{}, err
	}
	written, err := b.commit(s)
	if err != nil {
		return cellar.Entry{}, err
	}
	return written[0], nil
}

// moveOn takes the state after new entries and brings the model up to date.
func (b *Book) moveOn(next *cellar.State, written []cellar.Entry) {
	if len(next.Vessels) < len(b.state.Vessels) { // a registration was taken back
		defer b.memo.forgetTable()
	}
	b.state = next
	b.unfit += len(written)
	codes := vesselsOf(b.state, b.entries, written)
	if b.model != nil || b.fitting {
		b.refit(codes)
	}
	b.show(codes)
}
