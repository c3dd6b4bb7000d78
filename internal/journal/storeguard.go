package journal

import (
	"errors"
	"fmt"
	"runtime/debug"

	"go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"
)

// guarded runs f, and makes an error of the panics and memory faults that
// bbolt answers a damaged file with.
func guarded(f func() error) (panicked bool, err error) {
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	defer func() {
		if p := recover(); p != nil {
			panicked = true
			err = &DamageError{0, fmt.Sprintf("a page of the file makes no sense (%v): take the last good backup", p)}
		}
	}()
	return false, f()
}

// view runs f on the store as it is at this moment.
func (s *Store) view(f func(*bbolt.Tx) error) error {
	if s.locked.Load() {
		return *s.broken.Load()
	}
	_, err := guarded(func() error { return s.db.View(f) })
	return asClosed(err)
}

// writable returns why nothing more can be written, if that is so.
func (s *Store) writable() error {
	if broken := s.broken.Load(); broken != nil {
		return *broken
	}
	return nil
}

// update makes the changes of f durable, or none of them. The caller holds
// s.writing.
func (s *Store) update(f func(*bbolt.Tx) error) error {
	if err := s.writable(); err != nil {
		return err
	}
	id, refused := 0, error(nil)
	panicked, err := guarded(func() error {
		return s.db.Update(func(tx *bbolt.Tx) error {
			id, refused = tx.ID(), f(tx)
			return refused
		})
	})
	switch {
	case panicked:
		s.broken.Store(&err)
		s.locked.Store(true)
		return err
	case err == nil || refused != nil || id == 0:
		return asClosed(err)
	}
	return s.commitFailed(id, err)
}

// commitFailed says what a commit that did not end well has left. The header
// is written last: as long as the file shows the one before, nothing has
// changed and trying again is safe. Otherwise the change is there, but perhaps
// not on the disk, and after a failed flush nothing that the file shows can be
// trusted until it is opened anew.
func (s *Store) commitFailed(id int, cause error) error {
	now := id
	_, err := guarded(func() error {
		return s.db.View(func(tx *bbolt.Tx) error {
			now = tx.ID()
			return nil
		})
	})
	if err == nil && now < id {
		return fmt.Errorf("nothing was recorded, because the disk did not take it: make room or look at the disk, then try again: %w", cause)
	}
	err = fmt.Errorf("the disk failed while it wrote: stop croze, look at the disk and start again; sending the same entry once more is safe: %w", cause)
	s.broken.Store(&err)
	return err
}

// asClosed gives bbolt's errors about closed and read-only files our names.
func asClosed(err error) error {
	switch {
	case errors.Is(err, berrors.ErrDatabaseNotOpen):
		return ErrClosed
	case errors.Is(err, berrors.ErrDatabaseReadOnly):
		return ErrReadOnly
	}
	return err
}
