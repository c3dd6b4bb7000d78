package journal

import (
	"fmt"
	"strconv"

	"go.etcd.io/bbolt"
)

// inspect refuses a file that was cut off, whose pages do not hang together,
// or of a newer form.
func (s *Store) inspect() error {
	size := s.db.Info().PageSize
	h, both, err := readHeaders(s.file, size)
	if err != nil {
		return err
	}
	if !both {
		s.notice = noticeHeader
	}
	if err := s.checkSize(int64(h.end) * int64(size)); err != nil {
		return err
	}
	if err := checkPages(s.file, h); err != nil {
		return err
	}
	return s.view(checkFormat)
}

// checkSize finds a file that was cut off: reading past its end is a fault.
func (s *Store) checkSize(want int64) error {
	info, err := s.file.Stat()
	if err != nil {
		return err
	}
	if info.Size() < want {
		return &DamageError{0, fmt.Sprintf("the file was cut off: it has %d bytes of %d: take the last good backup", info.Size(), want)}
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

// everyIDHasItsEntry counts both. A page that has come to say that it holds
// less than it does may hide the newest entries, and the chain of the others
// would still be whole.
func (s *Store) everyIDHasItsEntry() error {
	return s.view(func(tx *bbolt.Tx) error {
		entries, ids := tx.Bucket(bucketEntries).Stats().KeyN, tx.Bucket(bucketIDs).Stats().KeyN
		if entries == ids {
			return nil
		}
		return &DamageError{uint64(entries) + 1, fmt.Sprintf(
			"the file holds %d entries and the IDs of %d: take the last good backup", entries, ids)}
	})
}
