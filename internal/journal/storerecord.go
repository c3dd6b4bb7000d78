package journal

import (
	"encoding/binary"
	"encoding/json"
	"fmt"

	"go.etcd.io/bbolt"
)

// seqKey makes the keys' order the order of Seq.
func seqKey(seq uint64) []byte { return binary.BigEndian.AppendUint64(nil, seq) }

// putEntries writes entries that follow the last one.
func putEntries(tx *bbolt.Tx, entries []Entry) error {
	list, ids := tx.Bucket(bucketEntries), tx.Bucket(bucketIDs)
	list.FillPercent = 0.95 // keys only ever come at the end, so pages need no room in the middle
	for _, e := range entries {
		line, err := json.Marshal(e)
		if err != nil {
			return err
		}
		if err := list.Put(seqKey(e.Seq), line); err != nil {
			return err
		}
		if err := ids.Put([]byte(e.ID), seqKey(e.Seq)); err != nil {
			return err
		}
	}
	return nil
}

// headOf returns the head, which is not kept but read off the last entry.
func headOf(tx *bbolt.Tx) (Head, error) {
	key, line := tx.Bucket(bucketEntries).Cursor().Last()
	if key == nil {
		return Head{}, nil
	}
	e, err := decodeEntry(key, line)
	if err != nil {
		return Head{}, err
	}
	if hashOf(e) != e.Hash {
		return Head{}, &DamageError{e.Seq, "its fields do not give its hash"}
	}
	return e.head(), nil
}

// findIn returns the entry with an ID.
func findIn(tx *bbolt.Tx, id string) (Entry, bool, error) {
	key := tx.Bucket(bucketIDs).Get([]byte(id))
	if key == nil {
		return Entry{}, false, nil
	}
	line := tx.Bucket(bucketEntries).Get(key)
	if line == nil {
		return Entry{}, false, &DamageError{0, fmt.Sprintf("the entry with the ID %s is not in its place", id)}
	}
	e, err := decodeEntry(key, line)
	if err == nil && (e.ID != id || hashOf(e) != e.Hash) {
		err = &DamageError{e.Seq, fmt.Sprintf("it is not as it was recorded with the ID %s", id)}
	}
	return e, err == nil, err
}

// decodeEntry reads what putEntries wrote. The entry keeps none of the bytes
// of line, which are gone with their transaction.
func decodeEntry(key, line []byte) (Entry, error) {
	if len(key) != 8 {
		return Entry{}, &DamageError{0, fmt.Sprintf("an entry's key has %d bytes, not 8", len(key))}
	}
	seq := binary.BigEndian.Uint64(key)
	var e Entry
	if err := json.Unmarshal(line, &e); err != nil {
		return Entry{}, &DamageError{seq, "it cannot be read: " + err.Error()}
	}
	if e.Seq != seq {
		return Entry{}, &DamageError{seq, fmt.Sprintf("entry %d stands in its place", e.Seq)}
	}
	return e, nil
}
