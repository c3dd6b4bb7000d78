package journal

import (
	"context"
	"io"
	"iter"
	"os"
	"sync"
	"sync/atomic"

	"go.etcd.io/bbolt"
)

// The buckets of the file.
var (
	bucketStore   = []byte("croze")   // "format" → the format's number in decimal
	bucketEntries = []byte("entries") // Seq, 8 bytes, big end first → the entry's line of an export
	bucketIDs     = []byte("ids")     // ID → Seq, 8 bytes, big end first
	bucketAside   = []byte("aside")   // key → SHA-256 of key and value, and the value
	keyFormat     = []byte("format")
)

// Store is a journal in one file. One process may have it open for writing.
type Store struct {
	db     *bbolt.DB
	file   *os.File // the one that bbolt has open
	path   string
	notice string
	bell   bell

	writing sync.Mutex            // before bbolt's own lock, which a panic may leave locked
	broken  atomic.Pointer[error] // set once: why nothing more can be written
	locked  atomic.Bool           // bbolt may have kept its lock: do not ask it to close
	closing sync.Once
}

var _ Journal = (*Store)(nil)

// Path returns the path that the store was opened by.
func (s *Store) Path() string { return s.path }

// Notice says what the owner should know about how the store was found when
// it was opened. It is empty when all was well.
func (s *Store) Notice() string { return s.notice }

// Append implements Journal.
func (s *Store) Append(expected Head, drafts ...Draft) ([]Entry, error) {
	drafts, err := checked(drafts)
	if err != nil {
		return nil, err
	}
	s.writing.Lock()
	defer s.writing.Unlock()
	if err := s.writable(); err != nil {
		return nil, err // even for a repeat: what is there may not be on the disk
	}
	head, there, err := s.lookUp(drafts)
	if err != nil || there != nil {
		return there, err
	}
	if head != expected {
		return nil, unexpected(expected, head)
	}
	entries := link(head, drafts)
	if err := s.update(func(tx *bbolt.Tx) error { return putEntries(tx, entries) }); err != nil {
		return nil, err
	}
	s.bell.ring()
	return entries, nil
}

// lookUp returns the head, and the entries that the drafts have made already.
func (s *Store) lookUp(drafts []Draft) (head Head, there []Entry, err error) {
	err = s.view(func(tx *bbolt.Tx) error {
		there, err = repeated(drafts, func(id string) (Entry, bool, error) { return findIn(tx, id) })
		if err != nil {
			return err
		}
		head, err = headOf(tx)
		return err
	})
	return head, there, err
}

// Head implements Journal.
func (s *Store) Head() (head Head, err error) {
	err = s.view(func(tx *bbolt.Tx) error {
		head, err = headOf(tx)
		return err
	})
	return head, err
}

// Find implements Journal.
func (s *Store) Find(id string) (e Entry, ok bool, err error) {
	err = s.view(func(tx *bbolt.Tx) error {
		e, ok, err = findIn(tx, id)
		return err
	})
	return e, ok, err
}

// Watch implements Journal.
func (s *Store) Watch(ctx context.Context, from uint64) iter.Seq2[Entry, error] {
	return watch(ctx, from, &s.bell, s.Read)
}

// Put implements Journal.
func (s *Store) Put(key string, value []byte) error {
	if err := checkAside(key, value); err != nil {
		return err
	}
	s.writing.Lock()
	defer s.writing.Unlock()
	return s.update(func(tx *bbolt.Tx) error {
		if value == nil {
			return tx.Bucket(bucketAside).Delete([]byte(key))
		}
		return tx.Bucket(bucketAside).Put([]byte(key), withSum(key, value))
	})
}

// Get implements Journal.
func (s *Store) Get(key string) (value []byte, err error) {
	err = s.view(func(tx *bbolt.Tx) error {
		value, err = withoutSum(key, tx.Bucket(bucketAside).Get([]byte(key)))
		return err
	})
	return value, err
}

// Backup implements Journal. It writes the file as it is at this moment.
// Appending goes on meanwhile, unless the file comes to need more than
// firstMap of memory map: then it waits for the backup's end.
func (s *Store) Backup(w io.Writer) error {
	return s.view(func(tx *bbolt.Tx) error {
		_, err := tx.WriteTo(w)
		return err
	})
}

// Close implements Journal.
func (s *Store) Close() (err error) {
	s.closing.Do(func() {
		if s.locked.Load() {
			err = letGo(s.file)
		} else {
			err = s.db.Close()
		}
		s.bell.ring()
	})
	return err
}
