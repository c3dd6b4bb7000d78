package journal

import (
	"bytes"
	"fmt"
)

// head returns the head of a journal whose last entry is e.
func (e Entry) head() Head { return Head{e.Seq, e.Hash} }

// link gives each draft, already checked, its place after head.
func link(head Head, drafts []Draft) []Entry {
	entries := make([]Entry, len(drafts))
	for i, d := range drafts {
		e := Entry{
			Seq: head.Seq + 1, ID: d.ID,
			RecordedAt: d.RecordedAt, HappenedAt: d.HappenedAt,
			Who: d.Who, Kind: d.Kind, Body: d.Body, Prev: head.Hash,
		}
		e.Hash = hashOf(e)
		entries[i], head = e, e.head()
	}
	return entries
}

// follows returns a *DamageError unless e is whole and comes right after before.
func follows(before Head, e Entry) error {
	want := before.Seq + 1
	switch {
	case e.Seq != want:
		return &DamageError{want, fmt.Sprintf("entry %d stands in its place", e.Seq)}
	case e.Prev != before.Hash:
		return &DamageError{want, fmt.Sprintf("it names %s as the hash of the entry before, which has %s", e.Prev, before.Hash)}
	case hashOf(e) != e.Hash:
		return &DamageError{want, fmt.Sprintf("its fields give the hash %s, but it was recorded with %s", hashOf(e), e.Hash)}
	}
	return nil
}

// sameContent says whether recording d again would record what e says.
func sameContent(e Entry, d Draft) bool {
	return e.ID == d.ID && timeText(e.HappenedAt) == timeText(d.HappenedAt) &&
		e.Who == d.Who && e.Kind == d.Kind && bytes.Equal(e.Body, d.Body)
}

// repeated returns the entries that the drafts made when they were sent
// before. It returns nil if none of them is there.
func repeated(drafts []Draft, find func(id string) (Entry, bool, error)) ([]Entry, error) {
	var there []Entry
	for _, d := range drafts {
		e, ok, err := find(d.ID)
		if err != nil {
			return nil, err
		}
		if !ok {
			continue
		}
		if !sameContent(e, d) {
			return nil, fmt.Errorf("%w: %s is entry %d", ErrDuplicate, d.ID, e.Seq)
		}
		there = append(there, e)
	}
	if len(there) > 0 && len(there) < len(drafts) {
		return nil, fmt.Errorf("%w: %d of %d entries are there and the others are not", ErrDuplicate, len(there), len(drafts))
	}
	return there, nil
}

// unexpected is the error of an append to a head that is not the expected one.
func unexpected(expected, head Head) error {
	return fmt.Errorf("%w: it was at entry %d and is at entry %d: look again", ErrConflict, expected.Seq, head.Seq)
}
