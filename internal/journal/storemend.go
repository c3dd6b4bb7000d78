package journal

import (
	"encoding/binary"
	"errors"
	"hash/fnv"
	"io"

	"go.etcd.io/bbolt"
)

// The file begins with two headers, a page each, that commits write in turn.
// When one is damaged bbolt uses the other in silence. That is right after a
// power cut in the middle of a commit, which nobody was told had ended. But if
// the disk lost a header long after it was written, the last commit is lost
// with it: so the owner is told.
const noticeHeader = "one of the two headers of the store's file was damaged, and the other was used: " +
	"that is how a power cut may leave it, or a failing disk. What was recorded last may be missing: " +
	"compare the end of the book with the last backup and with your notes"

// readyToWrite refuses a store whose end is hidden, on which more must not be
// written, and mends its headers. Who only reads may still look, and Verify
// names the place.
func (s *Store) readyToWrite() error {
	if err := s.everyIDHasItsEntry(); err != nil {
		return err
	}
	return s.mend()
}

// mend writes both headers anew if one was damaged.
func (s *Store) mend() error {
	if s.notice == "" {
		return nil
	}
	for range 2 {
		if err := s.db.Update(func(*bbolt.Tx) error { return nil }); err != nil {
			return err
		}
	}
	return nil
}

// header is what the file says of itself.
type header struct {
	pageSize uint32
	root     uint64 // page of the list of buckets
	free     uint64 // page of the list of free pages
	end      uint64 // one above the last page in use
	commit   uint64 // number of the commit that wrote it
}

// readHeaders returns the header that counts, and whether both are whole.
func readHeaders(file io.ReaderAt, pageSize int) (h header, both bool, err error) {
	pages := make([]byte, 2*pageSize)
	if _, err := file.ReadAt(pages, 0); err != nil && !errors.Is(err, io.EOF) {
		return header{}, false, err
	}
	first, firstWhole := parseHeader(pages[:pageSize])
	second, secondWhole := parseHeader(pages[pageSize:])
	switch {
	case !firstWhole && !secondWhole:
		return header{}, false, &DamageError{0, "neither header of the file can be read"}
	case !firstWhole, secondWhole && second.commit > first.commit:
		first = second
	}
	return first, firstWhole && secondWhole, nil
}

// parseHeader reads a header, which follows the 16 bytes that every page
// begins with, and checks its sum: 64-bit FNV-1a over its first 56 bytes.
func parseHeader(page []byte) (header, bool) {
	b := page[pageHeader:]
	sum := fnv.New64a()
	sum.Write(b[:56])
	n := binary.NativeEndian
	return header{
		pageSize: n.Uint32(b[8:]),
		root:     n.Uint64(b[16:]),
		free:     n.Uint64(b[32:]),
		end:      n.Uint64(b[40:]),
		commit:   n.Uint64(b[48:]),
	}, n.Uint64(b[56:]) == sum.Sum64()
}
