package book

import (
	"fmt"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
)

// find looks for the entry of an ID in the journal. What is there and the book
// does not know yet was written by an append that failed afterwards, or by
// somebody else: it counts as saved only when the journal confirms that it is
// on the disk, and then the book takes it in. The caller holds the lock.
func (b *Book) find(id string) (journal.Entry, bool, error) {
	old, found, err := b.journal.Find(id)
	if err != nil || !found || old.Seq <= b.head.Seq {
		return old, found, err
	}
	_, err = b.journal.Append(b.head, journal.Draft{
		ID: old.ID, RecordedAt: old.RecordedAt, HappenedAt: old.HappenedAt, Who: old.Who, Kind: old.Kind, Body: old.Body,
	})
	if err != nil {
		return journal.Entry{}, false, fmt.Errorf("it is not sure that entry %d was saved: %w", old.Seq, err)
	}
	return old, true, b.catchUp()
}

// catchUp takes in what the journal holds beyond what the book knows. The
// caller holds the lock.
func (b *Book) catchUp() error {
	var missed []cellar.Entry
	head := b.head
	err := b.journal.Read(b.head.Seq+1, func(e journal.Entry) error {
		decoded, err := decode(e)
		missed, head = append(missed, decoded), journal.Head{Seq: e.Seq, Hash: e.Hash}
		return err
	})
	if err != nil || len(missed) == 0 {
		return err
	}
	all := append(b.entries[:len(b.entries):len(b.entries)], missed...)
	state, err := cellar.Fold(all, time.Time{})
	if err != nil {
		return fmt.Errorf("what somebody else wrote to the journal cannot be replayed: %w", err)
	}
	b.entries, b.head = all, head
	b.moveOn(state, missed)
	return nil
}
