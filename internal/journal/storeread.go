package journal

import "go.etcd.io/bbolt"

// A batch is copied out of one transaction and visited after it, so that a
// slow visitor, or one that appends, holds no writer up.
const (
	batchEntries = 512
	batchBytes   = 1 << 20
)

// Read implements Journal.
func (s *Store) Read(from uint64, visit func(Entry) error) error {
	from = max(from, 1)
	before, last, err := s.readFrom(from)
	for err == nil && before.Seq < last {
		var batch []Entry
		if batch, err = s.batch(before.Seq+1, last); err != nil {
			return err
		}
		if len(batch) == 0 {
			return &DamageError{before.Seq + 1, "it is missing"}
		}
		for _, e := range batch {
			if err := follows(before, e); err != nil {
				return err
			}
			if err := visit(e); err != nil {
				return err
			}
			before = e.head()
		}
	}
	return err
}

// readFrom returns the head that the entry at from follows, and the last Seq.
func (s *Store) readFrom(from uint64) (before Head, last uint64, err error) {
	err = s.view(func(tx *bbolt.Tx) error {
		head, err := headOf(tx)
		if err != nil || head.Seq < from {
			return err // and last is 0: there is nothing to read
		}
		last = head.Seq
		if from == 1 {
			return nil
		}
		line := tx.Bucket(bucketEntries).Get(seqKey(from - 1))
		if line == nil {
			return &DamageError{from - 1, "it is missing"}
		}
		e, err := decodeEntry(seqKey(from-1), line)
		before = e.head()
		return err
	})
	return before, last, err
}

// batch returns entries that stand together in the file, from first on.
func (s *Store) batch(first, last uint64) (entries []Entry, err error) {
	err = s.view(func(tx *bbolt.Tx) error {
		size := 0
		c := tx.Bucket(bucketEntries).Cursor()
		for key, line := c.Seek(seqKey(first)); key != nil; key, line = c.Next() {
			e, err := decodeEntry(key, line)
			if err != nil && len(entries) > 0 {
				return nil // the next batch begins with it, after these were visited
			}
			if err != nil || e.Seq > last {
				return err
			}
			entries = append(entries, e)
			if size += len(line); size > batchBytes || len(entries) == batchEntries {
				return nil
			}
		}
		return nil
	})
	return entries, err
}
