package exchange

import (
	"crypto/sha256"
	"encoding/binary"
	"time"

	"github.com/oklog/ulid/v2"
)

// identity gathers what a row says, free of how it is written: without the
// order of its columns, spaces around cells, and other spellings of numbers.
type identity struct{ said []byte }

// add notes a cell; a blank one says nothing.
func (i *identity) add(column, text string) {
	if text == "" {
		return
	}
	for _, s := range []string{column, text} {
		i.said = binary.AppendUvarint(i.said, uint64(len(s)))
		i.said = append(i.said, s...)
	}
}

// ulid is the ID of the row: the time at which it happened, held to the range
// of a ULID, and 80 bits of the SHA-256 of the kind of file and what the row says.
func (i *identity) ulid(kind string, at time.Time) string {
	var id ulid.ULID
	ms := uint64(0)
	if !at.IsZero() && at.UnixMilli() > 0 {
		ms = min(uint64(at.UnixMilli()), ulid.MaxTime())
	}
	h := sha256.New()
	h.Write([]byte(kind + "\n"))
	h.Write(i.said)
	// Neither fails: the time is in range and the entropy has its ten bytes.
	_ = id.SetTime(ms)
	_ = id.SetEntropy(h.Sum(nil)[:10])
	return id.String()
}
