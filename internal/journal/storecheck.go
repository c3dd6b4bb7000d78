package journal

import (
	"errors"
	"fmt"
	"strconv"

	"go.etcd.io/bbolt"
)

// inspect refuses a file that is short, of a newer form, or whose pages do
// not hang together.
func (s *Store) inspect() error {
	return s.view(func(tx *bbolt.Tx) error {
		if err := s.checkSize(tx); err != nil {
			return err
		}
		if err := checkFormat(tx); err != nil {
			return err
		}
		return checkPages(tx)
	})
}

// checkSize finds a file that was cut off: reading past its end is a fault.
func (s *Store) checkSize(tx *bbolt.Tx) error {
	info, err := s.file.Stat()
	if err != nil {
		return err
	}
	if info.Size() < tx.Size() {
		return &DamageError{0, fmt.Sprintf("the file was cut off: it has %d bytes of %d: take the last good backup", info.Size(), tx.Size())}
	}
	return nil
}

func checkFormat(tx *bbolt.Tx) error {
	about := tx.Bucket(bucketStore)
	if about == nil {
		return fmt.Errorf("%w: it is a file of the same engine, written by another program", ErrNotStore)
	}
	text := string(about.Get(keyFormat))
	format, err := strconv.Atoi(text)
	if err != nil || format < 1 {
		return &DamageError{0, fmt.Sprintf("the number of its form is %q", shown(text))}
	}
	if format > Format {
		return fmt.Errorf("%w: it has form %d and this program knows forms up to %d; nothing was changed: use the newer program", ErrNewer, format, Format)
	}
	for _, name := range [][]byte{bucketEntries, bucketIDs, bucketAside} {
		if tx.Bucket(name) == nil {
			return &DamageError{0, fmt.Sprintf("its part %s is missing", name)}
		}
	}
	return nil
}

// checkPages walks the whole file. The first walk is in this goroutine, where
// a fault becomes an error; bbolt's own check, which also finds pages that are
// in use and free at once, runs in another and is let loose only after it.
func checkPages(tx *bbolt.Tx) error {
	err := tx.ForEach(func(_ []byte, b *bbolt.Bucket) error {
		return b.ForEach(func(_, _ []byte) error { return nil })
	})
	if err != nil {
		return err
	}
	var found error
	for err := range tx.Check() {
		found = errors.Join(found, err)
	}
	if found != nil {
		return &DamageError{0, fmt.Sprintf("the pages of the file do not hang together (%v): take the last good backup", found)}
	}
	return nil
}
